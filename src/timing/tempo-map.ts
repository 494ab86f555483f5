import type { Fraction } from "../model/fraction.js";
import type { SecondsRange, TempoMark, TempoRange, TempoSource } from "../model/time.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import type { Performance } from "./performance.js";
import { ASSUMED_TEMPO, tempoRange, weakestSource } from "./tempo-range.js";

/** A stretch of the performance at one tempo. */
export interface TempoStretch {
  readonly startQuarters: Fraction;
  readonly quartersPerMinute: TempoRange;
  readonly source: TempoSource;
  readonly text: string;
}

/** Seconds between any two moments of a performance. */
export interface TempoMap {
  readonly stretches: readonly TempoStretch[];
  readonly secondsBetween: (from: Fraction, to: Fraction) => SecondsRange;
  readonly stretchAt: (quarters: Fraction) => TempoStretch;
  /** The source least to be relied on between two moments. */
  readonly sourceBetween: (from: Fraction, to: Fraction) => TempoSource;
  /** The moment that lies so many seconds after another at the fast tempo; at most the end. */
  readonly quartersAfterSeconds: (from: Fraction, seconds: number) => number;
}

/**
 * Lays the tempo marks over the order of performance. A bar that comes back is played at the tempo
 * that holds at its place on the page, whatever was played before the repeat.
 */
export function createTempoMap(performance: Performance, marks: readonly TempoMark[]): TempoMap {
  const stretches = layOut(performance, marks);
  const starts = stretches.map(({ startQuarters }) => toNumber(startQuarters));
  const indexAt = (quarters: number): number => {
    let low = 0;
    let high = stretches.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] ?? 0) <= quarters) low = middle;
      else high = middle - 1;
    }
    return low;
  };
  const stretchAt = (quarters: number): TempoStretch => {
    const stretch = stretches[indexAt(quarters)];
    if (!stretch) throw new Error("a tempo map has at least one stretch");
    return stretch;
  };
  return {
    stretches,
    stretchAt: (quarters) => stretchAt(toNumber(quarters)),
    sourceBetween: (from, to) => {
      const first = indexAt(toNumber(from));
      // A tempo that begins with the entry says nothing of the rest before it.
      const last = Math.max(first, to.compare(from) > 0 ? lastBefore(starts, toNumber(to)) : first);
      return weakestSource(stretches.slice(first, last + 1).map(({ source }) => source));
    },
    secondsBetween: (from, to) => {
      const seconds = { short: 0, likely: 0, long: 0 };
      for (let k = indexAt(toNumber(from)); k < stretches.length; k++) {
        const stretch = stretches[k];
        if (!stretch || stretch.startQuarters.compare(to) >= 0) break;
        const next = stretches[k + 1]?.startQuarters;
        const begin = stretch.startQuarters.compare(from) > 0 ? stretch.startQuarters : from;
        const end = next && next.compare(to) < 0 ? next : to;
        const quarters = toNumber(end.sub(begin));
        if (quarters <= 0) continue;
        seconds.short += (60 * quarters) / stretch.quartersPerMinute.fast;
        seconds.likely += (60 * quarters) / stretch.quartersPerMinute.likely;
        seconds.long += (60 * quarters) / stretch.quartersPerMinute.slow;
      }
      return seconds;
    },
    quartersAfterSeconds: (from, seconds) => {
      let position = toNumber(from);
      let left = seconds;
      for (let k = indexAt(position); k < stretches.length; k++) {
        const perSecond = (stretches[k]?.quartersPerMinute.fast ?? ASSUMED_TEMPO.fast) / 60;
        const end = Math.min(starts[k + 1] ?? Infinity, toNumber(performance.totalQuarters));
        const needed = (end - position) / perSecond;
        if (needed >= left) return position + left * perSecond;
        left -= needed;
        position = end;
      }
      return position;
    },
  };
}

function lastBefore(starts: readonly number[], quarters: number): number {
  return starts.findLastIndex((start) => start < quarters);
}

function layOut(performance: Performance, marks: readonly TempoMark[]): readonly TempoStretch[] {
  const assumed = { quartersPerMinute: ASSUMED_TEMPO, source: "assumed" as const, text: "" };
  const markStretches = marks.map((mark) => ({
    mark,
    quartersPerMinute: tempoRange(mark),
    source: mark.source,
    text: mark.text,
  }));
  const stretches: TempoStretch[] = [];
  const push = (startQuarters: Fraction, tempo: Omit<TempoStretch, "startQuarters">) => {
    const last = stretches.at(-1);
    if (last && last.text === tempo.text && sameTempo(last, tempo)) return;
    if (last?.startQuarters.equals(startQuarters)) stretches.pop();
    stretches.push({
      startQuarters,
      quartersPerMinute: tempo.quartersPerMinute,
      source: tempo.source,
      text: tempo.text,
    });
  };
  const inBar = new Map<number, typeof markStretches>();
  for (const each of markStretches) {
    const { barIndex } = each.mark.at;
    inBar.set(barIndex, [...(inBar.get(barIndex) ?? []), each]);
  }
  // The mark in force where each bar begins on the page.
  const inForce: Omit<TempoStretch, "startQuarters">[] = [];
  let current: Omit<TempoStretch, "startQuarters"> = assumed;
  for (const { barIndex } of performance.bars) {
    inForce.push(current);
    current = inBar.get(barIndex)?.at(-1) ?? current;
  }
  for (const visit of performance.visits) {
    push(visit.startQuarters, inForce[visit.barIndex] ?? assumed);
    for (const each of inBar.get(visit.barIndex) ?? []) {
      push(visit.startQuarters.add(each.mark.at.offset), each);
    }
  }
  return stretches.length > 0 ? stretches : [{ ...assumed, startQuarters: ZERO }];
}

function sameTempo(
  a: Omit<TempoStretch, "startQuarters">,
  b: Omit<TempoStretch, "startQuarters">,
): boolean {
  return (
    a.source === b.source &&
    a.quartersPerMinute.likely === b.quartersPerMinute.likely &&
    a.quartersPerMinute.slow === b.quartersPerMinute.slow &&
    a.quartersPerMinute.fast === b.quartersPerMinute.fast
  );
}
