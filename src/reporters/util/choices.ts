import { OUT_OF_RANGE_POINTS } from "../../model/fingering.js";
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
  /** Only instruments that every passage could be read on, with all its notes. */
  readonly onOne: readonly { readonly instrument: InstrumentId; readonly score: number }[];
}

/** Means over all notes of the part, in points; undefined for a part without notes. */
export function wholePart({ passages }: Pick<PartReport, "passages">): WholePart | undefined {
  const notes = passages.reduce((sum, { noteCount }) => sum + noteCount, 0);
  if (notes === 0) return undefined;
  const mean = (scoreOf: (passage: Passage) => number) =>
    passages.reduce((sum, passage) => sum + passage.noteCount * scoreOf(passage), 0) / notes;
  const ids = passages[0]?.choices.map(({ instrument }) => instrument) ?? [];
  const scoreOn = (passage: Passage, id: InstrumentId) => {
    const choice = passage.choices.find(({ instrument }) => instrument === id);
    return choice?.outOfRange === 0 ? choice.difficulty.score : undefined;
  };
  return {
    printed: mean((passage) => movement(printedChoice(passage))),
    best: mean((passage) => movement(bestChoice(passage))),
    onOne: ids
      .filter((id) => passages.every((passage) => scoreOn(passage, id) !== undefined))
      .map((instrument) => ({
        instrument,
        score: mean((passage) => scoreOn(passage, instrument) ?? 0),
      })),
  };
}

/** The difficulty of the notes that are there; those that are not are told by their number. */
function movement(choice: InstrumentChoice | undefined): number {
  if (!choice) return 0;
  return choice.difficulty.score - (choice.outOfRange > 0 ? OUT_OF_RANGE_POINTS : 0);
}
