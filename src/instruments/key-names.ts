import { ACCIDENTALS, KEY_NAMES, MODES, type KeySpelling } from "./key-names-data.js";
import type { Token } from "./tokens.js";

/** The key of an instrument as read from a text. */
export interface ReadKey {
  /** Position on the line of fifths: B-flat -2, A 3. */
  readonly fifths: number;
  readonly spelling: KeySpelling;
  /** Tokens it takes up. */
  readonly length: number;
  /** Whether a flat, sharp or natural is spelled out, in its own word or joined ("Sib"). */
  readonly marked: boolean;
  /** Whether it begins with a capital: "in A", but not "in a". */
  readonly capital: boolean;
}

/** B natural, which a bare "B" is not: see `KEY_NAMES`. */
const B_NATURAL = 5;

/** "B-fl." is B-flat, and "B fl. cl."; "A fl." is an alto flute, and "to B, Fl." two things. */
function isFlatAbbreviated(first: Token, next: Token, afterNext: Token | undefined): boolean {
  if (next.text !== "fl") return false;
  return (
    first.hyphenated || ((first.raw === "B" || first.raw === "E") && afterNext?.kind === "word")
  );
}

/** A lower-case b as a separate word serves for the flat sign: "si b", "E b". */
function accidentalAfter(tokens: readonly Token[], index: number): number | undefined {
  const [first, token] = [tokens[index], tokens[index + 1]];
  if (!first || !token) return undefined;
  if (isFlatAbbreviated(first, token, tokens[index + 2])) return -7;
  if (token.raw === "b" && !token.dotted) return -7;
  return Object.hasOwn(ACCIDENTALS, token.text) ? ACCIDENTALS[token.text] : undefined;
}

/**
 * Reads the key name that begins at a token: "B♭", "Si bemolle", "mi b", "Es", "B" (B-flat).
 * Undefined when there is none, or when it is a tonality ("A major").
 */
export function readKey(tokens: readonly Token[], index: number): ReadKey | undefined {
  const first = tokens[index];
  if (first?.kind !== "word") return undefined;
  const name = Object.hasOwn(KEY_NAMES, first.text) ? KEY_NAMES[first.text] : undefined;
  if (!name) return undefined;
  const key = keyWithAccidental(tokens, index, first, name.fifths);
  if (MODES.has(tokens[index + key.length]?.text ?? "")) return undefined;
  return {
    ...key,
    spelling: key.marked && first.text === "b" ? "letter" : name.spelling,
    capital: first.raw.charAt(0) !== first.text.charAt(0),
  };
}

function keyWithAccidental(
  tokens: readonly Token[],
  index: number,
  first: Token,
  fifths: number,
): Omit<ReadKey, "spelling" | "capital"> {
  // "sib" and "Eb" carry their flat already; "es", "as" and the others are whole words.
  const joined = first.text.length > 1 && first.text.endsWith("b");
  const takesAccidental = first.text.length === 1 || (fifths >= -1 && fifths <= B_NATURAL);
  const next = tokens[index + 1];
  // Old Italian parts say "in B-fa" for B-flat.
  if (first.text === "b" && next?.text === "fa") return { fifths, length: 2, marked: true };
  const accidental = takesAccidental && !joined ? accidentalAfter(tokens, index) : undefined;
  if (accidental === undefined) return { fifths, length: 1, marked: joined };
  const natural = first.text === "b" ? B_NATURAL : fifths;
  return { fifths: natural + accidental, length: 2, marked: true };
}
