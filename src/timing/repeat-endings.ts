import type { Bar } from "../model/score.js";
import { KeptWith } from "../theory/kept-with.js";

/** A backward repeat sign. */
export interface RepeatSign {
  readonly barIndex: number;
  /** The bar where the ending bracket over it begins, if one does. */
  readonly ending: number | undefined;
  /** How often the section that closes here is played: as marked, or as its endings ask. */
  readonly times: number;
}

/** Every backward repeat sign, in the order of the page. */
export function repeatSigns(bars: readonly Bar[]): readonly RepeatSign[] {
  const signs: RepeatSign[] = [];
  let ending: number | undefined;
  for (const { barIndex, endingStart, endingStop, repeatStart, repeatEnd } of bars) {
    if (endingStart) ending = barIndex;
    else if (repeatStart) ending = undefined;
    if (repeatEnd) signs.push({ barIndex, ending, times: timesThrough(bars, barIndex, ending) });
    if (endingStop) ending = undefined;
  }
  return signs;
}

function timesThrough(bars: readonly Bar[], sign: number, ending: number | undefined): number {
  const marked = bars[sign]?.repeatEnd?.times;
  if (marked !== undefined) return marked;
  return ending === undefined ? 2 : Math.max(2, lastPassOfEndings(bars, ending));
}

export function endOfEnding(bars: readonly Bar[], start: number): number {
  for (let k = start; k < bars.length; k++) {
    if (bars[k]?.endingStop) return k;
    if (k > start && bars[k]?.endingStart) return k - 1;
  }
  return bars.length - 1;
}

interface EndingRow {
  readonly starts: readonly number[];
  /** For each ending of the row the highest number over it and those that follow. */
  readonly highest: ReadonlyMap<number, number>;
}

/** Rows are asked for at every ending, and worked out once a page. */
const rowsOfPages = new KeptWith<readonly Bar[], ReadonlyMap<number, EndingRow>>();

function rowsOf(bars: readonly Bar[]): ReadonlyMap<number, EndingRow> {
  return rowsOfPages.of(bars, findRows);
}

function findRows(bars: readonly Bar[]): ReadonlyMap<number, EndingRow> {
  const rows = new Map<number, EndingRow>();
  for (let k = 0; k < bars.length; k++) {
    if (!bars[k]?.endingStart || rows.has(k)) continue;
    const row = rowFrom(bars, k);
    for (const start of row.starts) rows.set(start, row);
  }
  return rows;
}

function rowFrom(bars: readonly Bar[], first: number): EndingRow {
  const starts: number[] = [];
  for (let k = first; bars[k]?.endingStart; k = endOfEnding(bars, k) + 1) starts.push(k);
  const highest = new Map<number, number>();
  let most = 0;
  for (const start of starts.toReversed()) {
    for (const pass of bars[start]?.endingStart?.passes ?? []) most = Math.max(most, pass);
    highest.set(start, most);
  }
  return { starts, highest };
}

/** The bars where the endings begin that stand in a row with this one. */
export function endingsOfRow(bars: readonly Bar[], barIndex: number): readonly number[] {
  return rowsOf(bars).get(barIndex)?.starts ?? [];
}

/** The highest number over this ending and those that follow it in the row. */
export function lastPassOfEndings(bars: readonly Bar[], start: number): number {
  return rowsOf(bars).get(start)?.highest.get(start) ?? 0;
}

/**
 * The ending of a row that is played the last time through, when all its repeats are taken.
 * @returns undefined where the last time passes over the whole row, as over a first ending without a second
 */
export function leavingEnding(bars: readonly Bar[], row: readonly number[]): number | undefined {
  for (let pass = 1; ; pass++) {
    const ending = row.find((start) => bars[start]?.endingStart?.passes.includes(pass));
    if (ending === undefined) return undefined;
    const end = endOfEnding(bars, ending);
    if (!bars[end]?.repeatEnd || timesThrough(bars, end, ending) <= pass) return ending;
  }
}
