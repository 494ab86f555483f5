import { CHANGE_ROWS, type ChangeRow } from "./change-words-data.js";
import { CONJUNCTIONS } from "./names-data.js";
import { playerNumber, readName } from "./read-name.js";
import type { Token } from "./tokens.js";

/** A text taken apart by a row: who changes, from what, to what. */
export interface Match {
  readonly row: ChangeRow;
  readonly subject: readonly Token[];
  /** The key that is left ("muta Si♭ in La"); empty in most rows. */
  readonly from: readonly Token[];
  readonly target: readonly Token[];
}

interface Pattern {
  readonly row: ChangeRow;
  readonly before: readonly string[];
  /** Words between what is left and what is taken up, where both are named. */
  readonly between: readonly string[];
  readonly after: readonly string[];
}

const PATTERNS: readonly Pattern[] = CHANGE_ROWS.map(parsePattern).sort(
  (a, b) => wordCount(b) - wordCount(a),
);

function parsePattern(row: ChangeRow): Pattern {
  const words = row.pattern.split(" ");
  const left = words.indexOf("Y");
  const target = words.indexOf("X");
  return {
    row,
    before: words.slice(0, left < 0 ? target : left),
    between: left < 0 ? [] : words.slice(left + 1, target),
    after: words.slice(target + 1),
  };
}

function wordCount({ before, between, after }: Pattern): number {
  return before.length + between.length + after.length;
}

function wordsAt(tokens: readonly Token[], index: number, words: readonly string[]): boolean {
  return words.every((word, offset) => tokens[index + offset]?.text === word);
}

/** Whether all of it is one key, with or without the name of an instrument. */
function isKey(tokens: readonly Token[]): boolean {
  const { keys, another, unknown } = readName(tokens);
  return keys.length === 1 && !another && unknown.length === 0;
}

function fit(pattern: Pattern, tokens: readonly Token[], index: number): Match | undefined {
  const { row, before, between, after } = pattern;
  if (before.length === 0 && index > 0) return undefined;
  const from = index + before.length;
  const to = tokens.length - after.length;
  if (from > to || !wordsAt(tokens, index, before) || !wordsAt(tokens, to, after)) return undefined;
  const subject = tokens.slice(0, index);
  if (between.length === 0) return { row, subject, from: [], target: tokens.slice(from, to) };
  for (let middle = to - between.length; middle > from; middle -= 1) {
    const left = tokens.slice(from, middle);
    if (!wordsAt(tokens, middle, between) || !isKey(left)) continue;
    return { row, subject, from: left, target: tokens.slice(middle + between.length, to) };
  }
  return undefined;
}

/** The longest row whose words begin at a token. */
export function matchAt(tokens: readonly Token[], index: number): Match | undefined {
  for (const pattern of PATTERNS) {
    const match = fit(pattern, tokens, index);
    if (match) return match;
  }
  return undefined;
}

/** Whether the words of a row begin at a token: "muta in", "nimmt", "in". */
function isHead(tokens: readonly Token[], index: number): boolean {
  return PATTERNS.some(({ before }) => before.length > 0 && wordsAt(tokens, index, before));
}

/** A capital E is a key. */
function isJoint(token: Token | undefined): boolean {
  if (!token || token.raw === "E") return false;
  return token.kind === "separator" || CONJUNCTIONS.has(token.text);
}

/** Longest name before a player's number, in words: "Clarinetto basso II". */
const LONGEST_NAME = 3;

/** Where the players named just before a verb begin: at "II" of "I. muta in A, II. in B". */
function playersBefore(tokens: readonly Token[], head: number): number | undefined {
  let start = head;
  while (start > 0 && (playerNumber(tokens[start - 1]) !== undefined || isJoint(tokens[start - 1])))
    start -= 1;
  while (start < head && isJoint(tokens[start])) start += 1;
  if (start === head) return undefined;
  for (let length = LONGEST_NAME; length > 0; length -= 1) {
    const words = tokens.slice(Math.max(0, start - length), start);
    if (readName(words).phrase?.length === words.length) return start - words.length;
  }
  return start;
}

/**
 * A text in which several players get instructions of their own, one piece for each: "I. muta in
 * A" and "II. in B". One piece where it does not speak of several.
 */
export function piecesByPlayer(tokens: readonly Token[]): readonly (readonly Token[])[] {
  const starts = tokens
    .map((_, index) => (isHead(tokens, index) ? playersBefore(tokens, index) : undefined))
    .filter((start) => start !== undefined);
  const cuts = [...new Set(starts)].filter((start) => start > 0);
  const ends = [...cuts, tokens.length];
  return [0, ...cuts].map((start, piece) => tokens.slice(start, ends[piece]));
}
