import { readChangeWords } from "./change-words.js";
import { CONJUNCTIONS } from "./names-data.js";
import { ALL_PLAYERS, COMPANIONS, SOLO_WORDS } from "./player-words-data.js";
import { playerNumber } from "./read-name.js";
import { tokenize, type Token } from "./tokens.js";

/** Who plays, on a staff that several players read. */
export type PlayerWords =
  | { readonly kind: "some"; readonly players: readonly number[] }
  /** The upper of the staff: "Solo" without a number. */
  | { readonly kind: "upper" }
  | { readonly kind: "all" };

/**
 * Reads words that say who of a shared staff plays: "1.", "II. Solo", "a 2", "unis.", "div.". "Solo"
 * alone is the upper player's (common practice, no source).
 * @returns undefined for all other words, those that ask for a change among them ("2. muta in Es")
 */
export function readPlayerWords(text: string): PlayerWords | undefined {
  // "4....." leads the eye to something else.
  const tokens = text.includes("..") ? [] : numberFirst(tokenize(text));
  const numbered = leadingPlayers(tokens);
  const rest = tokens.slice(numbered.length);
  const all = numbered.length === 0 ? leadingAll(rest) : 0;
  const others = rest.slice(all);
  // "div. en 2"
  const goesAlong = (token: Token) => isCompanion(token) || (all > 0 && token.kind === "number");
  if (!others.every(goesAlong) || readChangeWords(text).kind !== "none") return undefined;
  if (all > 0) return { kind: "all" };
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

/** How many tokens at the start say that all play. */
function leadingAll(tokens: readonly Token[]): number {
  const phrase = ALL_PLAYERS.find((words) =>
    words.every((word, index) => tokens[index]?.text === word),
  );
  return phrase?.length ?? 0;
}

function isCompanion({ kind, text }: Token): boolean {
  return kind !== "word" ? kind === "separator" : COMPANIONS.has(text);
}
