import fc from "fast-check";
import { Interval, Note } from "tonal";
import { describe, expect, it } from "vitest";
import type { Step, Transposition } from "../../src/model/score.js";
import {
  isStep,
  midiNumber,
  movePitch,
  parsePitch,
  pitchFifths,
  pitchName,
  soundingPitch,
  transpositionFifths,
  transpositionSemitones,
  writtenPitch,
} from "../../src/theory/pitch.js";

const STEPS: readonly Step[] = ["C", "D", "E", "F", "G", "A", "B"];
const step = fc.constantFrom(...STEPS);
const octave = fc.integer({ min: -1, max: 9 });
const pitch = fc.record({ step, alter: fc.integer({ min: -2, max: 2 }), octave });
const quarterTone = fc.record({
  step,
  alter: fc.constantFrom(-1.5, -1, -0.5, 0, 0.5, 1, 1.5),
  octave,
});
const transposition = fc.record({
  diatonic: fc.integer({ min: -9, max: 9 }),
  chromatic: fc.integer({ min: -16, max: 16 }),
  octaveChange: fc.integer({ min: -2, max: 2 }),
});

const B_FLAT: Transposition = { diatonic: -1, chromatic: -2, octaveChange: 0 };
const A: Transposition = { diatonic: -2, chromatic: -3, octaveChange: 0 };
const E_FLAT: Transposition = { diatonic: 2, chromatic: 3, octaveChange: 0 };
const BASS: Transposition = { diatonic: -1, chromatic: -2, octaveChange: -1 };

describe("midiNumber", () => {
  // MIDI 1.0 specification: note numbers 0 to 127, middle C being 60.
  it.each([
    ["C-1", 0],
    ["C4", 60],
    ["A4", 69],
    ["G9", 127],
    ["B#3", 60],
    ["Cb4", 59],
    ["Fbb4", 63],
    ["E##4", 66],
  ])("%s is %i", (name, number) => {
    expect(midiNumber(parsePitch(name))).toBe(number);
  });

  it("lies half-way for a quarter tone", () => {
    expect(midiNumber({ step: "A", alter: 0.5, octave: 4 })).toBe(69.5);
    expect(midiNumber({ step: "A", alter: -1.5, octave: 4 })).toBe(67.5);
  });

  it("is that of tonal", () => {
    // tonal knows the note numbers from 0 to 127 only.
    const inMidi = pitch.filter((each) => each.octave >= 0 && each.octave <= 8);
    fc.assert(
      fc.property(inMidi, (each) => {
        expect(midiNumber(each)).toBe(Note.midi(pitchName(each)));
      }),
    );
  });
});

describe("movePitch", () => {
  const intervals = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15].flatMap((number) => {
    const qualities = [1, 4, 5].includes(((number - 1) % 7) + 1)
      ? ["d", "P", "A"]
      : ["d", "m", "M", "A"];
    return qualities.flatMap((quality) => [`${quality}${number}`, `${quality}-${number}`]);
  });
  const spellings = STEPS.flatMap((letter) =>
    ["bb", "b", "", "#", "##"].map((sign) => `${letter}${sign}4`),
  );

  it.each(intervals)("spells %s like tonal, from every spelling", (name) => {
    const { num, semitones } = Interval.get(name);
    const diatonic = num > 0 ? num - 1 : num + 1;
    const moved = spellings.map((from) =>
      pitchName(movePitch(parsePitch(from), diatonic, semitones)),
    );
    expect(moved).toEqual(spellings.map((from) => Note.transpose(from, name)));
  });

  it("goes there and back", () => {
    const interval = fc.integer({ min: -50, max: 50 });
    fc.assert(
      fc.property(quarterTone, interval, interval, (from, diatonic, chromatic) => {
        const there = movePitch(from, diatonic, chromatic);
        expect(movePitch(there, -diatonic, -chromatic)).toEqual(from);
      }),
    );
  });

  it.each([
    // Written on the B-flat clarinet: a quarter tone above C sounds one above B-flat.
    [0.5, { step: "B", alter: -0.5, octave: 3 }],
    [-0.5, { step: "B", alter: -1.5, octave: 3 }],
    [1.5, { step: "B", alter: 0.5, octave: 3 }],
  ])("keeps a quarter tone: %d", (alter, expected) => {
    expect(movePitch({ step: "C", alter, octave: 4 }, -1, -2)).toEqual(expected);
  });
});

describe("soundingPitch and writtenPitch", () => {
  // B-flat, A, E-flat: Grove, A Dictionary of Music and Musicians I, p. 362 (lowest written E
  // sounds D and C sharp). Bass clarinet: Encyclopaedia Britannica 11th ed. III (1911).
  it.each([
    ["E3", B_FLAT, "D3"],
    ["E3", A, "C#3"],
    ["C4", B_FLAT, "Bb3"],
    ["F#5", A, "D#5"],
    ["C5", E_FLAT, "Eb5"],
    ["C5", BASS, "Bb3"],
  ])("written %s by %o sounds %s", (written, by, sounding) => {
    expect(pitchName(soundingPitch(parsePitch(written), by))).toBe(sounding);
    expect(pitchName(writtenPitch(parsePitch(sounding), by))).toBe(written);
  });

  it("undo each other", () => {
    fc.assert(
      fc.property(quarterTone, transposition, (each, by) => {
        expect(writtenPitch(soundingPitch(each, by), by)).toEqual(each);
        expect(soundingPitch(writtenPitch(each, by), by)).toEqual(each);
      }),
    );
  });

  it("move by the semitones and fifths of the transposition", () => {
    fc.assert(
      fc.property(pitch, transposition, (written, by) => {
        const sounding = soundingPitch(written, by);
        expect(midiNumber(sounding) - midiNumber(written)).toBe(transpositionSemitones(by));
        expect(pitchFifths(sounding) - pitchFifths(written)).toBe(transpositionFifths(by));
      }),
    );
  });
});

describe("transpositionFifths", () => {
  // The line of fifths ... E-flat B-flat F C G D A ...: common practice, no source.
  it.each([
    [B_FLAT, -2],
    [A, 3],
    [E_FLAT, -3],
    [BASS, -2],
    [{ diatonic: -4, chromatic: -7, octaveChange: 0 }, -1],
    [{ diatonic: 1, chromatic: 2, octaveChange: 0 }, 2],
  ])("%o is %i", (by, fifths) => {
    expect(transpositionFifths(by)).toBe(fifths);
  });
});

describe("names", () => {
  it("are read back as they were written", () => {
    fc.assert(
      fc.property(pitch, (each) => {
        expect(parsePitch(pitchName(each))).toEqual(each);
      }),
    );
  });

  it("give quarter tones as a number", () => {
    expect(pitchName({ step: "B", alter: -0.5, octave: 3 })).toBe("B(-0.5)3");
    expect(pitchName({ step: "C", alter: 0.5, octave: 5 })).toBe("C(+0.5)5");
  });

  it.each(["", "C", "H4", "C#b4", "c4", "C4 "])("refuse %j", (name) => {
    expect(() => parsePitch(name)).toThrow("not a pitch name");
  });

  it("have seven letters", () => {
    expect([..."ABCDEFGHabc", "", "toString"].filter(isStep)).toEqual([..."ABCDEFG"]);
  });
});
