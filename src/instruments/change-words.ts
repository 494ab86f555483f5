import {
  ADVERBS,
  ARTICLES,
  CHANGE_ROWS,
  LOOK_ALIKE_ROWS,
  NEGATIONS,
  type ChangeRow,
} from "./change-words-data.js";
import { namedInstrument, type NamedInstrument } from "./names.js";
import { FOREIGN_WORDS, type Language } from "./names-data.js";
import { onlyKey, readName, type NameReading } from "./read-name.js";
import { tokenize, type Token } from "./tokens.js";

/**
 * What printed words say about a change. `prepare` is said where the rest begins, `label` stands
 * at the first note on the new instrument. Where only a key is printed the name has no family.
 * `players`: who changes, on a staff of several ("2. muta in Es" is [2]). `unclear` are words
 * that ask for a change to something that could not be understood.
 */
export type ChangeWords =
  | {
      readonly kind: "change";
      readonly verb: "prepare" | "label";
      readonly name: NamedInstrument;
      readonly players?: readonly number[];
      readonly language: Language;
      readonly text: string;
    }
  | { readonly kind: "unclear"; readonly text: string }
  | { readonly kind: "none" };

/** What a pattern and its surroundings come to; `stop` rules out every other pattern. */
type Outcome = Omit<Extract<ChangeWords, { kind: "change" }>, "text"> | "unclear" | "none" | "stop";

interface Pattern {
  readonly row: ChangeRow;
  readonly before: readonly string[];
  readonly after: readonly string[];
}

const PATTERNS: readonly Pattern[] = CHANGE_ROWS.map((row) => {
  const words = row.pattern.split(" ");
  const target = words.indexOf("X");
  return { row, before: words.slice(0, target), after: words.slice(target + 1) };
}).sort((a, b) => b.before.length + b.after.length - a.before.length - a.after.length);

const LOOK_ALIKES: ReadonlySet<string> = new Set(LOOK_ALIKE_ROWS.flatMap((row) => row.words));

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

function wordsAt(tokens: readonly Token[], index: number, words: readonly string[]): boolean {
  return words.every((word, offset) => tokens[index + offset]?.text === word);
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
  return row.target !== "sure-key" || key.marked || key.fifths === 3;
}

/** The target as printed, or without its article: "la" is a key in "changez en la". */
function readTarget(tokens: readonly Token[], row: ChangeRow): NameReading {
  const whole = readName(tokens);
  return suits(whole, row) || isTuning(whole) ? whole : readName(withoutFillers(tokens));
}

/** Keys in which clarinets are made: B-flat, A, C, D, E-flat. */
const CLARINET_KEYS: ReadonlySet<number | undefined> = new Set([-2, 3, 0, 2, -3]);

/** Whether one clarinet is left for another: "Si♭ muta in La". */
function isClarinetPair(subject: NameReading, target: NameReading): boolean {
  return CLARINET_KEYS.has(onlyKey(subject)) && CLARINET_KEYS.has(onlyKey(target));
}

function judge(
  row: ChangeRow,
  subjectTokens: readonly Token[],
  targetTokens: readonly Token[],
): Outcome {
  const subject = readName(subjectTokens.filter((token) => !isFiller(token)));
  const target = readTarget(targetTokens, row);
  // "C muta in H" and "muta in Fa, Do" tune timpani; "Si♭ muta in La" is the clarinettist's.
  const fromKey = !subject.phrase && subject.keys.length > 0;
  if (isTuning(target) || (fromKey && !isClarinetPair(subject, target))) return "stop";
  if (subject.unknown.some((word) => NEGATIONS.has(word) || FOREIGN_WORDS.has(word))) return "stop";
  if (targetTokens.some((token) => LOOK_ALIKES.has(token.text))) return "none";
  if (!suits(target, row)) {
    const said = row.alone ?? targetTokens.some((token) => token.kind === "word");
    return row.asks && said ? "unclear" : "none";
  }
  if (!isPlain(subject)) return row.asks ? "unclear" : "none";
  // "Clarinet in A" is a label with a name, not a key label with a player.
  if (row.verb === "label" && subject.phrase) return "none";
  // "2. A-Klarinette nehmen": the player stands with the instrument.
  const inTarget = subjectTokens.length === 0 && row.pattern.startsWith("X");
  const players = inTarget ? target.players : subject.players;
  return {
    kind: "change",
    verb: row.verb,
    name: namedInstrument(inTarget ? { ...target, players: [] } : target),
    ...(players.length > 0 && { players }),
    language: row.verb === "label" ? languageOfKey(target, row.language) : row.language,
  };
}

/** The whole text as the label of an instrument: "Clarinet in A", "Alto Sax", "Cl. in La". */
function readLabel(tokens: readonly Token[]): Outcome {
  const reading = readName(tokens);
  const { phrase } = reading;
  if (!phrase || !isPlain(reading) || reading.neutral || keyCount(reading) > 1) return "none";
  // A bare abbreviation or another player's number ("Fl.", "Oboe 1") names a cue.
  const keyed = onlyKey(reading) !== undefined;
  if (!keyed && (phrase.short || reading.players.length > 0)) return "none";
  const french = tokens.some((token) => token.text === "en") ? "fr" : "it";
  const language =
    keyed && phrase.language === "en" ? languageOfKey(reading, french) : phrase.language;
  return { kind: "change", verb: "label", name: namedInstrument(reading), language };
}

function outcome(tokens: readonly Token[]): Outcome {
  const label = readLabel(tokens);
  if (label !== "none") return label;
  for (let index = 0; index < tokens.length; index += 1) {
    const pattern = PATTERNS.find(
      ({ before, after }) =>
        (before.length > 0 || index === 0) &&
        wordsAt(tokens, index, before) &&
        tokens.length - index >= before.length + after.length &&
        wordsAt(tokens, tokens.length - after.length, after),
    );
    if (!pattern) continue;
    const { row, before, after } = pattern;
    const target = tokens.slice(index + before.length, tokens.length - after.length);
    const result = judge(row, tokens.slice(0, index), target);
    if (result === "stop") return "none";
    if (result !== "none") return result;
  }
  return "none";
}

/**
 * Reads printed words as an instruction to change instrument. Whatever is neither a change nor
 * asks for one is `none`: tempo words, tonalities, players ("a 2"), cue names, timpani tunings.
 */
export function readChangeWords(text: string): ChangeWords {
  const result = outcome(tokenize(text));
  if (result === "none" || result === "stop") return { kind: "none" };
  const printed = text.trim();
  return result === "unclear" ? { kind: "unclear", text: printed } : { ...result, text: printed };
}
