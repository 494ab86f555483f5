import {
  ADVERBS,
  ARTICLES,
  HALF_NAMES,
  LOOK_ALIKE_ROWS,
  NEGATIONS,
  OPTION_WORDS,
  type ChangeRow,
} from "./change-words-data.js";
import { matchAt, piecesByPlayer, type Match } from "./change-patterns.js";
import { MODES } from "./key-names-data.js";
import { namedInstrument, type NamedInstrument } from "./names.js";
import { FOREIGN_WORDS, type Language } from "./names-data.js";
import { onlyKey, readName, type NameReading } from "./read-name.js";
import { tokenize, type Token } from "./tokens.js";

/** What some players change to: "II. in B" of "I. muta in A, II. in B". */
export interface PlayersChange {
  readonly players: readonly number[];
  readonly name: NamedInstrument;
}

/**
 * What printed words say about a change. `prepare` is said where the rest begins, `label` stands
 * at the first note on the new instrument. Where only a key is printed the name has no family.
 * `players`: who changes, on a staff of several ("2. muta in Es" is [2]); `others` are players
 * of the same staff who change to something else. `unclear` are words that ask for a change to
 * something that could not be understood.
 */
export type ChangeWords =
  | {
      readonly kind: "change";
      readonly verb: "prepare" | "label";
      readonly name: NamedInstrument;
      readonly players?: readonly number[];
      readonly others?: readonly PlayersChange[];
      readonly language: Language;
      readonly text: string;
    }
  | { readonly kind: "unclear"; readonly text: string }
  | { readonly kind: "none" };

type Change = Omit<Extract<ChangeWords, { kind: "change" }>, "text">;

/** What a pattern and its surroundings come to; `stop` rules out every other pattern. */
type Outcome = Change | "unclear" | "none" | "stop";

const LOOK_ALIKES: ReadonlySet<string> = new Set([
  ...LOOK_ALIKE_ROWS.flatMap((row) => row.words),
  // "change to A major"
  ...MODES,
]);

/** Nothing but an instrument, its key and players. */
function isPlain(reading: NameReading): boolean {
  return reading.unknown.length === 0 && !reading.another;
}

function keyCount(reading: NameReading): number {
  return new Set(reading.keys.map((key) => key.fifths)).size;
}

/** Two notes without an instrument or player are the tuning of timpani: "muta in Fa, Do". */
function isTuning(reading: NameReading): boolean {
  const namesNobody = !reading.phrase && reading.players.length === 0;
  return namesNobody && isPlain(reading) && keyCount(reading) > 1;
}

/** The language of a label that is little more than a key: "in La", "in Es", "in A". */
function languageOfKey(reading: NameReading, otherwise: Language): Language {
  const spelling = reading.keys[0]?.spelling;
  if (spelling === "syllable") return otherwise === "fr" ? "fr" : "it";
  return spelling === "german" ? "de" : "en";
}

function isFiller(token: Token | undefined): boolean {
  return token !== undefined && (ARTICLES.has(token.text) || ADVERBS.has(token.text));
}

/** Without articles in front and adverbs on either side. */
function withoutFillers(tokens: readonly Token[]): readonly Token[] {
  let from = 0;
  let to = tokens.length;
  while (from < to && isFiller(tokens[from])) from += 1;
  while (to > from && ADVERBS.has(tokens[to - 1]?.text ?? "")) to -= 1;
  return tokens.slice(from, to);
}

/** Whether a reading can be the target of a row. */
function suits(reading: NameReading, row: ChangeRow): boolean {
  if (!isPlain(reading) || keyCount(reading) > 1) return false;
  // "to Cl. solo" names who plays; "take A clarinet (solo)" still asks for the instrument.
  if (reading.neutral && !row.asks) return false;
  if (reading.phrase) return row.target !== "key";
  const key = reading.keys[0];
  if (!key || row.target === "name") return false;
  // "in a" and "to a" are the beginning of a sentence; "en la" is a key.
  const isKey = key.marked || key.capital || key.spelling === "syllable";
  if (!isKey && !row.asks) return false;
  return row.target !== "sure-key" || key.marked || key.fifths === 3;
}

/** The target as printed, or without its article: "la" is a key in "changez en la". */
function readTarget(tokens: readonly Token[], row: ChangeRow): NameReading {
  const whole = readName(tokens);
  return suits(whole, row) || isTuning(whole) ? whole : readName(withoutFillers(tokens));
}

/** Who changes: "Clarinetto in La", "Si♭", "la 2me" (where "la" is the article). */
function readSubject(tokens: readonly Token[]): NameReading {
  const whole = readName(tokens);
  const isArticle = whole.players.length > 0 && !whole.phrase;
  if (isPlain(whole) && !isArticle) return whole;
  return readName(tokens.filter((token) => !isFiller(token)));
}

/** Keys in which clarinets are made: B-flat, A, C, D, E-flat. */
const CLARINET_KEYS: ReadonlySet<number | undefined> = new Set([-2, 3, 0, 2, -3]);

/** Whether one clarinet is left for another: "Si♭ muta in La". */
function isClarinetPair(subject: NameReading, target: NameReading): boolean {
  return CLARINET_KEYS.has(onlyKey(subject)) && CLARINET_KEYS.has(onlyKey(target));
}

/** The row may be another than that of the match: "II. in B" after "I. muta in A". */
function judge(
  { subject: subjectTokens, from, target: targetTokens }: Match,
  row: ChangeRow,
): Outcome {
  const subject = readSubject(subjectTokens);
  const left = from.length > 0 ? readName(from) : subject;
  const target = readTarget(targetTokens, row);
  // "C muta in H" and "muta in Fa, Do" tune timpani; "Si♭ muta in La" is the clarinettist's.
  const fromKey = !left.phrase && left.keys.length > 0;
  if (isTuning(target) || (fromKey && !isClarinetPair(left, target))) return "stop";
  if (subject.unknown.some((word) => NEGATIONS.has(word) || FOREIGN_WORDS.has(word))) return "stop";
  // "To Ten. Sax" is not "take ten".
  const isNamed = target.phrase !== undefined && isPlain(target);
  if (!isNamed && targetTokens.some((token) => LOOK_ALIKES.has(token.text))) return "none";
  // "To Alto" may be the saxophone, the flute or the clarinet.
  const isHalfName =
    targetTokens.length > 0 && targetTokens.every(({ text }) => HALF_NAMES.has(text));
  if (row.verb === "prepare" && isHalfName) return "unclear";
  if (!suits(target, row)) {
    const said =
      row.alone ?? (target.unknown.length > 0 || target.another || target.keys.length > 0);
    return row.asks && said ? "unclear" : "none";
  }
  if (!isPlain(subject)) return row.asks ? "unclear" : "none";
  // "Clarinet in A" is a label with a name, not a key label with a player; "Solo in A" is a title.
  const saysMore = subject.phrase !== undefined || subject.neutral || subject.keys.length > 0;
  if (row.verb === "label" && saysMore) return "none";
  // "2. A-Klarinette nehmen": the player stands with the instrument.
  const inTarget = subjectTokens.length === 0 && row.pattern.startsWith("X");
  const players = inTarget ? target.players : subject.players;
  return {
    kind: "change",
    verb: row.verb,
    name: namedInstrument(inTarget ? { ...target, players: [] } : target),
    ...(players.length > 0 && { players }),
    language: row.target === "key" ? languageOfKey(target, row.language) : row.language,
  };
}

/** The whole text as the label of an instrument: "Clarinet in A", "Alto Sax", "Cl. in La". */
function readLabel(tokens: readonly Token[]): Outcome {
  const reading = readName(tokens);
  const { phrase } = reading;
  // "+ Picc." joins in from elsewhere.
  if (tokens[0]?.kind === "separator") return "none";
  if (!phrase || !isPlain(reading) || reading.neutral || keyCount(reading) > 1) return "none";
  // A bare abbreviation or another player's number ("Fl.", "Oboe 1") names a cue; "Bassklar." and
  // "Picc." tell what is taken up.
  const keyed = onlyKey(reading) !== undefined;
  if (!keyed && (!phrase.telling || reading.players.length > 0)) return "none";
  const french = tokens.some((token) => token.text === "en") ? "fr" : "it";
  const language =
    keyed && phrase.language === "en" ? languageOfKey(reading, french) : phrase.language;
  return { kind: "change", verb: "label", name: namedInstrument(reading), language };
}

/** What a text with one instruction comes to, and the row that says so. */
function readOne(
  tokens: readonly Token[],
  leading?: ChangeRow,
): { outcome: Outcome; row?: ChangeRow } {
  const label = leading ? "none" : readLabel(tokens);
  if (label !== "none") return { outcome: label };
  for (let index = 0; index < tokens.length; index += 1) {
    const match = matchAt(tokens, index);
    if (!match) continue;
    const row = match.row.verb === "label" && leading ? leading : match.row;
    const outcome = judge(match, row);
    if (outcome !== "none") return { outcome, row };
  }
  return { outcome: "none" };
}

/** "I. muta in A, II. in B": instructions for several players; undefined where it is only one. */
function readSeveral(tokens: readonly Token[]): Change | "unclear" | undefined {
  const [head, ...rest] = piecesByPlayer(tokens);
  if (!head || rest.length === 0) return undefined;
  const { outcome: first, row } = readOne(head);
  if (typeof first === "string" || !first.players) return undefined;
  const others: PlayersChange[] = [];
  for (const piece of rest) {
    const { outcome } = readOne(piece, row);
    if (typeof outcome === "string" || !outcome.players) return "unclear";
    others.push({ players: outcome.players, name: outcome.name });
  }
  return { ...first, others };
}

/** Without an alternative at the end: "Tenor Sax (opt. Cl.)". */
function withoutOption(tokens: readonly Token[]): readonly Token[] {
  const option = tokens.findIndex((token) => OPTION_WORDS.has(token.text));
  if (option < 1) return tokens;
  const offered = readName(tokens.slice(option + 1));
  return offered.phrase && isPlain(offered) ? tokens.slice(0, option) : tokens;
}

/** "Fl. -> Cl.": from one to the other. */
const ARROW = /^[^→>]{0,40}\p{L}[^→>]{0,40}(?:->|→|⟶|=>)/u;

/**
 * Reads printed words as an instruction to change instrument. Whatever is neither a change nor
 * asks for one is `none`: tempo words, tonalities, players ("a 2"), cue names, timpani tunings.
 */
export function readChangeWords(text: string): ChangeWords {
  const known = readBefore.get(text);
  if (known) return known;
  const read = readWords(text);
  if (readBefore.size < MOST_KNOWN) readBefore.set(text, read);
  return read;
}

/** The same few texts are asked for again and again; bounded, since a hostile file has many. */
const readBefore = new Map<string, ChangeWords>();
const MOST_KNOWN = 2000;

function readWords(text: string): ChangeWords {
  const tokens = withoutOption(tokenize(text.replace(ARROW, " to ")));
  const result = readSeveral(tokens) ?? readOne(tokens).outcome;
  if (result === "none" || result === "stop") return { kind: "none" };
  const printed = text.trim();
  return result === "unclear" ? { kind: "unclear", text: printed } : { ...result, text: printed };
}
