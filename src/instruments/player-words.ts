import { readChangeWords } from "./change-words.js";
import { CONJUNCTIONS } from "./names-data.js";
import type { InstrumentKind } from "./kinds.js";
import { ALL_PLAYERS, COMPANIONS, ONLY_WORDS, SOLO_WORDS } from "./player-words-data.js";
import { playerNumber, readName } from "./read-name.js";
import { tokenize, type Token } from "./tokens.js";

/** Who plays, on a staff that several players read. */
export type PlayerWords =
  | { readonly kind: "some"; readonly players: readonly number[] }
  /** The upper of the staff: "Solo" without a number. */
  | { readonly kind: "upper" }
  /** `count` where a number is given: "a 2" on a staff of three is for two. */
  | { readonly kind: "all"; readonly count?: number };

/**
 * Reads words that say who of a shared staff plays: "1.", "II. Solo", "a 2", "unis.", "div.". "Solo"
 * alone is the upper player's (common practice, no source).
 * @param kind of the instruments of the staff, whose names may stand for the players ("Cl. II")
 * @returns undefined for all other words, those that ask for a change among them ("2. muta in Es"); a label
 *   ("2. in A") says who plays as well
 */
export function readPlayerWords(text: string, kind?: InstrumentKind): PlayerWords | undefined {
  const named = kind === undefined ? undefined : playersOfKind(text, kind);
  if (named) return { kind: "some", players: named };
  // "4....." leads the eye to something else.
  const tokens = text.includes("..") ? [] : numberFirst(tokenize(text));
  const only = ONLY_WORDS.has(tokens[0]?.text ?? "") ? 1 : 0;
  const numbered = leadingPlayers(tokens.slice(only));
  const rest = tokens.slice(numbered.length > 0 ? only + numbered.length : 0);
  const { length: all, count } = numbered.length === 0 ? leadingAll(rest) : NOBODY;
  const others = rest.slice(all);
  // "div. en 2"
  const goesAlong = (token: Token) => isCompanion(token) || (all > 0 && token.kind === "number");
  const change = readChangeWords(text);
  if (change.kind === "change" && change.verb === "label" && change.players) {
    return { kind: "some", players: change.players };
  }
  if (!others.every(goesAlong) || change.kind !== "none") return undefined;
  if (all > 0) return { kind: "all", ...(count !== undefined && { count }) };
  if (numbered.players.length > 0) return { kind: "some", players: numbered.players };
  return others.some(({ text: word }) => SOLO_WORDS.has(word)) ? { kind: "upper" } : undefined;
}

/** "Solo I" as "I Solo". */
function numberFirst(tokens: readonly Token[]): readonly Token[] {
  const [first, second, ...rest] = tokens;
  const isTurned = first && SOLO_WORDS.has(first.text) && playerNumber(second) !== undefined;
  return isTurned && second ? [second, first, ...rest] : tokens;
}

/** "1.", "I. II.", "1., 2.": a plain figure may be a count of bars or a fingering. */
function leadingPlayers(tokens: readonly Token[]) {
  const players = new Set<number>();
  let length = 0;
  for (const token of tokens) {
    const player = playerNumber(token);
    const isPlain = token.kind === "number" && !token.dotted && !token.ordinal;
    const next = tokens[length + 1];
    const leads = next !== undefined && SOLO_WORDS.has(next.text);
    const goesOn = players.size > 0;
    if (player !== undefined && (!isPlain || leads || goesOn)) players.add(player);
    else if (!goesOn || !isJoint(token)) break;
    length++;
  }
  return { players: [...players].sort((a, b) => a - b), length };
}

function isJoint({ kind, text }: Token): boolean {
  return kind === "separator" || CONJUNCTIONS.has(text);
}

const LONGEST_FIRST = [...ALL_PLAYERS].sort((a, b) => b.length - a.length);
const NOBODY = { length: 0, count: undefined };

/** How many tokens at the start say that all play ("unis. a 2"), and of how many they speak. */
function leadingAll(tokens: readonly Token[]): { length: number; count: number | undefined } {
  let length = 0;
  let count: number | undefined;
  for (;;) {
    const phrase = LONGEST_FIRST.find((words) =>
      words.every((word, index) => tokens[length + index]?.text === word),
    );
    if (!phrase) return { length, count };
    length += phrase.length;
    const figure = Number(phrase.at(-1));
    if (figure > 0) count = figure;
  }
}

/** The players that a name of the staff's own kind numbers: "Cl. II", "2nd Cl.", "Klar. 2 solo". */
function playersOfKind(text: string, kind: InstrumentKind): readonly number[] | undefined {
  const { phrase, players, keys, another, unknown } = readName(tokenize(text));
  const isOwn = phrase?.kind === kind && players.length > 0 && keys.length === 0 && !another;
  return isOwn && unknown.every((word) => COMPANIONS.has(word)) ? players : undefined;
}

function isCompanion({ kind, text }: Token): boolean {
  return kind !== "word" ? kind === "separator" : COMPANIONS.has(text);
}
