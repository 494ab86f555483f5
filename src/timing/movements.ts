import type { Bar } from "../model/score.js";

/**
 * Whether a movement ends with a bar: it is closed by a final barline, and the bars are counted anew after
 * it. A final barline alone may close a minuet whose trio follows at once.
 */
export function endsMovement(bars: readonly Bar[], barIndex: number): boolean {
  const next = bars[barIndex + 1];
  if (!bars[barIndex]?.finalBarline || !next) return false;
  // An upbeat has the number 0.
  return next.barLabel === "0" || next.barLabel === "1";
}

/** The first bar of the movement that a bar is in. */
export function movementStart(bars: readonly Bar[], barIndex: number): number {
  let start = barIndex;
  while (start > 0 && !endsMovement(bars, start - 1)) start--;
  return start;
}
