import { readChangeWords } from "../instruments/change-words.js";
import type { PrintedInstruction } from "../model/score.js";

/** More pieces than any instruction is split into. */
const MOST_PIECES = 4;

/**
 * Puts together an instruction that stands in several directions of one bar ("muta in" and "La"): pieces
 * that ask for nothing by themselves but do when they are read together.
 */
export function joinSplitWords(
  instructions: readonly PrintedInstruction[],
): readonly PrintedInstruction[] {
  const joined: PrintedInstruction[] = [];
  for (let k = 0; k < instructions.length;) {
    const first = instructions[k];
    if (!first) break;
    const pieces = piecesOf(instructions, k);
    joined.push(
      pieces.length > 1 ? { ...first, text: pieces.map(({ text }) => text).join(" ") } : first,
    );
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
    if (readChangeWords(pieces.map(({ text }) => text).join(" ")).kind === "change") return pieces;
  }
  return [];
}

function isWhole({ text }: PrintedInstruction): boolean {
  return readChangeWords(text).kind === "change";
}

function isPreparing({ text }: PrintedInstruction): boolean {
  const words = readChangeWords(text);
  return words.kind === "change" && words.verb === "prepare";
}
