import type { Random } from "./renotate-random.js";
import type { SourcePart } from "./renotate-source.js";

/** Bars of a part, the last one excluded. */
export interface Cut {
  readonly from: number;
  readonly to: number;
}

const FEWEST_BARS = 40;

export function wholePart({ bars }: SourcePart): Cut {
  return { from: 0, to: bars.length };
}

/** Some bars of a part without repeats and endings, so that they are played as they stand. */
export function randomWindow({ bars, timeline }: SourcePart, random: Random, mostBars = 120): Cut {
  for (;;) {
    const length = FEWEST_BARS + random.below(mostBars - FEWEST_BARS + 1);
    const from = random.below(Math.max(1, bars.length - length));
    const to = Math.min(bars.length, from + length);
    const repeats = timeline.bars
      .slice(from, to)
      .some((bar) => bar.repeatStart || bar.repeatEnd || bar.endingStart || bar.endingStop);
    if (!repeats && to - from < bars.length) return { from, to };
  }
}
