import { readChangeWords } from "../instruments/change-words.js";
import type { PrintedInstruction } from "../model/score.js";

/** "Mi" and the flat after it. */
const LONE_ACCIDENTAL = /^[♭♯♮\uE260-\uE262]$/u;

/** More pieces than any instruction is split into. */
const MOST_PIECES = 4;

/**
 * Puts together an instruction that stands in several directions of one bar ("muta in" and "La"): pieces
 * that ask for nothing by themselves but do when they are read together.
 */
export function joinSplitWords(all: readonly PrintedInstruction[]): readonly PrintedInstruction[] {
  const instructions = all.filter(({ kind }) => kind === "words");
  const joined: PrintedInstruction[] = all.filter(({ kind }) => kind !== "words");
  for (let k = 0; k < instructions.length;) {
    const first = instructions[k];
    if (!first) break;
    const pieces = withRest(piecesOf(instructions, k), instructions, k);
    joined.push(pieces.length > 1 ? { ...first, text: joinedText(pieces) } : first);
    k += Math.max(1, pieces.length);
  }
  return joined;
}

/** The fewest texts from one on that make an instruction together. */
function piecesOf(
  instructions: readonly PrintedInstruction[],
  from: number,
): readonly PrintedInstruction[] {
  const first = instructions[from];
  if (first?.kind !== "words" || isWhole(first)) return [];
  const pieces = [first];
  for (let k = from + 1; k < from + MOST_PIECES; k++) {
    const next = instructions[k];
    const isNear = next?.kind === "words" && next.at.barIndex === first.at.barIndex;
    if (!next || !isNear || isPreparing(next) || next.staff !== first.staff) return [];
    pieces.push(next);
    const joined = readChangeWords(joinedText(pieces));
    if (joined.kind !== "change") continue;
    // "a 2" before "A Clarinet" is no piece of it.
    const isWholeLabel = joined.verb === "label" && halfOf(next.text) === "both";
    return isWholeLabel ? [] : pieces;
  }
  return [];
}

/** With the text after them that gives the other half: "Bass Clarinet" and "in B♭", "To E♭" and "Clarinet". */
function withRest(
  pieces: readonly PrintedInstruction[],
  instructions: readonly PrintedInstruction[],
  from: number,
): readonly PrintedInstruction[] {
  const first = instructions[from];
  if (first?.kind !== "words") return pieces;
  const begun = pieces.length > 0 ? pieces : [first];
  const next = instructions[from + begun.length];
  if (next?.kind !== "words" || next.at.barIndex !== first.at.barIndex) return pieces;
  if (next.staff !== first.staff) return pieces;
  if (LONE_ACCIDENTAL.test(next.text) && halfOf(joinedText([...begun, next])) !== undefined) {
    return [...begun, next];
  }
  const [half, other, whole] = [joinedText(begun), next.text, joinedText([...begun, next])].map(
    halfOf,
  );
  const isOther = half !== undefined && other !== undefined && half !== other;
  return isOther && half !== "both" && other !== "both" && whole === "both"
    ? [...begun, next]
    : pieces;
}

/** Which half of an instrument's name a change gives; undefined for what is no change. */
function halfOf(text: string): "kind" | "key" | "both" | undefined {
  const words = readChangeWords(text);
  if (words.kind !== "change") return undefined;
  const { family, keyFifths } = words.name;
  if (family === undefined) return "key";
  return keyFifths === undefined ? "kind" : "both";
}

function joinedText(pieces: readonly PrintedInstruction[]): string {
  return pieces.map(({ text }) => text).join(" ");
}

function isWhole({ text }: PrintedInstruction): boolean {
  return readChangeWords(text).kind === "change";
}

function isPreparing({ text }: PrintedInstruction): boolean {
  const words = readChangeWords(text);
  return words.kind === "change" && words.verb === "prepare";
}
