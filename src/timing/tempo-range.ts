import type { TempoMark, TempoRange, TempoSource } from "../model/time.js";

/**
 * How far a conductor may be from a number, as a share of it.
 * Assumptions (common practice, no source); they widen every rest into a range.
 */
const SPREAD: Readonly<Record<"metronome" | "sound", number>> = {
  metronome: 0.06,
  // A playback number was often set by ear, or by the program's own idea of a tempo word.
  sound: 0.12,
};
/** A printed "ca." leaves more room. */
const APPROXIMATE_SPREAD = 0.1;

/**
 * The tempo used where the file gives none: quarters a minute. An assumption; the range spans
 * slow movements to quick ones, so that no rest is made to look safe.
 */
export const ASSUMED_TEMPO: TempoRange = { slow: 60, likely: 100, fast: 144 };

/** The slow, likely and fast tempo that a mark stands for. A printed range is taken as it stands. */
export function tempoRange(mark: TempoMark): TempoRange {
  const likely = mark.quartersPerMinute;
  if (mark.printedRange)
    return { slow: mark.printedRange.low, likely, fast: mark.printedRange.high };
  const spread = mark.approximate ? APPROXIMATE_SPREAD : SPREAD[mark.source];
  return { slow: likely * (1 - spread), likely, fast: likely * (1 + spread) };
}

/** The sources from the most to the least to be relied on. */
const RELIANCE: Readonly<Record<TempoSource, number>> = {
  recording: 0,
  sheet: 1,
  metronome: 2,
  sound: 3,
  words: 4,
  assumed: 5,
};

/** The source that is least to be relied on. */
export function weakestSource(sources: readonly TempoSource[]): TempoSource {
  return sources.reduce<TempoSource>(
    (weakest, each) => (RELIANCE[each] > RELIANCE[weakest] ? each : weakest),
    sources[0] ?? "assumed",
  );
}
