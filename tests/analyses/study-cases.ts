import fc from "fast-check";
import { junctionBound, type FingeredNote } from "../../src/fingering/best-fingering.js";
import { midiNumber, parsePitch } from "../../src/theory/pitch.js";
import { attributes, B_FLAT, BASS, metronome, note } from "../support/score-xml.js";
import type { Transposition } from "./difficulty-cases.js";

/** A bar of 4/4 to play: pitches for one of the rhythms, and which notes a slur reaches. */
export interface StudyBar {
  readonly rhythm: keyof typeof RHYTHMS;
  readonly pitches: readonly string[];
  readonly slurred: readonly boolean[];
}

/** Lengths in quarters that fill a bar of 4/4, written in sixteenths at the least. */
export const RHYTHMS = {
  halves: [2, 2],
  quarters: [1, 1, 1, 1],
  dotted: [1.5, 0.5, 1.5, 0.5],
  eighths: [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5],
  mixed: [0.5, 0.25, 0.25, 1, 0.75, 0.25, 1],
  sixteenths: Array.from({ length: 16 }, () => 0.25),
} as const;

/** The bars of a study as MusicXML; pitches are taken in turn, slurs go from note to note. */
export function studyBars(
  study: readonly StudyBar[],
  { tempo = 60, divisions = 4, fifths = 0 } = {},
): readonly string[] {
  return study.map(({ rhythm, pitches, slurred }, k) => {
    const lengths: readonly number[] = RHYTHMS[rhythm];
    const reached = lengths.map((_, j) => j > 0 && (slurred[j % slurred.length] ?? false));
    const notes = lengths.map((length, j) => {
      const stop = reached[j] ? '<slur type="stop"/>' : "";
      const start = reached[j + 1] ? '<slur type="start"/>' : "";
      const pitch = pitches[j % pitches.length] ?? "C5";
      return note(pitch, length, `<notations>${stop}${start}</notations>`, divisions);
    });
    const head = attributes({ meter: "4/4", fifths, transpose: B_FLAT, divisions });
    const first = k === 0 ? head + metronome("quarter", String(tempo)) : "";
    return first + notes.join("");
  });
}

export const noteCount = (study: readonly StudyBar[]) =>
  study.reduce((sum, { rhythm }) => sum + RHYTHMS[rhythm].length, 0);

const PITCHES = "E3 F3 F#3 G3 Bb3 C4 D4 Eb4 F4 G4 G#4 A4 Bb4 B4 C5 C#5 D5 Eb5 F5 G5 A5 C6 D6 F6";
const studyBar: fc.Arbitrary<StudyBar> = fc.record({
  rhythm: fc.constantFrom(...(Object.keys(RHYTHMS) as StudyBar["rhythm"][])),
  pitches: fc.array(fc.constantFrom(...PITCHES.split(" ")), { minLength: 1, maxLength: 16 }),
  slurred: fc.array(fc.boolean(), { minLength: 1, maxLength: 16 }),
});
export const study = fc.array(studyBar, { minLength: 1, maxLength: 4 });

/** What the move from one study to the next can cost at most, so many semitones higher. */
export function seamBound(
  first: readonly StudyBar[],
  second: readonly StudyBar[],
  tempo: number,
  up: number,
): number {
  const last = first.at(-1);
  const lengths: readonly number[] = last ? RHYTHMS[last.rhythm] : [];
  const at = (pitch: string | undefined, quarters: number): FingeredNote => ({
    midi: midiNumber(parsePitch(pitch ?? "")) + up,
    seconds: (quarters * 60) / tempo,
    restBefore: false,
    slurred: false,
  });
  const lastPitch = last?.pitches[(lengths.length - 1) % last.pitches.length];
  return junctionBound(at(lastPitch, lengths.at(-1) ?? 1), at(second[0]?.pitches[0], 1));
}

/** Name, transposition, notes and how many are too low: below E3 (see src/instruments/table-clarinets.ts). */
// prettier-ignore
export const LOW_NOTES: readonly (readonly [string, Transposition, string, number])[] = [
  ["Bass Clarinet", BASS, "C3 D3 E3 F3", 0],
  ["Basset Horn in F", [-4, -7], "C3 D3 E3 F3", 0],
  ["Bass Clarinet", BASS, "Bb2 C3 D3 E3", 1],
  ["Clarinet in Bb", [-1, -2], "C3 D3 E3 F3", 2],
];

/** Instruments that the table of fingerings has not. */
export const UNFINGERED: readonly (readonly [string, Transposition])[] = [
  ["Flute", [0, 0]],
  ["Oboe", [0, 0]],
  ["Bassoon", [0, 0]],
  ["Alto Saxophone", [-5, -9]],
  ["Tenor Saxophone", [-1, -2, -1]],
];
