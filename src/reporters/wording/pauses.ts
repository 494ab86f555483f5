import type { HeldPlace } from "../../model/report.js";
import type { PauseKind } from "../../model/tempo.js";
import { groupBy } from "../../theory/search.js";
import { barText } from "./places.js";

export const PAUSE_NAMES: Readonly<Record<PauseKind, string>> = {
  fermata: "fermata",
  caesura: "caesura",
  "breath-mark": "breath mark",
  "general-pause": "general pause",
  "movement-end": "end of the movement",
  "final-barline": "final barline",
};

type HeldSign = Pick<HeldPlace, "on" | "sign">;

/** " + the fermata", " + 2 pauses": what comes on top of the seconds of a rest. */
export function pauseSuffix({ pauses }: { readonly pauses: readonly HeldSign[] }): string {
  const [first, ...more] = pauses.filter(({ on }) => on === "rest");
  if (!first) return "";
  return more.length > 0 ? ` + ${more.length + 1} pauses` : ` + the ${PAUSE_NAMES[first.sign]}`;
}

/** A sentence for all the places where one kind of sign holds up one kind of note. */
export function pauseLines(pauses: readonly HeldPlace[]): readonly string[] {
  const groups = groupBy(pauses, ({ on, sign }) => `${on} ${sign}`);
  return [...groups.values()].map((group) => pauseLine(group));
}

function pauseLine(group: readonly HeldPlace[]): string {
  const [first] = group;
  if (!first) return "";
  const bars = [...new Set(group.map(({ at }) => barText(at)))].join(", ");
  const name = PAUSE_NAMES[first.sign];
  if (first.on === "last-note") {
    return first.sign === "breath-mark"
      ? `breath mark after your last note (bar ${bars})`
      : `${name} on your last note (bar ${bars}): you leave when the conductor lets go`;
  }
  const { short, long } = first.extraSeconds;
  if (first.sign === "movement-end") {
    return `the movement ends at bar ${bars}: usually ${short}–${long} s more, of which ${short} s are counted in${group.length > 1 ? " for each" : ""}; nothing says attacca`;
  }
  return `the ${name} at bar ${bars} adds to that, perhaps ${short}–${long} s${group.length > 1 ? " each" : ""}; how much is the conductor's`;
}
