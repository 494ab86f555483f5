import type { Fraction } from "../model/fraction.js";
import {
  ORCHESTRA_GROUPS,
  type Landmark,
  type LandmarkReason,
  type OrchestraGroup,
} from "../model/landmark.js";
import type { BarVisit } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import { countedBarQuarters } from "../timing/counted-bars.js";
import { timed, type AnalysisContext } from "./context.js";
import { HeardOrchestra, type Listened } from "./heard-orchestra.js";
import { eventsIn, type HeardEvent } from "./landmark-events.js";
import { reasonsOf } from "./landmark-salience.js";
import {
  LANDMARK_WEIGHTS,
  LATEST_SECONDS,
  MOST_SALIENCE,
  nearness,
  WINDOW,
} from "./landmark-weights.js";
import { endMoment } from "./stretches.js";

/** An entry as far as landmarks go: quarters of the performance. */
export interface ListenedEntry {
  /** Where the player's silence begins. */
  readonly from: Fraction;
  /** The entry. */
  readonly to: Fraction;
}

/** What is asked of an analysis here. */
export type LandmarkContext = Pick<AnalysisContext, "performance" | "clock" | "orchestra">;

const MOST_LANDMARKS = 3;

/**
 * What to listen for before an entry, the best first; none where the part stands alone.
 * @param readyQuarters where the hands are ready and the ears free, quarters of the performance; all the rest
 *   where it is not given
 */
export function landmarksBefore(
  context: LandmarkContext,
  { from, to }: ListenedEntry,
  readyQuarters = -Infinity,
): readonly Landmark[] {
  const { performance, clock, orchestra } = context;
  if (orchestra.length === 0 || to.compare(from) <= 0) return [];
  const heard = new HeardOrchestra(orchestra, performance);
  const last = performance.visitEndingAt(to);
  const lastVisit = performance.visitAt(to).visitIndex;
  const found: Landmark[] = [];
  for (let k = last.visitIndex; k >= 0; k--) {
    const visit = performance.visits[k];
    if (!visit) break;
    const end = visit.startQuarters.add(visit.lengthQuarters);
    if (end.compare(from) <= 0 || isTooLongAgo(context, end, to)) break;
    // From here on back nothing can be better than the worst that is kept.
    const bound = bestPossible(context, end, to, readyQuarters);
    if (bound < Math.max(LANDMARK_WEIGHTS.leastScore, found[MOST_LANDMARKS - 1]?.score ?? 0)) break;
    // Further back only entrances are told, and most bars without one need not be read to know it.
    const isNear = performance.barsBetween(visit.startQuarters, to) <= WINDOW.barsForAllKinds;
    if (!isNear && !heard.mayEnter(k)) continue;
    for (const event of eventsIn(listeningIn(context, heard, visit, to, lastVisit))) {
      const quarters = visit.startQuarters.add(event.offset);
      const isInside =
        (isNear || event.event.kind === "entrance") &&
        // What comes as the player stops is no news to who counts from there.
        quarters.compare(from) > 0 &&
        !isTooLongAgo(context, quarters, to) &&
        clock.secondsBetween(quarters, to).likely >= LATEST_SECONDS;
      if (!isInside) continue;
      const landmark = weighed(context, heard, event, quarters, visit, to, readyQuarters);
      if (landmark.score >= LANDMARK_WEIGHTS.leastScore) keep(found, landmark);
    }
  }
  return found;
}

function isTooLongAgo(
  { performance, clock }: LandmarkContext,
  at: Fraction,
  to: Fraction,
): boolean {
  return (
    performance.barsBetween(at, to) > WINDOW.bars ||
    clock.secondsBetween(at, to).likely > WINDOW.seconds
  );
}

/** What the best of landmarks would be worth that comes no later than `latest`. */
function bestPossible(
  { performance }: LandmarkContext,
  latest: Fraction,
  to: Fraction,
  readyQuarters: number,
): number {
  const bars = latest.compare(to) >= 0 ? 0 : performance.barsBetween(latest, to);
  return MOST_SALIENCE * nearness(bars, toNumber(latest) >= readyQuarters);
}

function listeningIn(
  { performance }: LandmarkContext,
  orchestra: HeardOrchestra,
  visit: BarVisit,
  to: Fraction,
  lastVisit: number,
) {
  const bar = performance.barOf(visit);
  return {
    orchestra,
    performance,
    visitIndex: visit.visitIndex,
    entry: toNumber(to.sub(visit.startQuarters)),
    lastVisit,
    beatQuarters: toNumber(bar.meter.beatQuarters),
    barQuarters: toNumber(countedBarQuarters(bar)),
  };
}

function weighed(
  context: LandmarkContext,
  heard: HeardOrchestra,
  { event, parts, place, sounding }: HeardEvent,
  quarters: Fraction,
  visit: BarVisit,
  to: Fraction,
  readyQuarters: number,
): Landmark {
  const { performance, clock } = context;
  const of = heard.parts.length;
  const reasons = reasonsOf({ event, parts, place, sounding, of, barIndex: visit.barIndex });
  const bars = performance.barsBetween(quarters, to);
  const insideLookUp = toNumber(quarters) >= readyQuarters;
  const moment =
    event.kind === "many-stop" ? endMoment(performance, quarters) : performance.momentAt(quarters);
  const all = everyoneOf(parts, heard.parts);
  return {
    ...event,
    parts: parts.map(({ other }) => other.part.name.trim() || other.part.id),
    ...(all && { all }),
    at: timed(context, moment),
    before: {
      bars,
      counted: performance.countedRest(quarters, to),
      seconds: clock.secondsBetween(quarters, to),
    },
    insideLookUp,
    sounding: sounding.length,
    of,
    score: sum(reasons) * nearness(bars, insideLookUp),
    reasons,
  };
}

function sum(reasons: readonly LandmarkReason[]): number {
  return reasons.reduce((total, { points }) => total + points, 0);
}

/** Whether some parts are all of the orchestra, or all of one of its groups. */
function everyoneOf(
  parts: readonly Listened[],
  all: readonly Listened[],
): OrchestraGroup | "everybody" | undefined {
  if (parts.length < 2) return undefined;
  if (parts.length === all.length) return "everybody";
  const group = ORCHESTRA_GROUPS.find((each) => parts.every((part) => part.group === each));
  if (group === undefined || group === "other") return undefined;
  return all.filter((part) => part.group === group).length === parts.length ? group : undefined;
}

/** Takes in a landmark in its place; of one moment only the best stays. */
function keep(found: Landmark[], landmark: Landmark): void {
  const same = found.findIndex(({ at }) => at.quarters.equals(landmark.at.quarters));
  if (same >= 0) {
    if ((found[same]?.score ?? 0) >= landmark.score) return;
    found.splice(same, 1);
  }
  found.push(landmark);
  found.sort((a, b) => b.score - a.score || b.at.quarters.compare(a.at.quarters));
  found.splice(MOST_LANDMARKS);
}
