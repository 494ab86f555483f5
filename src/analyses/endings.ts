import type { Bar } from "../model/score.js";

/**
 * The bars that begin a second or later ending, each with the first bar of its row of endings: they
 * are reached from the bar before the row, not from the ending before them on the page.
 */
export function laterEndings(bars: readonly Bar[]): ReadonlyMap<number, number> {
  const rowStarts = new Map<number, number>();
  let rowStart = 0;
  for (const { barIndex, endingStart } of bars) {
    if (!endingStart) continue;
    if (bars[barIndex - 1]?.endingStop && barIndex > 0) rowStarts.set(barIndex, rowStart);
    else rowStart = barIndex;
  }
  return rowStarts;
}
