import { INSTRUMENTS } from "../../src/instruments/table.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { Transposition } from "../../src/model/score.js";
import type { Random } from "./renotate-random.js";
import { comparePlaces, type Place, type Seam } from "./renotate-source.js";

/** A sign that is printed besides the transposition. */
export interface PlannedSign {
  readonly kind: "words" | "instrument-change" | "part-name-display";
  readonly at: Place;
  readonly text: string;
  /** Of words: the `<instrument-change>` that is encoded in the same direction. */
  readonly sound?: string;
}

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

export function keyOf(target: Target): number {
  return INSTRUMENTS[target].keyFifths;
}

export function transpositionOf(target: Target): Transposition {
  return INSTRUMENTS[target].notations[0].transposition;
}

export function instrumentId(index: number): string {
  return `P1-I${index + 1}`;
}

export function declaration(id: string, target: Target, random: Random): string {
  const sound = random.chance(0.8)
    ? `<instrument-sound>${INSTRUMENTS[target].sounds[0]}</instrument-sound>`
    : "";
  return `<score-instrument id="${id}"><instrument-name>${partName(target, undefined, random)}</instrument-name>${sound}</score-instrument>`;
}

/** "2. muta in Es" is nothing to the first player. */
export function otherPlayersWords(at: Place, player: number, random: Random): PlannedSign {
  const text = printedText("prepare", random.pick(["clarinet-eflat", "clarinet-d"]), false, random);
  return { kind: "words", at, text: `${3 - player}. ${text.replace(/^Cl\. /, "")}` };
}

/**
 * Whether a key alone leaves open what is meant: a B-flat bass clarinet was played, which is in B-flat too.
 * Its other notation sounds like a B-flat clarinet, and that of the one in A like an A clarinet, so that
 * not even the transposition tells without the clef, which is not read (see the tests).
 */
export function needsName(target: Target, before: readonly Target[]): boolean {
  return target === "bass-clarinet-bflat" || before.includes("bass-clarinet-bflat");
}

/** How the changes of a part are encoded. */
export interface Encodings {
  /** Whether every change has its words where the rest begins. */
  readonly announced: boolean;
  readonly declares: boolean;
  readonly noteInstruments: boolean;
  readonly used: readonly Target[];
}

export function chooseSigns(
  seam: Seam,
  target: Target,
  before: readonly Target[],
  { announced, declares, noteInstruments, used }: Encodings,
  random: Random,
): readonly PlannedSign[] {
  const byName = needsName(target, before);
  const signs: PlannedSign[] = [];
  const change = `<instrument-change id="${instrumentId(used.indexOf(target))}">${
    random.chance(0.5)
      ? `<instrument-sound>${INSTRUMENTS[target].sounds[0]}</instrument-sound>`
      : ""
  }</instrument-change>`;
  let sound = declares && random.chance(noteInstruments ? 0.3 : 0.8) ? change : undefined;
  if (announced) signs.push(announcement(seam, target, byName, random));
  else if (random.chance(0.4)) signs.push(preparingWords(seam, target, byName, random));
  if (random.chance(0.3)) signs.push(label(seam, target, byName, random));
  const displayAt = [...seam.inside, seam.enter].filter(({ at }) => at === 0);
  const named = signs.length > 0 || sound !== undefined || noteInstruments;
  if (displayAt.length > 0 && (random.chance(0.2) || (byName && !named))) {
    signs.push({
      kind: "part-name-display",
      at: random.pick(displayAt),
      text: partName(target, undefined, random),
    });
  } else if (byName && !named) signs.push(label(seam, target, byName, random));
  if (sound !== undefined && random.chance(0.5)) {
    const carrier = signs.findIndex(
      ({ kind, at }) => kind === "words" && comparePlaces(at, seam.leave) >= 0,
    );
    const words = signs[carrier];
    if (words) {
      signs[carrier] = { ...words, sound };
      sound = undefined;
    }
  }
  if (sound !== undefined) {
    const at = random.chance(0.5) ? seam.enter : random.pick(seam.inside);
    signs.push({ kind: "instrument-change", at, text: sound });
  }
  return signs;
}

export function wrongSigns(
  seam: Seam,
  target: Target,
  before: readonly Target[],
  random: Random,
): readonly PlannedSign[] {
  const byName = needsName(target, before);
  const kind = random.below(3);
  return [
    ...(kind !== 1 ? [preparingWords(seam, target, byName, random)] : []),
    ...(kind !== 0 ? [label(seam, target, byName, random)] : []),
  ];
}

/** Words where the rest begins, or over the note before it. */
export function announcement(
  { lastNote, leave, inside }: Seam,
  target: Target,
  byName: boolean,
  random: Random,
): PlannedSign {
  const [first] = inside;
  const canStand = first !== undefined && comparePlaces(first, leave) === 0;
  const at = canStand && random.chance(0.8) ? first : lastNote;
  return { kind: "words", at, text: printedText("prepare", target, byName, random) };
}

/** Words that prepare stand where the rest begins, sometimes later, sometimes over the note before. */
export function preparingWords(
  { lastNote, inside }: Seam,
  target: Target,
  byName: boolean,
  random: Random,
): PlannedSign {
  const [first] = inside;
  const at = random.chance(0.1)
    ? lastNote
    : first && random.chance(0.6)
      ? first
      : random.pick(inside);
  return { kind: "words", at, text: printedText("prepare", target, byName, random) };
}

export function label(
  { enter, inside }: Seam,
  target: Target,
  byName: boolean,
  random: Random,
): PlannedSign {
  // In the bar of the entry, before the rest in it.
  const barStart = inside.find(({ bar }) => bar === enter.bar);
  const at = barStart && random.chance(0.2) ? barStart : enter;
  return { kind: "words", at, text: printedText("label", target, byName, random) };
}
