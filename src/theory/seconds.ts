import type { SecondsRange } from "../model/time.js";

export const NO_SECONDS: SecondsRange = { short: 0, likely: 0, long: 0 };

/** Stretches of time one after the other. */
export function sumSeconds(ranges: readonly SecondsRange[]): SecondsRange {
  return ranges.reduce(
    (sum, { short, likely, long }) => ({
      short: sum.short + short,
      likely: sum.likely + likely,
      long: sum.long + long,
    }),
    NO_SECONDS,
  );
}
