import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { Recording } from "../model/tempo.js";
import type { SecondsRange } from "../model/time.js";
import { fraction, maxFraction, minFraction, toNumber } from "../theory/fraction.js";
import { groupBy } from "../theory/search.js";
import type { Performance } from "./performance.js";
import { barSpan, offsetInBar } from "./places.js";
import type { Clock, TempoMap } from "./tempo-map.js";

/** A recording laid over the order of performance. */
export interface RecordedTime {
  readonly name: string;
  /** Quarters from the start that the timings cover. */
  readonly from: Fraction;
  readonly to: Fraction;
  /** Measured seconds between two moments that the timings cover. */
  readonly secondsBetween: (from: Fraction, to: Fraction) => number;
  /** The moment so many measured seconds after another; undefined outside the timings. */
  readonly quartersAfter: (from: Fraction, seconds: number) => number | undefined;
  /** Where it is first so far from the tempi that a timing must be a slip. */
  readonly oddSpan: () => RecordedSpan | undefined;
}

/** A stretch between two timings. */
export interface RecordedSpan {
  readonly from: Fraction;
  readonly to: Fraction;
  readonly seconds: number;
}

interface Knot {
  readonly at: Fraction;
  readonly quarters: number;
  readonly seconds: number;
}

/**
 * Finds the places of a recording in the performance, one after another, and shares out the time between
 * them as the tempi would. A place without a pass is the next one of that bar to be played.
 * @throws InputError `bad-recording` when a place is not there, or does not come after the one before
 */
export function layRecording(
  performance: Performance,
  tempoMap: TempoMap,
  recording: Recording,
): RecordedTime {
  const knots = placeKnots(performance, recording);
  const [first, last] = [knots[0], knots.at(-1)];
  if (!first || !last) throw new InputError("bad-recording", `${recording.name} holds no timings`);
  const likely = (from: Fraction, to: Fraction) => tempoMap.secondsBetween(from, to).likely;
  const secondsAt = (at: Fraction): number => {
    const [before, after] = around(knots, toNumber(at), ({ quarters }) => quarters);
    const whole = likely(before.at, after.at);
    const share = whole === 0 ? 0 : likely(before.at, at) / whole;
    return before.seconds + share * (after.seconds - before.seconds);
  };
  return {
    name: recording.name,
    from: first.at,
    to: last.at,
    secondsBetween: (from, to) => secondsAt(to) - secondsAt(from),
    quartersAfter: (from, seconds) => {
      if (from.compare(first.at) < 0 || from.compare(last.at) > 0) return undefined;
      const until = secondsAt(from) + seconds;
      if (until > last.seconds) return undefined;
      const [before, after] = around(knots, until, (knot) => knot.seconds);
      return placeAt(until, before.quarters, after.quarters, (at) => secondsAt(fraction(at)));
    },
    oddSpan: () => oddSpan(knots, likely),
  };
}

function placeKnots(performance: Performance, { name, places }: Recording): readonly Knot[] {
  const knots: Knot[] = [];
  const byLabel = groupBy(performance.visits, (visit) => performance.barOf(visit).barLabel);
  for (const place of places) {
    const fail = (what: string) =>
      new InputError("bad-recording", `${name}: ${what}`, { bar: place.barLabel });
    const visits = byLabel.get(place.barLabel);
    if (!visits) {
      throw new InputError(
        "bad-recording",
        `${name} names bar ${place.barLabel}, which is not played; the bars are ${barSpan(performance.bars)}`,
      );
    }
    const there = visits.flatMap((visit) => {
      const offset = offsetInBar(performance.barOf(visit), place.beat);
      return offset ? [{ visit, at: visit.startQuarters.add(offset) }] : [];
    });
    if (there.length === 0) throw fail(`there is no beat ${place.beat}`);
    const wanted = there.filter(({ visit }) => (place.pass ?? visit.pass) === visit.pass);
    if (wanted.length === 0) throw fail(`it is not played ${place.pass ?? 1} times`);
    const last = knots.at(-1);
    const next = wanted.find(({ at }) => !last || at.compare(last.at) > 0);
    if (!next) throw fail("it is not played after the place before it in the table");
    knots.push({ at: next.at, quarters: toNumber(next.at), seconds: place.seconds });
  }
  return knots;
}

/** The timings before and after a value, or those at the end nearest to it. */
function around(
  knots: readonly Knot[],
  value: number,
  valueOf: (knot: Knot) => number,
): readonly [Knot, Knot] {
  let low = 0;
  let high = knots.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    const knot = knots[middle];
    if (knot && valueOf(knot) <= value) low = middle;
    else high = middle;
  }
  const [before, after] = [knots[low], knots[high]];
  if (!before || !after) throw new Error("no timings to go by");
  return [before, after];
}

/** Halving the way is exact enough after so many steps. */
const HALVINGS = 40;

function placeAt(
  seconds: number,
  from: number,
  to: number,
  secondsAt: (quarters: number) => number,
): number {
  let [low, high] = [from, to];
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (low + high) / 2;
    if (secondsAt(middle) <= seconds) low = middle;
    else high = middle;
  }
  return low;
}

/** Timings over fewer quarters say little of a tempo. */
const LEAST_ODD_QUARTERS = 4;
/** Nobody plays so much slower or faster than marked: a slip of the pen. */
const SLOWEST_TIMES = 3;

function oddSpan(
  knots: readonly Knot[],
  likely: (from: Fraction, to: Fraction) => number,
): RecordedSpan | undefined {
  let [start] = knots;
  for (const knot of knots) {
    if (!start || knot.quarters - start.quarters < LEAST_ODD_QUARTERS) continue;
    const seconds = knot.seconds - start.seconds;
    const ratio = seconds / likely(start.at, knot.at);
    if (ratio > SLOWEST_TIMES || ratio < 1 / SLOWEST_TIMES) {
      return { from: start.at, to: knot.at, seconds };
    }
    start = knot;
  }
  return undefined;
}

/**
 * The clock that the report goes by: measured where recordings cover the time, by the tempi elsewhere.
 * Several recordings span a range; a single one has none of its own.
 */
export function clockOf(tempoMap: TempoMap, recordings: readonly RecordedTime[]): Clock {
  if (recordings.length === 0) return tempoMap;
  return {
    secondsBetween: (from, to) => {
      // Where a recording has the whole of it, those that have a part only do not count.
      const whole = recordings.filter((recording) => covers(recording, from, to));
      const each = (whole.length > 0 ? whole : recordings).map((recording) =>
        partlyMeasured(tempoMap, recording, from, to),
      );
      return {
        short: Math.min(...each.map(({ short }) => short)),
        likely: each.reduce((sum, { likely }) => sum + likely, 0) / each.length,
        long: Math.max(...each.map(({ long }) => long)),
      };
    },
    sourceBetween: (from, to) =>
      recordings.some((recording) => covers(recording, from, to))
        ? "recording"
        : tempoMap.sourceBetween(from, to),
    quartersAfterSeconds: (from, seconds) => {
      const each = recordings.flatMap((recording) => recording.quartersAfter(from, seconds) ?? []);
      return each.length > 0 ? Math.max(...each) : tempoMap.quartersAfterSeconds(from, seconds);
    },
  };
}

/** Whether the timings of a recording reach from one moment to another. */
export function covers(recording: RecordedTime, from: Fraction, to: Fraction): boolean {
  return from.compare(recording.from) >= 0 && to.compare(recording.to) <= 0;
}

function partlyMeasured(
  tempoMap: TempoMap,
  recording: RecordedTime,
  from: Fraction,
  to: Fraction,
): SecondsRange {
  const begin = maxFraction(from, recording.from);
  const end = minFraction(to, recording.to);
  if (end.compare(begin) < 0) return tempoMap.secondsBetween(from, to);
  const measured = recording.secondsBetween(begin, end);
  const before = tempoMap.secondsBetween(from, begin);
  const after = tempoMap.secondsBetween(end, to);
  return {
    short: before.short + measured + after.short,
    likely: before.likely + measured + after.likely,
    long: before.long + measured + after.long,
  };
}
