import type { InstrumentId } from "../../model/instrument.js";
import type { InstrumentChoice, PartReport, Passage } from "../../model/report.js";

/** A smaller gain is none: within it the printed instrument stays. In points, and as a part of the printed score. */
const LEAST_GAIN = 0.2;
const LEAST_SHARE = 0.15;

export function printedChoice({ choices }: Pick<Passage, "choices">): InstrumentChoice | undefined {
  return choices.find(({ printed }) => printed);
}

/** Whether a score is plainly lower than another. */
export function isPlainlyEasier(score: number, printedScore: number): boolean {
  return printedScore - score >= Math.max(LEAST_GAIN, LEAST_SHARE * printedScore);
}

/** The instrument a passage lies best on; the printed one where no other is plainly easier. */
export function bestChoice(passage: Pick<Passage, "choices">): InstrumentChoice | undefined {
  const printed = printedChoice(passage);
  const [easiest] = [...passage.choices].sort((a, b) => a.difficulty.score - b.difficulty.score);
  if (!printed || !easiest) return printed ?? easiest;
  return isPlainlyEasier(easiest.difficulty.score, printed.difficulty.score) ? easiest : printed;
}

/** How the whole part lies: as printed, with the best of each passage, and all of it on one instrument. */
export interface WholePart {
  readonly printed: number;
  readonly best: number;
  /** Only instruments that every passage could be read on. */
  readonly onOne: readonly { readonly instrument: InstrumentId; readonly score: number }[];
}

/** Means over all notes of the part, in points; undefined for a part without notes. */
export function wholePart({ passages }: Pick<PartReport, "passages">): WholePart | undefined {
  const notes = passages.reduce((sum, { noteCount }) => sum + noteCount, 0);
  if (notes === 0) return undefined;
  const mean = (scoreOf: (passage: Passage) => number) =>
    passages.reduce((sum, passage) => sum + passage.noteCount * scoreOf(passage), 0) / notes;
  const ids = passages[0]?.choices.map(({ instrument }) => instrument) ?? [];
  const scoreOn = (passage: Passage, id: InstrumentId) =>
    passage.choices.find(({ instrument }) => instrument === id)?.difficulty.score;
  return {
    printed: mean((passage) => printedChoice(passage)?.difficulty.score ?? 0),
    best: mean((passage) => bestChoice(passage)?.difficulty.score ?? 0),
    onOne: ids
      .filter((id) => passages.every((passage) => scoreOn(passage, id) !== undefined))
      .map((instrument) => ({
        instrument,
        score: mean((passage) => scoreOn(passage, instrument) ?? 0),
      })),
  };
}
