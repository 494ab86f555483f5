import type { SpelledPitch, Step, Transposition } from "../model/score.js";

const STEPS: readonly Step[] = ["C", "D", "E", "F", "G", "A", "B"];
const STEP_INDEX: Readonly<Record<Step, number>> = { C: 0, D: 1, E: 2, F: 3, G: 4, A: 5, B: 6 };
const STEP_SEMITONES: Readonly<Record<Step, number>> = {
  C: 0,
  D: 2,
  E: 4,
  F: 5,
  G: 7,
  A: 9,
  B: 11,
};
const STEP_FIFTHS: Readonly<Record<Step, number>> = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 };

/** Whether a text is one of the seven letters. */
export function isStep(text: string): text is Step {
  return Object.hasOwn(STEP_INDEX, text);
}

/** Semitones above C-1, middle C being 60, as in the MIDI 1.0 note numbers; quarter tones give halves. */
export function midiNumber(pitch: SpelledPitch): number {
  return STEP_SEMITONES[pitch.step] + pitch.alter + 12 * (pitch.octave + 1);
}

/** Position on the line of fifths: F -1, C 0, G 1; a sharp adds seven. */
export function pitchFifths(pitch: Pick<SpelledPitch, "step" | "alter">): number {
  return STEP_FIFTHS[pitch.step] + 7 * pitch.alter;
}

/**
 * Moves a pitch by steps and semitones, keeping the spelling the steps ask for:
 * C4 by (-1, -2) is B-flat 3. Quarter tones are kept.
 */
export function movePitch(pitch: SpelledPitch, diatonic: number, chromatic: number): SpelledPitch {
  const position = STEP_INDEX[pitch.step] + diatonic;
  const octave = pitch.octave + Math.floor(position / 7);
  const step = STEPS[((position % 7) + 7) % 7] as Step;
  const natural = STEP_SEMITONES[step] + 12 * (octave + 1);
  return { step, octave, alter: midiNumber(pitch) + chromatic - natural };
}

/** Written to sounding: middle C on a B-flat clarinet sounds B-flat 3. */
export function soundingPitch(written: SpelledPitch, by: Transposition): SpelledPitch {
  return movePitch(written, by.diatonic + 7 * by.octaveChange, by.chromatic + 12 * by.octaveChange);
}

/** Sounding to written: B-flat 3 is middle C for a B-flat clarinet. */
export function writtenPitch(sounding: SpelledPitch, by: Transposition): SpelledPitch {
  return movePitch(
    sounding,
    -(by.diatonic + 7 * by.octaveChange),
    -(by.chromatic + 12 * by.octaveChange),
  );
}

/** Semitones from written to sounding, octaves included. */
export function transpositionSemitones(by: Transposition): number {
  return by.chromatic + 12 * by.octaveChange;
}

/** Whether two transpositions come to the same, however the octaves are divided up. */
export function sameTransposition(a: Transposition, b: Transposition): boolean {
  const steps = (by: Transposition) => by.diatonic + 7 * by.octaveChange;
  return steps(a) === steps(b) && transpositionSemitones(a) === transpositionSemitones(b);
}

/** Fifths from written to sounding key: -2 for a B-flat instrument, 3 for A. */
export function transpositionFifths(by: Transposition): number {
  // A step of n letters and m semitones lies 7m - 12n fifths along the line.
  return 7 * by.chromatic - 12 * by.diatonic;
}

/** Scientific notation in ASCII: `B-flat 3` is `Bb3`, quarter tones as `B(-0.5)3`. */
export function pitchName(pitch: SpelledPitch): string {
  const { alter } = pitch;
  const sign = Number.isInteger(alter)
    ? (alter < 0 ? "b" : "#").repeat(Math.abs(alter))
    : `(${alter > 0 ? "+" : ""}${alter})`;
  return `${pitch.step}${sign}${pitch.octave}`;
}

/** Reads `pitchName`'s notation back (`Bb3`, `F#6`); for tables in the source, so it throws. */
export function parsePitch(name: string): SpelledPitch {
  const match = /^([A-G])(b*|#*)(-?\d+)$/.exec(name);
  if (!match) throw new Error(`not a pitch name: ${name}`);
  const [, step, signs, octave] = match as unknown as [string, Step, string, string];
  return {
    step,
    alter: signs.startsWith("b") ? -signs.length : signs.length,
    octave: Number(octave),
  };
}
