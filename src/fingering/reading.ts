import type { SpelledPitch } from "../model/score.js";
import { signatureAlter } from "../theory/key.js";
import { pitchFifths } from "../theory/pitch.js";
import { strainOf, WEIGHTS } from "./weights.js";

/** A note as it stands on the page of one instrument. */
export interface ReadNote {
  /** Written, spelled. */
  readonly pitch: SpelledPitch;
  /** From this onset to the next, or how long the note lasts where none follows. */
  readonly seconds: number;
  /** Which time through which bar: accidentals hold to the end of it. */
  readonly bar: number;
  /** Tied from the note before: no accidental is printed again. */
  readonly tied: boolean;
}

/** What reading adds to the fingers, in the same points. */
export interface ReadingStrain {
  /** Sharps or flats of the signature, and notes that carry a printed accidental. */
  readonly signature: number;
  readonly accidentals: number;
  /** Sum over the notes, additive like that of the fingers. */
  readonly load: number;
  /** Mean over the notes: added to the score of the fingers it gives the score of the passage. */
  readonly score: number;
}

/**
 * What the written key asks of the reader: a little for each sharp or flat of the signature on every
 * note, more for each printed accidental, at the speed of the notes.
 * @param signatureFifths of the written key, sharps positive; null without a signature
 */
export function readingStrain(
  notes: readonly ReadNote[],
  signatureFifths: number | null,
): ReadingStrain {
  const fifths = signatureFifths ?? 0;
  const bySignature = WEIGHTS.signature * Math.abs(fifths);
  const printed = printedAccidentals(notes, fifths);
  let load = 0;
  let accidentals = 0;
  notes.forEach(({ seconds }, k) => {
    const isPrinted = printed[k] ?? false;
    if (isPrinted) accidentals++;
    load += strainOf(bySignature + (isPrinted ? WEIGHTS.accidental : 0), seconds);
  });
  return {
    signature: Math.abs(fifths),
    accidentals,
    load,
    score: load / Math.max(1, notes.length),
  };
}

/** Which notes carry an accidental by the usual rule: it holds for its line or space to the barline. */
function printedAccidentals(notes: readonly ReadNote[], fifths: number): readonly boolean[] {
  const inForce = new Map<string, number>();
  let current: number | null = null;
  return notes.map(({ pitch: { step, octave, alter }, bar, tied }) => {
    if (bar !== current) inForce.clear();
    current = bar;
    if (tied) return false;
    const place = `${step}${octave}`;
    const before = inForce.get(place) ?? signatureAlter(fifths, pitchFifths({ step, alter: 0 }));
    inForce.set(place, alter);
    return before !== alter;
  });
}
