import type { TempoMark, TempoRange, TempoSource } from "../model/time.js";

/**
 * How far a conductor may be from a number, as factors of it. Assumptions (common practice, no source);
 * they widen every rest into a range. A playback number without a printed mark was set by ear, or by
 * the program's own idea of a tempo word, and is mostly too fast: down to half is allowed for.
 */
const SPREAD: Readonly<
  Record<"metronome" | "approximate" | "sound", { slow: number; fast: number }>
> = {
  metronome: { slow: 0.94, fast: 1.06 },
  approximate: { slow: 0.9, fast: 1.1 },
  sound: { slow: 0.5, fast: 1.12 },
};

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
  const spread =
    SPREAD[mark.source === "metronome" && mark.approximate ? "approximate" : mark.source];
  return { slow: likely * spread.slow, likely, fast: likely * spread.fast };
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
