import { readChangeWords } from "../instruments/change-words.js";
import { keySpellings } from "../instruments/names.js";
import type { Notice } from "../model/finding.js";
import type { PartTimeline, Transposition } from "../model/score.js";
import { transpositionFifths } from "../theory/pitch.js";
import type { PageSign } from "./page-evidence.js";

const B_FLAT_FIFTHS = -2;

/**
 * Why "in B" was read as B-flat: by the transposition at the note, by keys that the part spells the German
 * way elsewhere ("Es", "H"), by Italian words, or because no woodwind in B natural is in use.
 */
export function whyBFlat(
  sign: PageSign,
  { instructions, part }: PartTimeline,
  transposition: Transposition | undefined,
): Extract<Notice, { kind: "bare-b" }>["because"] {
  if (transposition && transpositionFifths(transposition) === B_FLAT_FIFTHS) return "transposition";
  const words = readChangeWords(sign.text);
  const language = words.kind === "change" ? words.language : undefined;
  const texts = [part.name, ...instructions.map(({ text }) => text)];
  if (language === "de" || texts.some((text) => keySpellings(text).includes("german"))) {
    return "german";
  }
  return language === "it" ? "italian" : "no-such-instrument";
}
