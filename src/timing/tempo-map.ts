import type { Fraction } from "../model/fraction.js";
import type { SecondsRange, TempoRange, TempoSource } from "../model/time.js";
import { maxFraction, minFraction, toNumber } from "../theory/fraction.js";
import { lastIndexWhere } from "../theory/search.js";
import type { PageTempi, TempoSegment } from "./page-tempi.js";
import type { Performance } from "./performance.js";
import { rampQuarters, rampSeconds } from "./ramp.js";
import { sameRange, weakestSource } from "./tempo-range.js";

/** A stretch of the performance at one tempo, or under one gradual change. */
export interface TempoStretch extends Pick<TempoSegment, "source" | "text" | "bend"> {
  readonly startQuarters: Fraction;
  readonly endQuarters: Fraction;
  /** Quarters a minute at its two ends: the same where the tempo is steady. */
  readonly from: TempoRange;
  readonly to: TempoRange;
}

/** Seconds between any two moments of a performance. */
export interface Clock {
  readonly secondsBetween: (from: Fraction, to: Fraction) => SecondsRange;
  /** The source least to be relied on between two moments. */
  readonly sourceBetween: (from: Fraction, to: Fraction) => TempoSource;
  /** The moment that lies so many seconds after another at the fast tempo; at most the end. */
  readonly quartersAfterSeconds: (from: Fraction, seconds: number) => number;
}

/** The tempi of a performance, laid over its order. */
export interface TempoMap extends Clock {
  readonly stretches: readonly TempoStretch[];
  /** The tempo at a moment; where two meet, the one that begins. */
  readonly tempoAt: (quarters: Fraction) => TempoRange;
  readonly stretchAt: (quarters: Fraction) => TempoStretch;
  /** The stretches that a time has a part of. */
  readonly stretchesBetween: (from: Fraction, to: Fraction) => readonly TempoStretch[];
}

/**
 * Lays the tempi of the page over the order of performance. A bar that comes back is played at the tempo
 * that holds at its place on the page, whatever was played before the repeat.
 */
export function createTempoMap(performance: Performance, tempi: PageTempi): TempoMap {
  return new LaidTempi(layOut(performance, tempi));
}

/** A time in quarters, and the places of the stretches in which it begins and ends. */
interface Span {
  readonly first: number;
  readonly last: number;
  readonly start: number;
  readonly end: number;
}

/** A class, since what the engine has compiled for functions of one map is lost with it. */
class LaidTempi implements TempoMap {
  private readonly starts: readonly number[];
  private readonly sums: readonly SecondsRange[];

  constructor(readonly stretches: readonly TempoStretch[]) {
    this.starts = stretches.map(({ startQuarters }) => toNumber(startQuarters));
    this.sums = sumsBefore(stretches);
  }

  stretchAt(quarters: Fraction): TempoStretch {
    const stretch = this.stretches[this.indexAt(toNumber(quarters))];
    if (!stretch) throw new Error("a tempo map has at least one stretch");
    return stretch;
  }

  tempoAt(quarters: Fraction): TempoRange {
    return tempoWithin(this.stretchAt(quarters), toNumber(quarters));
  }

  stretchesBetween(from: Fraction, to: Fraction): readonly TempoStretch[] {
    const first = this.indexAt(toNumber(from));
    // A tempo that begins with the entry says nothing of the rest before it.
    const last = this.indexBefore(toNumber(to));
    return this.stretches.slice(first, Math.max(first, last) + 1);
  }

  sourceBetween(from: Fraction, to: Fraction): TempoSource {
    return weakestSource(this.stretchesBetween(from, to).map(({ source }) => source));
  }

  secondsBetween(from: Fraction, to: Fraction): SecondsRange {
    if (to.compare(from) <= 0) return { short: 0, likely: 0, long: 0 };
    const [first, last] = [toNumber(from), toNumber(to)];
    const span = { first, last, start: this.indexAt(first), end: this.indexBefore(last) };
    return {
      short: this.lengthOf(span, "short", "fast"),
      likely: this.lengthOf(span, "likely", "likely"),
      long: this.lengthOf(span, "long", "slow"),
    };
  }

  quartersAfterSeconds(from: Fraction, seconds: number): number {
    const { stretches } = this;
    let position = toNumber(from);
    let left = seconds;
    for (let k = this.indexAt(position); k < stretches.length; k++) {
      const stretch = stretches[k];
      if (!stretch) break;
      const end = toNumber(stretch.endQuarters);
      const quarters = end - position;
      const first = tempoWithin(stretch, position).fast;
      const needed = rampSeconds(quarters, first, stretch.to.fast);
      if (needed >= left) return position + rampQuarters(left, quarters, first, stretch.to.fast);
      left -= needed;
      position = end;
    }
    return position;
  }

  private indexAt(quarters: number): number {
    const { starts } = this;
    return lastIndexWhere(starts.length, (k) => (starts[k] ?? 0) <= quarters);
  }

  private indexBefore(quarters: number): number {
    const { starts } = this;
    return lastIndexWhere(starts.length, (k) => (starts[k] ?? 0) < quarters);
  }

  private lengthOf(
    { first, last, start, end }: Span,
    length: keyof SecondsRange,
    speed: keyof TempoRange,
  ): number {
    const [a, b] = [this.stretches[start], this.stretches[end]];
    if (!a || !b) return 0;
    if (start === end) return partSeconds(a, first, last, speed);
    // What lies between them whole is known from sums, so that long rests cost no more than short ones.
    const whole = (this.sums[end]?.[length] ?? 0) - (this.sums[start + 1]?.[length] ?? 0);
    return (
      partSeconds(a, first, toNumber(a.endQuarters), speed) +
      whole +
      partSeconds(b, toNumber(b.startQuarters), last, speed)
    );
  }
}

/** Seconds from the start of the performance to the start of each stretch, and to the end. */
function sumsBefore(stretches: readonly TempoStretch[]): readonly SecondsRange[] {
  const sums: SecondsRange[] = [{ short: 0, likely: 0, long: 0 }];
  for (const stretch of stretches) {
    const before = sums.at(-1) ?? { short: 0, likely: 0, long: 0 };
    const [start, end] = [toNumber(stretch.startQuarters), toNumber(stretch.endQuarters)];
    sums.push({
      short: before.short + partSeconds(stretch, start, end, "fast"),
      likely: before.likely + partSeconds(stretch, start, end, "likely"),
      long: before.long + partSeconds(stretch, start, end, "slow"),
    });
  }
  return sums;
}

function partSeconds(
  stretch: TempoStretch,
  from: number,
  to: number,
  speed: keyof TempoRange,
): number {
  if (to <= from) return 0;
  const [first, last] = [tempoWithin(stretch, from)[speed], tempoWithin(stretch, to)[speed]];
  return rampSeconds(to - from, first, last);
}

/** The tempo inside a stretch: between its ends in proportion to the notated values. */
function tempoWithin(stretch: TempoStretch, quarters: number): TempoRange {
  const { startQuarters, endQuarters, from, to } = stretch;
  if (from === to) return from;
  const start = toNumber(startQuarters);
  const length = toNumber(endQuarters) - start;
  return between(from, to, length === 0 ? 0 : (quarters - start) / length);
}

function between(from: TempoRange, to: TempoRange, share: number): TempoRange {
  const at = (a: number, b: number) => a + (b - a) * share;
  return {
    slow: at(from.slow, to.slow),
    likely: at(from.likely, to.likely),
    fast: at(from.fast, to.fast),
  };
}

interface OpenStretch {
  stretch: TempoStretch;
  readonly segment: TempoSegment;
  writtenEnd: Fraction;
}

function layOut(performance: Performance, tempi: PageTempi): readonly TempoStretch[] {
  const done: OpenStretch[] = [];
  for (const visit of performance.visits) {
    const bar = performance.barOf(visit);
    const barStart = bar.writtenQuarters;
    const barEnd = barStart.add(bar.lengthQuarters);
    const segments = tempi.ofPass(visit.pass);
    const first = segmentAt(segments, barStart);
    const last = done.at(-1);
    if (last && goesOn(last, segments, first, barEnd)) {
      extend(last, visit.startQuarters.add(visit.lengthQuarters), barEnd);
      continue;
    }
    for (let k = first; k < segments.length; k++) {
      const segment = segments[k];
      if (!segment || (segment.startWritten.compare(barEnd) >= 0 && k > 0)) break;
      const segmentEnd = segments[k + 1]?.startWritten ?? writtenEndOf(performance);
      const begin = maxFraction(segment.startWritten, barStart);
      const end = minFraction(segmentEnd, barEnd);
      if (end.compare(begin) <= 0) continue;
      const startQuarters = visit.startQuarters.add(begin.sub(barStart));
      const piece = {
        startQuarters,
        endQuarters: startQuarters.add(end.sub(begin)),
        ...endsOf(segment, segmentEnd, begin, end),
      };
      append(done, piece, segment, begin, end);
    }
  }
  if (done.length > 0) return done.map(({ stretch }) => stretch);
  const [segment] = tempi.ofPass(1);
  const end = performance.totalQuarters;
  if (!segment) throw new Error("a page has at least one tempo");
  return [{ ...tempoOf(segment), startQuarters: end, endQuarters: end, to: segment.from }];
}

function tempoOf({ from, to, source, text, bend }: TempoSegment) {
  return { from, to, source, text, ...(bend && { bend }) };
}

/** The tempo at the two ends of a piece of a segment. */
function endsOf(segment: TempoSegment, segmentEnd: Fraction, begin: Fraction, end: Fraction) {
  const { startWritten, from, to } = segment;
  if (from === to) return tempoOf(segment);
  const length = toNumber(segmentEnd.sub(startWritten));
  const share = (at: Fraction) => (length === 0 ? 0 : toNumber(at.sub(startWritten)) / length);
  return {
    ...tempoOf(segment),
    from: between(from, to, share(begin)),
    to: between(from, to, share(end)),
  };
}

/** Whether a bar is all in the steady tempo that was last laid out: most are. */
function goesOn(
  last: OpenStretch,
  segments: readonly TempoSegment[],
  index: number,
  barEnd: Fraction,
): boolean {
  const segment = segments[index];
  if (!segment || last.segment !== segment || segment.from !== segment.to) return false;
  return (segments[index + 1]?.startWritten.compare(barEnd) ?? 0) >= 0;
}

function extend(last: OpenStretch, endQuarters: Fraction, writtenEnd: Fraction): void {
  last.stretch = { ...last.stretch, endQuarters };
  last.writtenEnd = writtenEnd;
}

/** Joins pieces of one segment that follow each other on the page, and steady ones that are alike. */
function append(
  done: OpenStretch[],
  piece: TempoStretch,
  segment: TempoSegment,
  begin: Fraction,
  end: Fraction,
): void {
  const last = done.at(-1);
  const steady = segment.from === segment.to;
  const isNext = last?.segment === segment && (steady || last.writtenEnd.equals(begin));
  if (last && (isNext || (steady && isAlike(last.segment, segment)))) {
    extend(last, piece.endQuarters, end);
    if (!steady) last.stretch = { ...last.stretch, to: piece.to };
  } else done.push({ stretch: piece, segment, writtenEnd: end });
}

function isAlike(a: TempoSegment, b: TempoSegment): boolean {
  return a.from === a.to && a.source === b.source && a.text === b.text && sameRange(a.from, b.from);
}

/** The segment in force at a place of the page; a mark at the place itself holds from there. */
function segmentAt(segments: readonly TempoSegment[], written: Fraction): number {
  return lastIndexWhere(
    segments.length,
    (k) => (segments[k]?.startWritten.compare(written) ?? 1) <= 0,
  );
}

function writtenEndOf({ bars }: Performance): Fraction {
  const last = bars.at(-1);
  if (!last) throw new Error("a performance has at least one bar");
  return last.writtenQuarters.add(last.lengthQuarters);
}
