import { readKey, type ReadKey } from "./key-names.js";
import type { InstrumentKind } from "./kinds.js";
import {
  CONJUNCTIONS,
  NAME_ROWS,
  NEUTRAL_WORDS,
  NUMBER_WORDS,
  PLURALS,
  type Language,
} from "./names-data.js";
import { tokenize, type Token } from "./tokens.js";

/** A name of the table found in a text. */
interface Phrase {
  readonly kind: InstrumentKind;
  readonly language: Language;
  readonly short: boolean;
  /**
   * Whether it says by itself that another instrument is taken up: any full name, and of the
   * abbreviations those that spell out what sets it apart ("Bassklar.", "Picc."). "Fl." and
   * "B. Cl." are what cues are headed with.
   */
  readonly telling: boolean;
  readonly length: number;
}

/** Everything that was seen in a text, for the caller to judge. */
export interface NameReading {
  /** The first instrument named, if any. */
  readonly phrase: Phrase | undefined;
  /** Keys beside it, as printed. */
  readonly keys: readonly ReadKey[];
  /** Numbers of the players, in order. */
  readonly players: readonly number[];
  /** Whether another instrument follows ("Flute 2/Piccolo"). */
  readonly another: boolean;
  /** Whether there are words such as "solo". */
  readonly neutral: boolean;
  /** Words nothing is known of, folded. */
  readonly unknown: readonly string[];
}

/** More players than any woodwind section has; a larger number is something else. */
const MOST_PLAYERS = 16;

/** Kinds that have no name but that of the family. */
const PLAIN_KINDS: ReadonlySet<InstrumentKind> = new Set([
  "clarinet", "flute", "oboe", "bassoon", "saxophone",
]); // prettier-ignore

const PHRASES = phraseIndex();
const FIRST_WORDS: ReadonlySet<string> = new Set(
  [...PHRASES.keys()].map((words) => words.split(" ")[0] ?? ""),
);
const LONGEST_PHRASE = Math.max(...[...PHRASES.values()].map((phrase) => phrase.length));

/** Initials tell too little: "C. A.", "Bkl.". */
function isTelling(kind: InstrumentKind, words: readonly Token[]): boolean {
  const letters = words.reduce((sum, { text }) => sum + text.length, 0);
  return !PLAIN_KINDS.has(kind) && letters > 3 && words.every(({ text }) => text.length > 1);
}

function phraseIndex(): ReadonlyMap<string, Phrase> {
  const index = new Map<string, Phrase>();
  for (const { kind, language, full, short } of NAME_ROWS) {
    for (const name of [...full, ...short]) {
      const words = tokenize(name);
      const keys = words.map((token) => token.key);
      const isShort = short.includes(name);
      const telling = !isShort || isTelling(kind, words);
      const phrase = { kind, language, short: isShort, telling, length: keys.length };
      if (!index.has(keys.join(" "))) index.set(keys.join(" "), phrase);
    }
  }
  return index;
}

/** The longest name that begins at a token. */
function phraseAt(tokens: readonly Token[], index: number): Phrase | undefined {
  if (!FIRST_WORDS.has(tokens[index]?.key ?? "")) return undefined;
  for (let length = LONGEST_PHRASE; length > 0; length -= 1) {
    const words = tokens.slice(index, index + length);
    if (words.length < length) continue;
    const phrase = PHRASES.get(words.map((token) => token.key).join(" "));
    if (phrase) return phrase;
  }
  return undefined;
}

/** The player a token counts: "2.", "II", "zweite". */
export function playerNumber(token: Token | undefined): number | undefined {
  if (!token) return undefined;
  // A small "i" is an Italian article, a small "v" an abbreviation.
  if (token.raw === "i" || token.raw === "v") return undefined;
  const number = token.kind === "number" ? Number(token.text) : NUMBER_WORDS.get(token.text);
  return number !== undefined && number >= 1 && number <= MOST_PLAYERS ? number : undefined;
}

function range(from: number, to: number): readonly number[] {
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, index) => from + index);
}

const IN: ReadonlySet<string> = new Set(["in", "en"]);

/** Key names that are everyday words in small letters ("as", French "des"). */
const NEEDS_CAPITAL: ReadonlySet<string> = new Set(["as", "des"]);

/**
 * The key at a token, unless the word is an article or "and" there. `beforeNoun`: an instrument
 * is named later in the text, so that "la" may be the article of "la clarinette".
 */
function keyAt(tokens: readonly Token[], index: number, beforeNoun: boolean): ReadKey | undefined {
  const token = tokens[index];
  const key = readKey(tokens, index);
  if (!token || !key || IN.has(tokens[index - 1]?.text ?? "")) return key;
  if (key.marked) return key;
  if (key.spelling === "syllable" && beforeNoun) return undefined;
  if (NEEDS_CAPITAL.has(token.raw) && tokens.length > 1) return undefined;
  const inside = index > 0 && index < tokens.length - 1;
  if (token.raw === "e" && inside) return undefined;
  // "take a B♭ clarinet": the article.
  if (token.raw === "a" && readKey(tokens, index + 1)) return undefined;
  return key;
}

/**
 * Reads instrument, keys and players from a text, in any order, and says what else was there.
 * It accepts nothing and refuses nothing: see `readInstrumentName` and `readChangeWords`.
 */
export function readName(tokens: readonly Token[]): NameReading {
  const found = tokens.map((_, index) => phraseAt(tokens, index));
  const firstNoun = found.findIndex((phrase) => phrase !== undefined);
  const keys: ReadKey[] = [];
  const players = new Set<number>();
  const unknown: string[] = [];
  let phrase: Phrase | undefined;
  let another = false;
  let neutral = false;

  /** Takes in what begins at a token; gives the number of tokens used up. */
  const take = (token: Token, index: number): number => {
    const named = found[index];
    if (named) {
      if (phrase) another = true;
      else phrase = named;
      return named.length;
    }
    const next = tokens[index + 1];
    // "a 2": both players on one line.
    if (token.raw === "a" && next?.kind === "number") return 2;
    const number = playerNumber(token);
    if (number !== undefined) {
      const last = token.hyphenated ? playerNumber(next) : undefined;
      if (!another) for (const player of range(number, last ?? number)) players.add(player);
      return last === undefined ? 1 : 2;
    }
    const key = keyAt(tokens, index, index < firstNoun);
    if (key) {
      if (!another) keys.push(key);
      return key.length;
    }
    const joins = token.kind === "separator" || CONJUNCTIONS.has(token.text);
    const leadsToKey = IN.has(token.text) && readKey(tokens, index + 1) !== undefined;
    const article = token.raw === "a" && readKey(tokens, index + 1) !== undefined;
    if (NEUTRAL_WORDS.has(token.text)) neutral = true;
    else if (!joins && !leadsToKey && !article) unknown.push(token.text);
    return 1;
  };

  for (let index = 0; index < tokens.length;) {
    const token = tokens[index];
    if (!token) break;
    index += take(token, index);
  }
  const count = playerCount(tokens, firstNoun, phrase);
  const numbers = count === undefined ? [...players].sort((a, b) => a - b) : range(1, count);
  return { phrase, keys, players: numbers, another, neutral, unknown };
}

/** "2 Clarinetten" are two players; "2. Klarinette" and "Clarinetti 2" are not a count. */
function playerCount(
  tokens: readonly Token[],
  firstNoun: number,
  phrase: Phrase | undefined,
): number | undefined {
  const first = tokens[0];
  if (!phrase || firstNoun < 1 || first?.kind !== "number") return undefined;
  if (first.dotted || first.ordinal || first.hyphenated) return undefined;
  const noun = tokens.slice(firstNoun, firstNoun + phrase.length);
  return noun.some((token) => PLURALS.has(token.text)) ? playerNumber(first) : undefined;
}

/** The one key that is meant, or undefined where none or several are printed. */
export function onlyKey(reading: NameReading): number | undefined {
  const fifths = new Set(reading.keys.map((key) => key.fifths));
  return fifths.size === 1 ? [...fifths][0] : undefined;
}
