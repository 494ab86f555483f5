import { describe, expect, it } from "vitest";
import { TRILLS } from "../../src/fingering/fingerings.js";
import type { TrillVerdict } from "../../src/model/fingering.js";
import { judgeTrill } from "../../src/fingering/trills.js";
import { midiNumber, parsePitch } from "../../src/theory/pitch.js";

const midi = (name: string) => midiNumber(parsePitch(name));
const judged = (lower: string, upper: string) => judgeTrill(midi(lower), midi(upper));

/** What a remark asks of the model: "difficult" and "awkward" are anything but good. */
const MEANS = {
  ok: ["good"],
  difficult: ["awkward", "poor"],
  impracticable: ["poor"],
} as const satisfies Record<string, readonly TrillVerdict[]>;

type Grade = "published" | "published, accidentals reconstructed" | "from memory";
interface Remark {
  readonly pairs: readonly (readonly [lower: string, upper: string])[];
  readonly says: keyof typeof MEANS;
  readonly grade: Grade;
}

/**
 * Every row of the reference list of awkward trills of which both notes are known. Published: E. Tavan,
 * Méthode pratique d'orchestration symphonique, p. 24. The rows whose accidentals are lost are left out
 * (G or G-sharp with A-flat or A; A3-B3, B4-C5, C5-D5 and D5-E5 with lost signs).
 */
const REMARKS: readonly Remark[] = [
  { pairs: [["F#3", "G#3"], ["F#4", "G#4"], ["F#5", "G#5"]], says: "difficult", grade: "published, accidentals reconstructed" },
  { pairs: [["G#3", "A#3"], ["G#4", "A#4"], ["G#5", "A#5"]], says: "difficult", grade: "published, accidentals reconstructed" },
  { pairs: [["A4", "Bb4"]], says: "difficult", grade: "published, accidentals reconstructed" },
  { pairs: [["E3", "F3"]], says: "impracticable", grade: "published" },
  { pairs: [["B4", "C#5"]], says: "difficult", grade: "from memory" },
  { pairs: [["C5", "Db5"]], says: "difficult", grade: "from memory" },
  { pairs: [["C#5", "D#5"]], says: "difficult", grade: "from memory" },
  { pairs: [["C5", "D5"]], says: "ok", grade: "from memory" },
  { pairs: [["Bb4", "C5"]], says: "ok", grade: "from memory" },
  { pairs: [["A4", "B4"]], says: "ok", grade: "from memory" },
  { pairs: [["Bb4", "B4"]], says: "difficult", grade: "from memory" },
  { pairs: [["F#3", "G#3"]], says: "difficult", grade: "from memory" },
  { pairs: [["G#4", "A#4"]], says: "difficult", grade: "from memory" },
  { pairs: [["F#4", "G#4"]], says: "difficult", grade: "from memory" },
]; // prettier-ignore

function agrees({ pairs, says }: Remark): boolean {
  const allowed: readonly TrillVerdict[] = MEANS[says];
  return pairs.every(([lower, upper]) => allowed.includes(judged(lower, upper).verdict));
}

describe("remarks on awkward trills", () => {
  it("are 14, of which 12 agree", () => {
    expect([REMARKS.length, REMARKS.filter(agrees).length]).toEqual([14, 12]);
  });

  it.each<[Grade, agree: number, of: number]>([
    ["published", 0, 1],
    ["published, accidentals reconstructed", 2, 3],
    ["from memory", 10, 10],
  ])("%s: %i of %i", (grade, agree, of) => {
    const rows = REMARKS.filter((remark) => remark.grade === grade);
    expect([rows.filter(agrees).length, rows.length]).toEqual([agree, of]);
  });

  it("disagree in two, both about keys that a clarinet of 1900 need not have had", () => {
    const others = REMARKS.filter((remark) => !agrees(remark));
    expect(others.map(({ pairs }) => pairs)).toEqual([[["A4", "Bb4"]], [["E3", "F3"]]]);
    // The side key, or the thumb on the register key: one strong finger either way.
    expect(judged("A4", "Bb4").verdict).toBe("good");
    // Impracticable with one lever for each; with E on the left and F held on the right one little
    // finger works, which is awkward and no more.
    expect(judged("E3", "F3").verdict).toBe("awkward");
  });

  it("has none of the plausible readings of lost signs impracticable, as Tavan calls them, but awkward", () => {
    // B4-C#5 and C#5-D#5 are guesses of the list, A3-B3 is as printed, without its signs.
    expect(judged("B4", "C#5").verdict).toBe("awkward");
    expect(judged("C#5", "D#5").verdict).toBe("awkward");
    expect(judged("A3", "B3").verdict).toBe("good");
  });
});

describe("judgeTrill", () => {
  it.each([
    ["A4", "B4"],
    ["Bb4", "C5"],
  ])("takes the side keys for %s to %s", (lower, upper) => {
    const trill = judged(lower, upper);
    expect([trill.verdict, trill.special]).toEqual(["good", true]);
    expect(trill.fingering?.upper.keys).toEqual(expect.arrayContaining(["S3", "S4"]));
  });

  // No outside source: what the table and the weights come to, for a player to read through.
  it.each([
    [1, "E3 F3 G#4 Bb4 B4 C5"],
    [2, "E3 F#3 G#3 B3 C#4 F#4 G#4 B4 C#5 Eb5 F#5 G#5"],
  ])(
    "finds of the trills of %i semitones up to C6 those not good that begin on %s",
    (step, from) => {
      const notes = Array.from({ length: 33 - step }, (_, k) => 52 + k);
      const clumsy = notes.filter((note) => judgeTrill(note, note + step).verdict !== "good");
      expect(clumsy).toEqual(from.split(" ").map(midi));
    },
  );

  it("gives the trill fingerings the note that their keys have in the table", () => {
    for (const { lower, upper } of TRILLS) {
      expect([1, 2]).toContain(upper.midi - lower.midi);
      // Closing more of the tube never raises the note: keys of the little fingers go with the lower.
      const closes = (keys: readonly string[]) =>
        keys.filter((key) => /^[LR](E|F|Fs)$/.test(key)).length;
      expect(closes(lower.keys)).toBeGreaterThanOrEqual(closes(upper.keys));
    }
  });

  it("says what is wrong", () => {
    const kinds = (lower: string, upper: string) =>
      judged(lower, upper).reasons.map(({ kind }) => kind);
    expect(kinds("C#5", "D#5")).toContain("opposite");
    expect(kinds("G#4", "A#4")).toContain("roll");
    expect(kinds("Bb4", "B4")).toContain("break");
    expect(kinds("C5", "C#5")).toContain("other-holds");
  });

  it("judges tremolos too, either way round", () => {
    expect(judged("G4", "E4").verdict).toBe(judged("E4", "G4").verdict);
    expect(judged("E4", "G4").verdict).toBe("good");
    // Over the break with the whole left hand, the right one down; by the register key alone.
    expect(judged("G4", "D5").verdict).toBe("poor");
    expect(judged("G#3", "D#5").verdict).toBe("good");
  });

  it("has no fingering for notes outside the table", () => {
    const trill = judgeTrill(50, 52);
    expect([trill.verdict, trill.fingering]).toEqual(["poor", null]);
    expect(judgeTrill(60, 61.5).verdict).toBe("poor");
  });

  it("explains its effort", () => {
    for (let note = 52; note < 91; note++) {
      for (const step of [1, 2, 3, 4]) {
        const { effort, reasons } = judgeTrill(note, note + step);
        expect(effort).toBeCloseTo(
          reasons.reduce((sum, reason) => sum + reason.effort, 0),
          9,
        );
      }
    }
  });
});
