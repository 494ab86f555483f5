import type { FingeredNote } from "../../src/fingering/best-fingering.js";
import type { ReadNote } from "../../src/fingering/reading.js";
import type { SpelledPitch } from "../../src/model/score.js";
import { signatureAlter } from "../../src/theory/key.js";
import { midiNumber, movePitch, parsePitch, pitchFifths } from "../../src/theory/pitch.js";

export const SPEED = 8;
/** E3, the lowest note of the clarinet, and C6, the highest below the altissimo. */
const LOWEST = 52;
const HIGHEST = 84;

/** Notes as fast as each other, all slurred. */
export function even(midis: readonly number[], speed = SPEED): readonly FingeredNote[] {
  return midis.map((midi, k) => ({
    midi,
    seconds: 1 / speed,
    restBefore: k === 0,
    slurred: k > 0,
  }));
}

export type Mode = "major" | "harmonic minor";

/** The tonic of a signature as a letter and its alteration, in the lowest octave of the clarinet. */
function tonic(fifths: number, mode: Mode): SpelledPitch {
  const place = mode === "major" ? fifths : fifths + 3;
  const letters = ["F", "C", "G", "D", "A", "E", "B"] as const;
  const step = letters[(((place + 1) % 7) + 7) % 7] ?? "C";
  const alter = Math.floor((place + 1) / 7);
  const low: SpelledPitch = { step, alter, octave: 3 };
  return midiNumber(low) < LOWEST ? { ...low, octave: 4 } : low;
}

/** Degrees from the tonic (0) to two octaves above (14), spelled; the seventh raised in minor. */
function degree(fifths: number, mode: Mode, place: number): SpelledPitch {
  const { step, octave } = movePitch({ ...tonic(fifths, mode), alter: 0 }, place, 0);
  const natural = pitchFifths({ step, alter: 0 });
  const raised = mode === "harmonic minor" && ((place % 7) + 7) % 7 === 6 ? 1 : 0;
  return { step, octave, alter: signatureAlter(fifths, natural) + raised };
}

const up = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, k) => from + k);
const andBack = (places: readonly number[]) => [...places, ...places.slice(0, -1).reverse()];

/** Scale, broken thirds and arpeggio over two octaves, up and down, in degrees of the scale. */
export const STUDIES = {
  scale: andBack(up(0, 14)),
  thirds: [
    ...up(0, 12).flatMap((k) => [k, k + 2]),
    14,
    ...up(2, 14)
      .reverse()
      .flatMap((k) => [k, k - 2]),
    0,
  ],
  arpeggio: andBack([0, 2, 4, 7, 9, 11, 14]),
} as const;
export type Study = keyof typeof STUDIES;

/** A study in a key, spelled. */
export function study(kind: Study, fifths: number, mode: Mode = "major"): readonly SpelledPitch[] {
  return STUDIES[kind].map((place) => degree(fifths, mode, place));
}

/**
 * The same kinds over the compass E3 to C6, the same stretch for every key: every note of it that the
 * scale or the chord has there, up and down.
 */
export function overCompass(
  kind: Study,
  fifths: number,
  mode: Mode = "major",
): readonly SpelledPitch[] {
  const places = up(-7, 21).filter((place) => {
    const midi = midiNumber(degree(fifths, mode, place));
    return midi >= LOWEST && midi <= HIGHEST;
  });
  const chord = places.filter((place) => [0, 2, 4].includes(((place % 7) + 7) % 7));
  const rising = places.slice(2).flatMap((place, k) => [places[k] ?? place, place]);
  const chosen = {
    scale: andBack(places),
    thirds: [...rising, ...[...rising].reverse()],
    arpeggio: andBack(chord),
  };
  return chosen[kind].map((place) => degree(fifths, mode, place));
}

export const chromatic: readonly number[] = andBack(up(LOWEST, HIGHEST));

/** The notes as they stand on the page, eight in a bar. */
export function asRead(pitches: readonly SpelledPitch[], speed = SPEED): readonly ReadNote[] {
  return pitches.map((pitch, k) => ({
    pitch,
    seconds: 1 / speed,
    bar: Math.floor(k / 8),
    tied: false,
  }));
}

export const midis = (pitches: readonly SpelledPitch[]) => pitches.map(midiNumber);
export const named = (text: string) => text.split(" ").map((name) => midiNumber(parsePitch(name)));
