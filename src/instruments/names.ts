import type { InstrumentId } from "../model/instrument.js";
import type { KeySpelling } from "./key-names-data.js";
import { KIND_BY_KEY, KIND_INSTRUMENTS, type InstrumentKind } from "./kinds.js";
import { FOREIGN_WORDS } from "./names-data.js";
import { onlyKey, playerNumber, readName, type NameReading } from "./read-name.js";
import { INSTRUMENTS, instrumentList } from "./table.js";
import { tokenize } from "./tokens.js";

/** An instrument as a part name, label or instruction puts it. */
export interface NamedInstrument {
  /** Missing where only a key is printed ("muta in La"): the kind in hand is meant. */
  readonly family?: InstrumentKind;
  /** Key as printed, on the line of fifths: B-flat -2, A 3. Missing where none is printed. */
  readonly keyFifths?: number;
  /** "Clarinet 2" is [2], "Clarinets 1 & 2" is [1, 2]. */
  readonly players?: readonly number[];
}

/** What a kind means in a key: a flute in G is an alto flute. */
function kindInKey(kind: InstrumentKind, fifths: number | undefined): InstrumentKind {
  const other = KIND_BY_KEY.find(([from, key]) => from === kind && key === fifths);
  return other ? other[2] : kind;
}

/** A reading as a name; of two different keys ("in A/B♭") none is taken. */
export function namedInstrument(reading: NameReading): NamedInstrument {
  const keyFifths = onlyKey(reading);
  const kind = reading.phrase?.kind;
  return {
    ...(kind && { family: kindInKey(kind, keyFifths) }),
    ...(keyFifths !== undefined && { keyFifths }),
    ...(reading.players.length > 0 && { players: reading.players }),
  };
}

/**
 * Reads a part name or printed label in English, German, Italian, French or Spanish; undefined
 * when it is not one of the woodwinds of the table. Of several instruments the first counts:
 * "Flute 2/Piccolo" is a flute. An abbreviation may have no unknown words beside it; a full name
 * may ("Reed 2: Clarinet"), unless they make it another instrument ("Piccolo Trumpet").
 */
export function readInstrumentName(text: string): NamedInstrument | undefined {
  const reading = readName(tokenize(text));
  if (!reading.phrase) return undefined;
  if (reading.unknown.length > 0) {
    if (reading.phrase.short) return undefined;
    if (reading.unknown.some((word) => FOREIGN_WORDS.has(word))) return undefined;
  }
  return namedInstrument(reading);
}

/** Whether a name plainly means an instrument that is no woodwind of the table: "Trumpet in Bb". */
export function isForeignName(text: string): boolean {
  const { unknown } = readName(tokenize(text));
  return unknown.some((word) => FOREIGN_WORDS.has(word));
}

/**
 * Instruments a name may mean, the most usual first; none when the table has no such instrument
 * ("Clarinet in H"). Without a family every instrument in that key is given.
 */
export function instrumentsNamed(name: NamedInstrument): readonly InstrumentId[] {
  const { family, keyFifths } = name;
  if (!family && keyFifths === undefined) return [];
  const ids: readonly InstrumentId[] = family
    ? KIND_INSTRUMENTS[kindInKey(family, keyFifths)]
    : instrumentList.map((instrument) => instrument.id);
  return ids.filter((id) => keyFifths === undefined || INSTRUMENTS[id].keyFifths === keyFifths);
}

/** Whether a text names the key of B without an accidental: B-flat the German way, or B natural. */
export function namesBareB(text: string): boolean {
  return readName(tokenize(text)).keys.some(isBareB);
}

/** How the keys of a text are spelled, apart from a bare B, which leaves it open. */
export function keySpellings(text: string): readonly KeySpelling[] {
  return readName(tokenize(text))
    .keys.filter((key) => !isBareB(key))
    .map(({ spelling }) => spelling);
}

function isBareB({ fifths, spelling, marked }: NameReading["keys"][number]): boolean {
  return fifths === -2 && spelling === "german" && !marked;
}

/** Whether a part name has a clarinet of any size in it, basset horns included. */
export function isClarinetName(text: string): boolean {
  return readInstrumentNames(text).some(
    ({ family }) =>
      family !== undefined && INSTRUMENTS[KIND_INSTRUMENTS[family][0]].family === "clarinet",
  );
}

/**
 * The instruments a part name lists ("Reed 2: Flute, Clarinet, Alto Sax"), in its order; one or none for most.
 */
export function readInstrumentNames(text: string): readonly NamedInstrument[] {
  if (isForeignName(text) && !isDoublerChair(text)) return [];
  const pieces = text.split(/[,;:/&+()]|\b(?:and|und|et|e|y)\b/);
  const names: NamedInstrument[] = [];
  for (const piece of pieces) {
    const name = readInstrumentName(piece);
    if (name) names.push(name);
  }
  const whole = readInstrumentName(text);
  return names.length > 1 ? names : whole ? [whole] : names;
}

/** Words that call a part by its chair, as the books of musicals do. Common practice, no source. */
const CHAIRS: ReadonlySet<string> = new Set([
  "reed", "reeds", "woodwind", "woodwinds", "wood", "winds", "ww", "holzblaser", "holz", "bois", "legni",
  "legno", "maderas", "madera",
]); // prettier-ignore

/** Whether a part is called by a chair that may hold any woodwind: "Reed 2", "Woodwind 3". */
export function isDoublerChair(text: string): boolean {
  const [first, second] = tokenize(text);
  if (!first || !CHAIRS.has(first.text)) return false;
  // "Wood block", "Reed organ" and "Winds" are no chairs.
  if (!second) return first.text === "reed";
  return second.text === "book" || playerNumber(second) !== undefined;
}

/** Whether a part name is that of a woodwind whose players double: any kind of the table, or a chair. */
export function isWindDoublerName(text: string): boolean {
  return readInstrumentName(text) !== undefined || isDoublerChair(text);
}
