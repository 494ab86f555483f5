import type { SeatAudit } from "../model/season.js";
import type { SecondsRange } from "../model/time.js";
import { NO_SECONDS, sumSeconds } from "../theory/seconds.js";
import { PAUSE_SECONDS } from "../timing/pauses.js";
import type { Between } from "./joints.js";
import type { MovementVisit } from "./visits.js";

/**
 * The time between two works of a programme: applause, and perhaps other chairs. An assumption (common practice,
 * no source); a change there is hardly ever short of time.
 */
export const BETWEEN_WORKS_SECONDS: SecondsRange = { short: 60, likely: 90, long: 240 };

/** One end of a link: a player's part of one movement. */
export interface LinkEnd {
  readonly visit: MovementVisit;
  readonly seat: SeatAudit;
}

/** Two movements that a player plays one after the other, with what lies between. */
export interface ChainLink {
  readonly from: LinkEnd;
  readonly to: LinkEnd;
  readonly between: Between;
}

interface OpenLink {
  readonly from: LinkEnd;
  between: Between;
}

/**
 * Follows every player from movement to movement, over those without a note for them. A chain ends with the
 * programme, with the work where the works have no order, and where a file cannot be read: nobody knows what
 * is in it.
 */
export function chainsOf(visits: readonly MovementVisit[]): readonly ChainLink[] {
  const links: ChainLink[] = [];
  let open = new Map<string, OpenLink>();
  visits.forEach((visit, k) => {
    const before = visits[k - 1];
    if (before && !follows(before, visit)) open = new Map();
    for (const [player, link] of open) {
      if (before) link.between = withPause(link.between, pauseAfter(before, visit));
      if (isUnknown(visit, player)) open.delete(player);
    }
    const playing = visit.seats.filter(({ edges }) => edges !== null);
    const names = new Set(playing.map(({ player }) => player));
    for (const [player, link] of open) {
      if (names.has(player)) continue;
      const length = visit.audit.durationSeconds ?? NO_SECONDS;
      const tacetSeconds = sumSeconds([link.between.tacetSeconds, length]);
      link.between = { ...link.between, tacetSeconds };
    }
    for (const seat of playing) {
      const to = { visit, seat };
      const link = open.get(seat.player);
      if (link) links.push({ ...link, to });
      open.set(seat.player, { from: to, between: { pause: null, tacetSeconds: NO_SECONDS } });
    }
  });
  return links;
}

function follows(before: MovementVisit, visit: MovementVisit): boolean {
  if (before.workIndex === visit.workIndex) return true;
  return visit.inProgramme && before.programmeIndex === visit.programmeIndex;
}

/** Whether it cannot be said what a player has in a movement. */
function isUnknown({ audit }: MovementVisit, player: string): boolean {
  return audit.errors.some(
    (error) => error.player === player || (error.player === undefined && !audit.durationSeconds),
  );
}

/** What the season says of it, else the words of the movement, else what is usual; null for none. */
function pauseAfter(before: MovementVisit, visit: MovementVisit): Between["pause"] {
  const { after } = before;
  if (after.kind === "attacca") return null;
  if (after.kind === "seconds") {
    const { seconds } = after;
    return { seconds: { short: seconds, likely: seconds, long: seconds }, assumed: false };
  }
  if (before.workIndex !== visit.workIndex)
    return { seconds: BETWEEN_WORKS_SECONDS, assumed: true };
  if (before.seats.some(({ goesOn }) => goesOn)) return null;
  return { seconds: PAUSE_SECONDS["movement-end"], assumed: true };
}

function withPause(between: Between, pause: Between["pause"]): Between {
  if (!pause) return between;
  if (!between.pause) return { ...between, pause };
  const seconds = sumSeconds([between.pause.seconds, pause.seconds]);
  return { ...between, pause: { seconds, assumed: between.pause.assumed || pause.assumed } };
}
