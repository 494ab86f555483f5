import type { Notice } from "../model/finding.js";

/** Takes in what is odd at one place. */
export type Notify = (notice: Notice) => void;

/** A hostile or hopeless file could have a notice in every bar; nobody reads more than these. */
const MOST_NOTICES = 200;

/** Gathers notices; those that only count things are added up over the bars. */
export class NoticeCollector {
  private readonly notices = new Map<string, Notice>();

  /** A function that notes what is odd at one place. */
  at(barLabel: string, partId?: string): Notify {
    return (notice) => {
      this.add({
        ...notice,
        ...(barLabel !== "" && { barLabel }),
        ...(partId !== undefined && { partId }),
      });
    };
  }

  add(notice: Notice): void {
    if ("count" in notice) {
      const key = `${notice.kind} ${notice.partId ?? ""}`;
      const before = this.notices.get(key);
      if (before && "count" in before) {
        this.notices.set(key, { ...before, count: before.count + notice.count });
      } else this.notices.set(key, notice);
      return;
    }
    if (this.notices.size < MOST_NOTICES) this.notices.set(JSON.stringify(notice), notice);
  }

  all(): readonly Notice[] {
    return [...this.notices.values()];
  }
}
