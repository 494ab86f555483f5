// What the text holds: phrases of the tables, marks between them, and words that are not known.

import * as data from "./tempo-words-data.js";
import type { Direction, Link, Modifier, TempoRow } from "./tempo-words-data.js";

export type PlainKind = keyof typeof data.PLAIN_TERMS;
export type ReturnGoal = keyof typeof data.RETURNS;

export type Entry =
  | { readonly role: "tempo"; readonly row: TempoRow }
  | { readonly role: "step"; readonly direction: Direction; readonly comparative: boolean }
  | { readonly role: "exact"; readonly factor: number }
  | { readonly role: "gradual"; readonly change: Direction | "fading" }
  | { readonly role: "return"; readonly to: ReturnGoal; readonly lone: boolean }
  | { readonly role: "plain"; readonly kind: PlainKind }
  | { readonly role: "modifier"; readonly modifier: Modifier }
  | { readonly role: "link"; readonly link: Link };

/** A phrase of the text, a mark between phrases, or a word that is not known here. */
export interface Item {
  readonly entry: Entry | { readonly role: "stop" | "comma" | "unknown" | "number" };
  /** Half-open, in the text as printed. */
  readonly from: number;
  readonly to: number;
  readonly capital: boolean;
  /** As in the tables, folded; empty where it is not there. */
  readonly phrase: string;
}

/** Lower case, without accents and ordinal signs, "ss" for "ß". */
function fold(text: string): string {
  const plain = text.replace(/[ºª]/g, "").normalize("NFKD");
  return plain
    .replace(/[\p{M}\p{Cf}]/gu, "")
    .toLowerCase()
    .replace(/ß/g, "ss");
}
function foldPhrase(phrase: string): string {
  return fold(phrase).replaceAll(".", "");
}

const LEXICON = new Map<string, Entry>();
const ABBREVIATIONS = new Set<string>();
function enter(phrases: readonly string[], entry: Entry): void {
  for (const phrase of phrases) {
    LEXICON.set(foldPhrase(phrase), entry);
    if (phrase.endsWith(".")) ABBREVIATIONS.add(foldPhrase(phrase));
  }
}
function rows<Key extends string>(table: Readonly<Record<Key, readonly string[]>>) {
  return Object.entries(table) as [Key, readonly string[]][];
}
for (const row of data.TEMPO_ROWS) enter(row.words, { role: "tempo", row });
for (const comparative of [false, true])
  for (const [direction, words] of rows(comparative ? data.COMPARATIVES : data.HELD_STEPS))
    enter(words, { role: "step", direction, comparative });
for (const [factor, words] of data.EXACT_STEPS) enter(words, { role: "exact", factor });
for (const [change, words] of rows(data.GRADUAL_WORDS)) enter(words, { role: "gradual", change });
for (const [to, words] of rows(data.RETURNS)) enter(words, { role: "return", to, lone: false });
enter(data.LONE_RETURNS, { role: "return", to: "before", lone: true });
for (const [kind, words] of rows(data.PLAIN_TERMS)) enter(words, { role: "plain", kind });
for (const [modifier, words] of rows(data.MODIFIERS)) enter(words, { role: "modifier", modifier });
for (const [link, words] of rows(data.LINKS)) enter(words, { role: "link", link });

const LONGEST_PHRASE = Math.max(...[...LEXICON.keys()].map((key) => key.split(" ").length));
const FRAGILE = new Set(data.FRAGILE_WORDS.map(foldPhrase));

interface Token {
  readonly kind: "word" | "number" | "comma" | "stop";
  /** Folded. */
  readonly text: string;
  readonly from: number;
  readonly to: number;
  readonly capital: boolean;
  dotted: boolean;
}

/** Alternatives that begin differently and never fail half-way, so the cost is linear. */
const TOKEN =
  /([\p{L}\p{M}\p{Cf}]+)|(\d+)(?:(?:\s?er|[eè]re|mo|o|st|º)(?!\p{L}))?|[^\s()[\]{}"“”«»'’`°<>]/gu;

function tokenize(line: string): readonly Token[] {
  const tokens: Token[] = [];
  for (const { 0: whole, 1: letters, 2: digits, index: from } of line.matchAll(TOKEN)) {
    const last = tokens.at(-1);
    const to = from + whole.length;
    const capital = /^\p{Lu}/u.test(whole);
    const folded = fold(letters ?? digits ?? "");
    if (folded) {
      const text = data.WORD_ALIASES[folded] ?? folded;
      const kind = digits ? "number" : "word";
      tokens.push({ kind, text, from, to, capital, dotted: false });
    } else if (whole === "." && last?.to === from && last.text) last.dotted = true;
    else if (whole === "&")
      tokens.push({ kind: "word", text: "e", from, to, capital, dotted: false });
    // A hyphen within a word is none; any other ends what went before.
    else if (!/^\p{L}-\p{L}$/u.test(line.slice(from - 1, to + 1)) && !letters) {
      const kind = whole === "," ? "comma" : "stop";
      tokens.push({ kind, text: "", from, to, capital, dotted: false });
    }
  }
  return tokens;
}

/** A full stop within a phrase follows something short: "G. P.", "1. Zeitmaß". In letters. */
const LONGEST_DOTTED = 4;

/** The longest phrase that begins at a token, and how many tokens it has. */
function phraseAt(tokens: readonly Token[], index: number) {
  let phrase = "";
  let longest: { phrase: string; entry: Entry; size: number } | undefined;
  for (let size = 1; size <= LONGEST_PHRASE; size += 1) {
    const token = tokens[index + size - 1];
    if (!token?.text) break;
    phrase += size > 1 ? ` ${token.text}` : token.text;
    const entry = LEXICON.get(phrase);
    const refused = data.DOTTED_ONLY.includes(phrase) && (!token.dotted || token.capital);
    if (entry && !refused) longest = { phrase, entry, size };
    if (token.dotted && token.text.length > LONGEST_DOTTED) break;
  }
  return longest;
}

export function itemize(text: string): readonly Item[] {
  const tokens = tokenize(text);
  const items: Item[] = [];
  let index = 0;
  for (let token = tokens[0]; token; token = tokens[index]) {
    const found = phraseAt(tokens, index);
    const last = tokens[index + (found?.size ?? 1) - 1] ?? token;
    const kind = token.kind === "word" ? "unknown" : token.kind;
    const phrase = found?.phrase ?? "";
    const abbreviated = ABBREVIATIONS.has(phrase);
    const to = last.to + (last.dotted && abbreviated ? 1 : 0);
    const { from, capital } = token;
    items.push({ entry: found?.entry ?? { role: kind }, from, to, capital, phrase });
    if (last.dotted && !abbreviated)
      items.push({ entry: { role: "stop" }, from: to, to, capital: false, phrase: "" });
    index += found?.size ?? 1;
  }
  return items;
}

function endsClause(item: Item | undefined): boolean {
  return !item || item.entry.role === "stop" || item.entry.role === "comma";
}
function isLink(item: Item | undefined, ...links: readonly Link[]): boolean {
  return item?.entry.role === "link" && links.includes(item.entry.link);
}

const isForeign = (item: Item | undefined): boolean => item?.entry.role === "unknown";

/** What a phrase is between its neighbours: some are tempi only in the right company. */
export function inContext(item: Item, index: number, items: readonly Item[]): Item {
  const { entry, phrase } = item;
  const [before, after] = [items[index - 1], items[index + 1]];
  const filler: Item = { ...item, entry: { role: "link", link: "other" } };
  if (data.CLAUSE_END_ONLY.includes(phrase) && !endsClause(after) && !isLink(after, "and", "but"))
    return filler;
  if (entry.role === "return") {
    if (isLink(after, "of")) return filler;
    const follows = before?.entry.role === "gradual" || before?.entry.role === "plain";
    if (entry.lone && !(endsClause(after) && (endsClause(before) || follows))) return filler;
  }
  if (!FRAGILE.has(phrase)) return item;
  // "Fl. 2 ad lib.", "Trgl. ad lib.": whoever is named need not play.
  const named = entry.role === "plain" && before?.entry.role === "stop" ? items[index - 2] : before;
  const numbered = entry.role === "plain" && named?.entry.role === "number";
  const foreign = isForeign(named) || isForeign(after) || numbered;
  return foreign ? { ...item, entry: { role: "unknown" } } : item;
}
