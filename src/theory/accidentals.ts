import type { SpelledPitch } from "../model/score.js";
import { signatureAlter } from "./key.js";
import { pitchFifths } from "./pitch.js";

/** A written note as far as its sign goes. */
export interface SignedNote {
  readonly pitch: SpelledPitch;
  /** The written signature at the note. */
  readonly fifths: number;
  readonly staff: number;
  /** Goes on from the note before under a tie. */
  readonly tied: boolean;
}

/**
 * Whether a note needs a sign: `required` by the rule, `courtesy` where a player would ask, else `none`.
 */
export type SignNeed = "required" | "courtesy" | "none";

/** Lines and spaces, each with its staff and octave, on which a bar left the signature. */
export type AlteredLines = ReadonlySet<string>;

export const NO_LINES: AlteredLines = new Set();

/**
 * Which notes of a bar need an accidental. A sign holds to the end of the bar for its line and octave, in
 * all voices of the staff; under a tie over the barline none is needed, and it holds for that note alone.
 * A note that is back in the signature after another sign in the bar before gets a courtesy one. Where the
 * signature changes inside a bar players disagree on whether a sign before it still holds, so that a note
 * which is right by one reading only gets one (assumption).
 * Source: E. Gould, Behind Bars (2011), "Accidentals", from memory.
 *
 * @param notes one bar's, in the order of time
 * @param before what the bar before left altered
 */
export function signsNeeded(
  notes: readonly SignedNote[],
  before: AlteredLines,
): { readonly needs: readonly SignNeed[]; readonly altered: AlteredLines } {
  const inForce = new Map<string, number>();
  const reminders = new Set(before);
  const altered = new Set<string>();
  /** Signs before a change of signature in the bar, which may hold or not. */
  const inDoubt = new Map<string, number>();
  const signatures = new Map<number, number>();
  const needs = notes.map(({ pitch, fifths, staff, tied }): SignNeed => {
    const line = `${staff} ${pitch.step}${pitch.octave}`;
    if ((signatures.get(staff) ?? fifths) !== fifths) moveLines(inForce, inDoubt, staff);
    signatures.set(staff, fifths);
    const bySignature = signatureAlter(fifths, pitchFifths({ step: pitch.step, alter: 0 }));
    const isAltered = pitch.alter !== bySignature;
    if (isAltered) altered.add(line);
    if (tied) {
      if (isAltered && !inForce.has(line)) reminders.add(line);
      return "none";
    }
    const doubtful = inDoubt.get(line);
    inDoubt.delete(line);
    const isRequired =
      pitch.alter !== (inForce.get(line) ?? bySignature) ||
      (doubtful !== undefined && doubtful !== pitch.alter);
    const isReminder = !inForce.has(line) && reminders.has(line);
    inForce.set(line, pitch.alter);
    if (isRequired) return "required";
    return isReminder ? "courtesy" : "none";
  });
  return { needs, altered };
}

function moveLines(from: Map<string, number>, to: Map<string, number>, staff: number): void {
  for (const [line, alter] of from) {
    if (!line.startsWith(`${staff} `)) continue;
    from.delete(line);
    to.set(line, alter);
  }
}
