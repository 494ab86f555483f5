import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { WEIGHTS } from "../../src/fingering/weights.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import { spotText } from "../../src/reporters/wording/fingers.js";
import { pitchName } from "../../src/theory/pitch.js";
import { A, BASS, note, rest } from "../support/score-xml.js";
import { back } from "./change-cases.js";
import { choiceOf, grace, inVoice, opening, reportOf, run } from "./difficulty-cases.js";
import { LOW_NOTES, noteCount, seamBound, study, studyBars, UNFINGERED } from "./study-cases.js";

const BOTH: readonly InstrumentId[] = ["clarinet-bflat", "clarinet-a"];
/** Sixteenths at quarter = 165 are 11 notes a second. */
const FAST = 165;

const RUNS = { numRuns: 60 };

describe("the difficulty of any passage", () => {
  it("is the same in any divisions", () => {
    const divisions = fc.constantFrom(4, 8, 12, 96, 10080);
    fc.assert(
      fc.property(study, divisions, (bars, finer) => {
        const plain = reportOf(studyBars(bars));
        const other = reportOf(studyBars(bars, { divisions: finer }));
        expect(other.passages).toEqual(plain.passages);
        expect(other.demands).toEqual(plain.demands);
      }),
      RUNS,
    );
  });

  // Up to 24 notes a second, above which nothing grows: sixteenths at quarter = 360.
  it("grows with the square of the tempo, on either clarinet", () => {
    const tempo = fc.integer({ min: 30, max: 150 });
    fc.assert(
      fc.property(study, tempo, fc.integer({ min: 1, max: 150 }), (bars, slow, more) => {
        const fast = slow + more;
        const ratio = (fast / slow) ** WEIGHTS.speedPower;
        const [before, after] = [slow, fast].map((each) =>
          reportOf(studyBars(bars, { tempo: each })),
        );
        for (const id of BOTH) {
          const [a, b] = [choiceOf(before!, id).difficulty, choiceOf(after!, id).difficulty];
          expect(b.score).toBeGreaterThanOrEqual(a.score);
          expect(b.score).toBeCloseTo(a.score * ratio, 6);
          expect(b.fingers).toBeCloseTo(a.fingers! * ratio, 6);
          expect(b.reading).toBeCloseTo(a.reading * ratio, 6);
        }
      }),
      RUNS,
    );
  });

  it("grows with the tempo where rests are among the notes, and grows no more past 24 a second", () => {
    const bar = `${run("C5 Eb5 A4 B4", 0.25)}${rest(0.25)}${run("E5 C#5 D5", 0.25)}`.repeat(2);
    const score = (tempo: number) => choiceOf(reportOf([opening(tempo) + bar])).difficulty.score;
    const scores = [20, 40, 50, 60, 90, 120, 180, 240, 359].map(score);
    expect(scores).toEqual([...scores].sort((a, b) => a - b));
    expect(new Set(scores).size).toBe(scores.length);
    // A sixteenth and a sixteenth rest are a 24th of a second at quarter = 720.
    expect(score(740)).toBe(score(800));
  });

  // The bound that src/fingering/best-fingering.ts states: no less than the parts, and no more than
  // the dearest move at the seam on top. Reading adds up, since accidentals end at the barline.
  it("is that of its parts and the seam", () => {
    fc.assert(
      fc.property(study, study, fc.integer({ min: 40, max: 160 }), (first, second, tempo) => {
        const [a, b, whole] = [first, second, [...first, ...second]].map((bars) => ({
          notes: noteCount(bars),
          report: reportOf(studyBars(bars, { tempo })),
        }));
        BOTH.forEach((id, up) => {
          const [from, to, all] = [a!, b!, whole!].map(({ notes, report }) => {
            const { fingers, reading } = choiceOf(report, id).difficulty;
            return { fingers: fingers! * notes, reading: reading * notes };
          });
          const bound = seamBound(first, second, tempo, up);
          const parts = from!.fingers + to!.fingers;
          expect(all!.fingers).toBeGreaterThanOrEqual(parts - 1e-9);
          expect(all!.fingers).toBeLessThanOrEqual(parts + bound + 1e-9);
          expect(all!.reading).toBeCloseTo(from!.reading + to!.reading, 9);
        });
      }),
      RUNS,
    );
  });
});

describe("the scale of points", () => {
  // The definition in src/fingering/weights.ts: F major, two octaves, sixteenths at 120, is 1.
  const UP = "F3 G3 A3 Bb3 C4 D4 E4 F4 G4 A4 Bb4 C5 D5 E5";
  const DOWN = "F5 E5 D5 C5 Bb4 A4 G4 F4 E4 D4 C4 Bb3 A3 G3";
  const scale = (tempo: number) => {
    const head = opening(tempo, { fifths: -1, meter: "7/4" });
    const bars = [head + run(UP, 0.25) + run(DOWN, 0.25), note("F3", 0.25) + rest(6.75)];
    return choiceOf(reportOf(bars)).difficulty;
  };
  it("is 1 for the fingers of a fluent scale, and 5 at 18 notes a second", () => {
    // Tongued; under a slur the break is a little harder.
    expect(scale(120).fingers).toBeGreaterThan(0.9);
    expect(scale(120).fingers).toBeLessThanOrEqual(1);
    expect(scale(270).fingers! / scale(120).fingers!).toBeCloseTo((18 / 8) ** 2, 6);
  });

  it("is the sum of fingers and reading", () => {
    const { score, fingers, reading } = scale(120);
    expect(score).toBeCloseTo(fingers! + reading, 12);
    // One flat on every note: 0.06 of 1.65.
    expect(reading).toBeCloseTo(0.06 / 1.65, 6);
  });

  it("a repeated note takes nothing of the fingers", () => {
    const bar = run("G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4 G4", 0.25);
    expect(choiceOf(reportOf([opening(160) + bar])).difficulty).toMatchObject({
      score: 0,
      fingers: 0,
    });
  });

  it("a tied note is one, however it is written", () => {
    const tied = note("C5", 2, '<tie type="start"/>') + note("C5", 1, '<tie type="stop"/>');
    const [one, two] = [note("C5", 3), tied].map((each) =>
      choiceOf(reportOf([opening() + each + note("B4", 1)])),
    );
    expect(one!.difficulty.score).toBeCloseTo(two!.difficulty.score, 12);
  });
});

describe("the worst spots", () => {
  // E-flat 5, C5, B4, E-flat 5: the right little finger has E-flat and, of B and C, one at least. On the A
  // clarinet the same are E, C-sharp, C, E: the left takes one, the right the other.
  const bar = run("D#5 C5 B4 D#5", 0.25) + rest(3);

  it("name bar, notes, speed and finger, and what they are on the other clarinet", () => {
    const bars = [opening(FAST, { fifths: 2 }) + note("D5", 4), bar];
    const [spot, ...more] = choiceOf(reportOf(bars)).spots;
    expect(spot).toMatchObject({ at: { barLabel: "2" }, cause: { kind: "slide", finger: "RL" } });
    expect(more.length).toBeLessThanOrEqual(2);
    expect(spotText(spot!)).toMatch(
      /^bar 2, beat 1[¼½¾]: .* at 11 notes a second, the right little finger slides; on A .*, lighter$/,
    );
  });

  it("are none where it is slow, or lies well", () => {
    expect(choiceOf(reportOf([opening(60, { fifths: 2 }) + bar])).spots).toEqual([]);
    const easy = run("G5 A5 G5 F5 E5 F5 G5 A5", 0.25) + rest(2);
    expect(choiceOf(reportOf([opening(FAST) + easy])).spots).toEqual([]);
  });

  it("are each pair once", () => {
    const often = Array.from(
      { length: 6 },
      (_, k) => (k === 0 ? opening(FAST) : "") + run("Eb5 C5 B4 Eb5", 0.25).repeat(4),
    );
    const pairs = choiceOf(reportOf(often)).spots.map(
      ({ from, to }) => `${from && pitchName(from)} ${pitchName(to)}`,
    );
    expect(new Set(pairs).size).toBe(pairs.length);
  });

  it("are at a speed that can be told", () => {
    // Two voices that enter together after a rest.
    const both = note("A6", 2, inVoice(1)) + back(2) + note("C5", 2, inVoice(2));
    const { spots } = choiceOf(reportOf([opening() + note("C5", 1) + rest(1) + both]));
    for (const { notesPerSecond } of spots) expect(Number.isFinite(notesPerSecond)).toBe(true);
  });

  it("of grace groups are told at ten a second", () => {
    const bars = [
      opening() +
        note("A5", 2) +
        ["Eb5", "C5", "B4", "Eb5"].map((each) => grace(each)).join("") +
        note("D5", 2),
    ];
    const [spot] = choiceOf(reportOf(bars)).spots;
    expect(spot).toMatchObject({ notesPerSecond: 10, at: { barLabel: "1", beat: 3 } });
  });
});

describe("registers and the break", () => {
  it("are counted by the written note", () => {
    const bars = [
      opening() + run("E3 F4 F#4 Bb4", 1),
      run("B4 C6 C#6 F#6", 1),
      run("G6 G#6", 1) + rest(2),
    ];
    expect(choiceOf(reportOf(bars)).registers).toEqual({
      chalumeau: 2, throat: 2, clarion: 2, altissimo: 3, extreme: 1,
    }); // prettier-ignore
  });

  it.each([
    ["throat to clarion and back", "A4 C5 A4 C5", 3],
    ["within the clarion", "C5 D5 E5 C5", 0],
    ["chalumeau with the right hand down to clarion", "G3 D5 G3 D5", 0],
    ["open F to C", "F4 C5 F4 C5", 3],
  ])("%s", (_, names, crossings) => {
    expect(choiceOf(reportOf([opening() + run(names, 1)])).breakCrossings).toBe(crossings);
  });

  it("not after a rest", () => {
    expect(
      choiceOf(reportOf([opening() + note("A4", 1) + rest(2) + note("C5", 1)])).breakCrossings,
    ).toBe(0);
  });

  it("differ on the other clarinet", () => {
    // A4-B-flat 4 are B-flat 4 and B4 on the A.
    const report = reportOf([opening() + run("A4 Bb4 A4 Bb4", 1)]);
    expect(BOTH.map((id) => choiceOf(report, id).breakCrossings)).toEqual([0, 3]);
  });
});

describe("odd parts", () => {
  it("one note is nothing to think of", () => {
    const report = reportOf([opening() + note("C5", 4)]);
    expect(choiceOf(report)).toMatchObject({ spots: [], trills: [], breakCrossings: 0 });
    expect(choiceOf(report).difficulty).toMatchObject({ score: 0, fingers: 0, reading: 0 });
  });

  it("quarter tones have no fingering here and are an accidental", () => {
    const quarter = note("C#5", 1).replace("<alter>1<", "<alter>0.5<");
    const report = reportOf([opening() + note("C5", 1) + quarter + note("D5", 2)]);
    for (const id of BOTH) {
      expect(choiceOf(report, id).outOfRange).toBe(0);
      expect(choiceOf(report, id).difficulty.fingers).toBeGreaterThan(1 / 64);
    }
    expect(choiceOf(report).accidentals).toBe(1);
  });

  it("notes of the A clarinet's low E are out of reach on the B-flat alone", () => {
    const report = reportOf([opening(60, { transpose: A }) + run("E3 E3 F3 G3", 1)]);
    expect(choiceOf(report)).toMatchObject({ outOfRange: 0, tooLow: 0 });
    expect(choiceOf(report, "clarinet-bflat")).toMatchObject({ outOfRange: 2, tooLow: 2 });
    expect(choiceOf(report, "clarinet-bflat").difficulty.score).toBeGreaterThan(10);
  });

  it.each(LOW_NOTES)("below E3: %s %j, %s", (name, transpose, names, tooLow) => {
    const choice = choiceOf(reportOf([opening(60, { transpose }) + run(names, 1)], { name }));
    expect(choice).toMatchObject({ outOfRange: tooLow, tooLow });
    expect(choice.registers?.chalumeau).toBe(4);
  });

  it("the low notes of a bass clarinet that has them are no harder than a note out of reach", () => {
    const low = run("C3 D3 C3 D3 C3 D3 C3 D3", 0.5);
    const fingers = (name: string, transpose: readonly [number, number, number?]) =>
      choiceOf(reportOf([opening(90, { transpose }) + low], { name })).difficulty.score;
    expect(fingers("Bass Clarinet", BASS)).toBeLessThan(fingers("Clarinet in Bb", [-1, -2]) - 10);
  });
});

describe("instruments without a table of fingerings", () => {
  // Every note a move of a fluent scale: 8 a second is 1. Eight sixteenths at 120 and no more.
  it.each(UNFINGERED)("%s: key, range and speed", (name, transpose) => {
    const pitches = name === "Bassoon" ? "C3 D3 E3 F3 G3 A3 B3 C4" : "C5 D5 E5 F5 G5 A5 B5 C6";
    const bars = [opening(120, { transpose }) + run(pitches, 0.25) + rest(2)];
    const choice = choiceOf(reportOf(bars, { name }));
    expect(choice).toMatchObject({ registers: null, breakCrossings: 0, spots: [], trills: [] });
    expect(choice.difficulty).toMatchObject({ fingers: null, reading: 0 });
    expect(choice.difficulty.score).toBeCloseTo(1, 9);
  });

  it("a book of two saxophones is rated on each, and nothing stands in", () => {
    const bars = [
      opening(120, { transpose: [-5, -9] }) + run("C5 D5 E5 F5", 1),
      ...Array.from({ length: 8 }, () => rest(4)),
      opening(120, { transpose: [-1, -2, -1] }) + run("C5 D5 E5 F5", 1),
    ];
    const { passages } = reportOf(bars, { name: "Saxophone" });
    expect(passages.map(({ choices }) => choices.map(({ instrument }) => instrument))).toEqual([
      ["saxophone-alto"],
      ["saxophone-tenor"],
    ]);
  });
});

describe("what the player carries", () => {
  it("is what there is to choose from", () => {
    const carries: readonly InstrumentId[] = ["clarinet-c", "clarinet-d"];
    const report = reportOf([opening(60, { fifths: 4 }) + run("E4 F#4 G#4 A4", 1)], {
      profile: { ...USUAL_PROFILE, carries },
    });
    // E major on the B-flat sounds D: D major for the C clarinet, C major for the D clarinet.
    const keys = report.passages[0]!.choices.map(({ instrument, writtenFifths }) => [
      instrument,
      writtenFifths,
    ]);
    expect(keys).toEqual([
      ["clarinet-bflat", 4],
      ["clarinet-c", 2],
      ["clarinet-d", 0],
    ]);
  });
});
