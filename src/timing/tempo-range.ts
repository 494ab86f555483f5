import type { PrintedTempo } from "../model/tempo.js";
import { TEMPO_SOURCES, type TempoRange, type TempoSource } from "../model/time.js";

/**
 * How far a conductor may be from a printed number, as factors of it. Assumptions (common practice,
 * no source); they widen every rest into a range.
 */
const PRINTED_SPREAD = {
  printed: { slow: 0.94, fast: 1.06 },
  /** "ca.", and numbers in square brackets: the editor's. */
  loose: { slow: 0.9, fast: 1.1 },
};

/**
 * What a playback number without a printed mark may stand for: measured orchestral rests lasted 0.9
 * to 2.0 times what such numbers say (four movements of one symphony; the project's brief). The likely
 * one lies in the middle of that, since nothing says where in it a given conductor is.
 */
const PLAYBACK_SPREAD = { slow: 0.5, likely: 0.72, fast: 1.11 };

/**
 * The tempo used where the file gives none: quarters a minute. An assumption; the range spans
 * slow movements to quick ones, so that no rest is made to look safe.
 */
export const ASSUMED_TEMPO: TempoRange = { slow: 60, likely: 100, fast: 144 };

/** The range a printed number stands for. A printed range is taken as it stands. */
export function printedRange(printed: PrintedTempo): TempoRange {
  const { quartersPerMinute: likely, range, approximate, editorial } = printed;
  if (range) return { slow: range.low, likely, fast: range.high };
  const spread = PRINTED_SPREAD[approximate || editorial ? "loose" : "printed"];
  return { slow: likely * spread.slow, likely, fast: likely * spread.fast };
}

/** The range a playback number stands for; quarters a minute. */
export function playbackRange(playback: number): TempoRange {
  return scaled(PLAYBACK_SPREAD, playback);
}

/** What a published table says of a tempo word, in beats a minute. */
export interface WordRange {
  readonly low: number;
  readonly high: number;
}

/**
 * The range of a tempo word without a number, in quarters a minute. The tables are for a beat of a
 * quarter; orchestras take their figures as an upper bound (assumption). Where the beat is another note,
 * the tables and the players disagree on what is counted: the range then reaches to the table's slow
 * figure, counted in the longer of the beat and the quarter.
 */
export function wordRange(word: WordRange, beatQuarters: number): TempoRange {
  const fast = beatQuarters === 1 ? word.high : word.low * Math.max(1, beatQuarters);
  return scaled(PLAYBACK_SPREAD, fast / PLAYBACK_SPREAD.fast);
}

/** No word moves a number further than this factor. */
const FURTHEST_SHIFT = 1.5;

/**
 * A playback number weighed with the word printed beside it: its range is moved just so far that it
 * touches what the tables give for the word in the beat of the meter. An Allegro in 2/2 whose
 * number counts quarters moves up in this way; an Allegro in 4/4 stays where it is.
 */
export function weighedRange(playback: number, word: WordRange, beatQuarters: number): TempoRange {
  const plain = playbackRange(playback);
  const slowEdge = word.low * Math.max(1, beatQuarters);
  const fastEdge = word.high * Math.max(1, beatQuarters);
  if (plain.fast < slowEdge) {
    return scaled(plain, Math.min(FURTHEST_SHIFT, slowEdge / plain.fast));
  }
  if (plain.slow > fastEdge) {
    return scaled(plain, Math.max(1 / FURTHEST_SHIFT, fastEdge / plain.slow));
  }
  return plain;
}

/**
 * Where the notation moves on to beats twice as long without a word, the music is often calmer; where
 * only a playback number or a word is known, it is taken slower by this factor. An assumption (common
 * practice, no source).
 */
export const LONGER_BEAT: TempoRange = { slow: 0.9, likely: 0.9, fast: 0.9 };

/** Without a steady tempo (rubato, cadenza, senza misura): an assumption. */
export const FREE_TEMPO: TempoRange = { slow: 0.6, likely: 0.9, fast: 1.15 };

export function scaled({ slow, likely, fast }: TempoRange, factor: number): TempoRange {
  return { slow: slow * factor, likely: likely * factor, fast: fast * factor };
}

/** Each end by the factor for it. */
export function multiplied(tempo: TempoRange, factor: TempoRange): TempoRange {
  return {
    slow: tempo.slow * factor.slow,
    likely: tempo.likely * factor.likely,
    fast: tempo.fast * factor.fast,
  };
}

export function sameRange(a: TempoRange, b: TempoRange): boolean {
  return a.slow === b.slow && a.likely === b.likely && a.fast === b.fast;
}

/** The source that is least to be relied on. */
export function weakestSource(sources: readonly TempoSource[]): TempoSource {
  return sources.reduce<TempoSource>(
    (weakest, each) => (strength(each) < strength(weakest) ? each : weakest),
    sources[0] ?? "assumed",
  );
}

function strength(source: TempoSource): number {
  return -TEMPO_SOURCES.indexOf(source);
}
