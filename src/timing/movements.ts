import type { Bar } from "../model/score.js";

/**
 * Whether a movement ends with a bar: it is closed by a final barline or a repeat, and the bars are counted
 * anew after it. A final barline alone may close a minuet whose trio follows at once, and so does one at a Fine.
 */
export function endsMovement(bars: readonly Bar[], barIndex: number): boolean {
  const next = bars[barIndex + 1];
  const bar = bars[barIndex];
  // The last bar of a movement may close a repeat.
  const isClosed = bar?.finalBarline ?? bar?.repeatEnd !== undefined;
  if (!isClosed || bar?.jumps?.fine || !next) return false;
  // An upbeat has the number 0.
  if (next.barLabel === "1") return true;
  // After a repeat it may be the upbeat of the section that follows.
  const isUpbeat = bar?.finalBarline ?? bars[barIndex + 2]?.barLabel === "1";
  return next.barLabel === "0" && isUpbeat;
}

/** The first bar of the movement after the one that a bar is in; undefined where it is the last. */
export function nextMovement(bars: readonly Bar[], barIndex: number): number | undefined {
  for (let k = barIndex; k < bars.length; k++) if (endsMovement(bars, k)) return k + 1;
  return undefined;
}

/** The first bar of the movement that a bar is in. */
export function movementStart(bars: readonly Bar[], barIndex: number): number {
  let start = barIndex;
  while (start > 0 && !endsMovement(bars, start - 1)) start--;
  return start;
}

/** The movement of every bar, from 1; undefined where there is only one. */
export function movementNumbers(bars: readonly Bar[]): readonly number[] | undefined {
  let movement = 1;
  const numbers = bars.map(({ barIndex }) => {
    if (barIndex > 0 && endsMovement(bars, barIndex - 1)) movement++;
    return movement;
  });
  return movement > 1 ? numbers : undefined;
}
