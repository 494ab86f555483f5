import type { LandmarkEvent } from "../model/landmark.js";
import { DYNAMICS, type Dynamic, type Position } from "../model/score.js";
import { fraction } from "../theory/fraction.js";
import { SAME, type InBar, type Listened } from "./heard-orchestra.js";
import type { Listening } from "./landmark-events.js";
import { LIMITS } from "./landmark-weights.js";

/**
 * Many parts that begin a note under a printed f or more where the level printed for them before was mp or less:
 * a forte that breaks in, or the end of a crescendo. Hairpins are not followed, so how it came about is not told.
 * @param least parts that make "many"
 */
export function loudArrivals(
  { performance, visitIndex }: Listening,
  place: number,
  attacking: readonly InBar[],
  least: number,
): readonly { readonly event: LandmarkEvent; readonly parts: readonly Listened[] }[] {
  if (attacking.length < least) return [];
  const barIndex = performance.visits[visitIndex]?.barIndex ?? 0;
  const before = performance.visits[visitIndex - 1]?.barIndex;
  const arriving = attacking.flatMap(({ listened }) => {
    const mark = listened.other
      .dynamics(barIndex)
      .findLast(({ at }) => Math.abs(at.offset.valueOf() - place) < SAME);
    if (!mark || isBelow(mark.value, LIMITS.loudFrom)) return [];
    const last = lastBefore(mark.at, before);
    const level = last && listened.other.dynamicAt(last);
    return level && !isBelow(LIMITS.softUpTo, level) ? [{ listened, level: mark.value }] : [];
  });
  const [first] = arriving;
  if (!first || arriving.length < least) return [];
  const dynamic = arriving.reduce(
    (soft, { level }) => (isBelow(level, soft) ? level : soft),
    first.level,
  );
  return [
    { event: { kind: "loud-arrival", dynamic }, parts: arriving.map(({ listened }) => listened) },
  ];
}

function isBelow(a: Dynamic, b: Dynamic): boolean {
  return DYNAMICS.indexOf(a) < DYNAMICS.indexOf(b);
}

/** Marks stand on notes: none is shorter than this, in quarters. */
const JUST_BEFORE = fraction(1, 1024);
/** Past the end of any bar, in quarters. */
const BAR_END = fraction(1_000_000);

function lastBefore({ barIndex, offset }: Position, before: number | undefined) {
  if (offset.valueOf() > 0) return { barIndex, offset: offset.sub(JUST_BEFORE) };
  return before === undefined ? undefined : { barIndex: before, offset: BAR_END };
}
