import type { ChangeWords } from "../../src/instruments/change-words.js";
import type { NamedInstrument } from "../../src/instruments/names.js";
import type { Language } from "../../src/instruments/names-data.js";

/** Keys on the line of fifths. */
const FIFTHS = {
  A: 3, "B♭": -2, B: 5, C: 0, "C♯": 7, D: 2, E: 4, "E♭": -3, F: -1, G: 1, "A♭": -4,
} as const; // prettier-ignore
type Key = keyof typeof FIFTHS;
type Family = NonNullable<NamedInstrument["family"]>;

/** What is changed to: a key (English, B is B natural), an instrument, or both: "clarinet A". */
export type Target = Key | Family | `${Family} ${Key}`;

/** Who changes; where players change to different things, the others and their targets too. */
export type Players = readonly number[];

/** A printed instruction: text, effect, target, players, what others of the staff change to. */
export type Phrase = readonly [
  text: string,
  effect: "prepare" | "label",
  target: Target,
  players?: Players,
  others?: readonly (readonly [Players, Target])[],
];

export interface PhraseTable {
  readonly language: Language;
  readonly phrases: readonly Phrase[];
}

function isKey(word: string): word is Key {
  return Object.hasOwn(FIFTHS, word);
}

function nameOf(target: Target): NamedInstrument {
  const words = target.split(" ");
  const key = words.find(isKey);
  const family = words.find((word) => !isKey(word)) as Family | undefined;
  return { ...(family && { family }), ...(key && { keyFifths: FIFTHS[key] }) };
}

/** What the parser should make of a phrase. */
export function expectedChange(
  language: Language,
  [text, verb, target, players, others]: Phrase,
): ChangeWords {
  return {
    kind: "change",
    verb,
    name: nameOf(target),
    ...(players && players.length > 0 && { players }),
    ...(others && { others: others.map(([who, to]) => ({ players: who, name: nameOf(to) })) }),
    language,
    text: text.trim(),
  };
}
