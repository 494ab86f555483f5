import type { Disagreement } from "../../model/finding.js";
import { signatureText } from "../../theory/key.js";
import { clean } from "../util/clean.js";
import { fullName, oneOf } from "./instruments.js";
import { secondsText } from "./quantities.js";

type Wording = {
  readonly [K in Disagreement["kind"]]: (each: Extract<Disagreement, { kind: K }>) => string;
};

const quoted = (words: string, barLabel: string) => `"${clean(words)}" (bar ${clean(barLabel)})`;

/** Both places of a disagreement and what each means; a missing kind does not compile. */
const WORDING: Wording = {
  "words-against-transposition": (each) =>
    `misprint? ${quoted(each.words, each.wordsBarLabel)} means ${fullName(each.wordsMean)}, ` +
    `but the transposition at bar ${clean(each.barLabel)} is for ${oneOf(each.transpositionFits)}` +
    keyText(each.keyFits),
  "encoded-against-transposition": (each) =>
    `misprint? the file names "${clean(each.encoded)}" (bar ${clean(each.encodedBarLabel)}) for the notes from bar ${clean(each.barLabel)}, ` +
    `but their transposition is for ${oneOf(each.transpositionFits)}; taken for ${fullName(each.followed)}`,
  "words-against-words": (each) =>
    `misprint? ${quoted(each.words, each.wordsBarLabel)} and ${quoted(each.otherWords, each.otherWordsBarLabel)} contradict each other; ` +
    `taken for ${fullName(each.followed)} from bar ${clean(each.barLabel)}`,
  "words-before-transposition": (each) =>
    `misprint? ${quoted(each.words, each.wordsBarLabel)} asks for ${fullName(each.wordsMean)}, but bar ${clean(each.passedBarLabel)} ` +
    `is still written for the one before; its notes come at bar ${clean(each.barLabel)}`,
  "key-against-score": (each) =>
    `misprint? the key signature at bar ${clean(each.keyBarLabel)} has ${signatureText(each.writtenFifths)}; by the other players' key ` +
    `(bar ${clean(each.scoreKeyBarLabel)}) ${fullName(each.instrument)} has ${signatureText(each.expectedFifths)}`,
  "nothing-printed": ({ restBarLabel }) =>
    `nothing on the page warns you: no word stands in the rest from bar ${clean(restBarLabel)} on`,
  "late-warning": (each) =>
    `late warning: ${quoted(each.words, each.wordsBarLabel)} ${each.seconds < 0.05 ? "stands only at the entry" : `stands ${secondsText(each.seconds)} before the entry`}, the hands need ${secondsText(each.neededSeconds)}`,
};

function keyText(keyFits: "words" | "transposition" | undefined): string {
  return keyFits === undefined
    ? ""
    : `; by the other players' key the ${keyFits} ${keyFits === "words" ? "are" : "is"} right`;
}

export function disagreementText(each: Disagreement): string {
  const word = WORDING[each.kind] as (disagreement: Disagreement) => string;
  return word(each);
}
