import type { InstrumentId } from "../../src/model/instrument.js";
import type { Random } from "./renotate-random.js";

/** Instruments that parts are re-notated for. */
export const TARGETS = [
  "clarinet-bflat",
  "clarinet-a",
  "clarinet-eflat",
  "clarinet-c",
  "clarinet-d",
  "bass-clarinet-bflat",
] as const satisfies readonly InstrumentId[];
export type Target = (typeof TARGETS)[number];

/** How keys are printed in four languages. Common practice, no source. */
const KEYS: Readonly<Record<Target, Readonly<Record<"it" | "de" | "fr" | "en", string[]>>>> = {
  "clarinet-bflat": {
    it: ["Si♭", "Sib", "Si bemolle", "B"],
    de: ["B"],
    fr: ["si♭", "si bémol"],
    en: ["B♭", "Bb", "B flat"],
  },
  "clarinet-a": { it: ["La", "A"], de: ["A"], fr: ["la"], en: ["A"] },
  "clarinet-eflat": {
    it: ["Mi♭", "Es", "Mi bemolle"],
    de: ["Es"],
    fr: ["mi♭", "mi bémol"],
    en: ["E♭", "Eb", "E flat"],
  },
  "clarinet-c": { it: ["Do", "C"], de: ["C"], fr: ["ut"], en: ["C"] },
  "clarinet-d": { it: ["Re", "D"], de: ["D"], fr: ["ré"], en: ["D"] },
  "bass-clarinet-bflat": { it: ["Si♭"], de: ["B"], fr: ["si♭"], en: ["B♭"] },
};

type Pattern = (key: (language: "it" | "de" | "fr" | "en") => string) => string;

interface Patterns {
  /** Words where the rest begins. */
  readonly prepare: readonly Pattern[];
  /** Words over the first note. */
  readonly label: readonly Pattern[];
}

/** With nothing but the key: the instrument in hand in another key. */
const BY_KEY: Patterns = {
  prepare: [
    (key) => `muta in ${key("it")}`,
    (key) => `Muta in ${key("it")}`,
    (key) => `Cl. muta in ${key("it")}`,
    (key) => `cambia in ${key("it")}`,
    (key) => `nach ${key("de")} umstimmen`,
    (key) => `wechselt nach ${key("de")}`,
    (key) => `changez en ${key("fr")}`,
  ],
  label: [
    (key) => `in ${key("it")}`,
    (key) => `in ${key("de")}`,
    (key) => `en ${key("fr")}`,
    (key) => `(in ${key("en")})`,
  ],
};

/** With the instrument's name. */
const BY_NAME: Patterns = {
  prepare: [
    (key) => `muta in Clarinetto in ${key("it")}`,
    (key) => `prende il clarinetto in ${key("it")}`,
    (key) => `nimmt ${key("de")}-Klar.`,
    (key) => `nimmt ${key("de")}-Klarinette`,
    (key) => `${key("de")}-Klarinette nehmen`,
    (key) => `prenez la clar. en ${key("fr")}`,
    (key) => `prenez la clarinette en ${key("fr")}`,
    (key) => `take ${key("en")} clarinet`,
    (key) => `change to Clarinet in ${key("en")}`,
    (key) => `to ${key("en")} Cl.`,
  ],
  label: [
    (key) => `Clarinet in ${key("en")}`,
    (key) => `${key("en")} Clarinet`,
    (key) => `Cl. in ${key("it")}`,
    (key) => `Klarinette in ${key("de")}`,
    (key) => `${key("de")}-Klarinette`,
    (key) => `Clarinette en ${key("fr")}`,
    (key) => `Clar. (${key("en")})`,
  ],
};

const BASS: Patterns = {
  prepare: [
    () => "take bass clarinet",
    () => "to Bass Cl.",
    () => "muta in Clarinetto basso",
    () => "nimmt Bassklarinette",
    () => "nimmt Bassklar. in B",
    () => "prenez la clarinette basse",
    () => "prenez la clar. basse en si♭",
  ],
  label: [
    () => "Bass Clarinet",
    () => "Bass Clarinet in B♭",
    () => "Clarinetto basso in Si♭",
    () => "Bassklarinette in B",
    () => "Clarinette basse en si♭",
  ],
};

/** Words for an instrument; `byName` where the key alone would not tell which is meant. */
export function printedText(
  verb: "prepare" | "label",
  instrument: Target,
  byName: boolean,
  random: Random,
): string {
  const isBass = instrument === "bass-clarinet-bflat";
  const patterns = isBass ? BASS : byName || random.chance(0.5) ? BY_NAME : BY_KEY;
  return random.pick(patterns[verb])((language) => random.pick(KEYS[instrument][language]));
}

/** A name as in a part list, with the player's number where one is given. */
export function partName(instrument: Target, player: number | undefined, random: Random): string {
  const number = player === undefined ? "" : ` ${player}`;
  if (instrument === "bass-clarinet-bflat") {
    return random.pick([`Bass Clarinet${number}`, `Bass Clarinet${number} in B♭`]);
  }
  const key = random.pick(KEYS[instrument].en);
  return random.pick([
    `${key} Clarinet${number}`,
    `Clarinet${number} in ${key}`,
    `Klarinette${number} in ${random.pick(KEYS[instrument].de)}`,
    `Clarinetto${number} in ${random.pick(KEYS[instrument].it)}`,
  ]);
}
