import { describe, expect, it } from "vitest";
import { bestFingering } from "../../src/fingering/best-fingering.js";
import { WEIGHTS } from "../../src/fingering/weights.js";
import { majorKeyName, minorKeyName } from "../../src/theory/key.js";
import { chromatic, even, midis, overCompass, study, type Mode } from "./passages.js";

const score = (notes: readonly number[], speed?: number) => bestFingering(even(notes, speed)).score;

/** The twelve major keys: D-flat for C-sharp, F-sharp for G-flat. */
const FIFTHS = [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6];
const nameOf = (mode: Mode, fifths: number) =>
  mode === "major" ? majorKeyName(fifths) : minorKeyName(fifths);

function ordered(of: (fifths: number) => number, mode: Mode = "major") {
  return FIFTHS.map((fifths) => ({ key: nameOf(mode, fifths), score: of(fifths) })).sort(
    (a, b) => a.score - b.score,
  );
}

const names = (rows: readonly { readonly key: string }[]) => rows.map(({ key }) => key);
const EASIEST = ["C", "F", "G"];
const HARDEST = ["B", "D-flat", "F-sharp"];

// Over the same stretch, E3 to C6, every key meets the same difficult places of the instrument.
describe.each([
  ["scales", "scale"],
  ["broken thirds", "thirds"],
] as const)("%s over the compass E3 to C6", (_, kind) => {
  const rows = ordered((fifths) => score(midis(overCompass(kind, fifths))));
  const [easiest, middle, hardest] = [rows.slice(0, 3), rows.slice(3, 9), rows.slice(9)];

  it("are easiest in C, F and G, hardest in B, D-flat and F-sharp", () => {
    expect(names(easiest).sort()).toEqual(EASIEST);
    expect(names(hardest).sort()).toEqual(HARDEST);
    expect(rows[11]!.score).toBeGreaterThan(1.6 * rows[0]!.score);
  });

  it("keep the hardest apart from the rest, and the easiest together", () => {
    expect(hardest[0]!.score).toBeGreaterThan(1.03 * middle[5]!.score);
    expect(easiest[2]!.score).toBeLessThan(1.12 * easiest[0]!.score);
    expect(easiest[2]!.score).toBeLessThan(middle[0]!.score);
  });

  it("leave the chromatic scale between them", () => {
    const between = score(chromatic);
    const scales = ordered((fifths) => score(midis(overCompass("scale", fifths))));
    expect(between).toBeGreaterThan(1.1 * scales[2]!.score);
    expect(between).toBeLessThan(0.8 * scales[9]!.score);
  });
});

// From the lowest tonic up two octaves: C and D-flat touch C6, E starts on the lowest note.
describe.each(["scale", "thirds"] as const)("%s over two octaves from the tonic", (kind) => {
  const rows = ordered((fifths) => score(midis(study(kind, fifths))));

  it("are easiest in C, F and G", () => {
    expect(names(rows.slice(0, 3)).sort()).toEqual(EASIEST);
  });

  it("are hardest in D-flat and F-sharp, and in B with E", () => {
    // E3 to E5 has both groups of little-finger keys in it, low and high, B3 to B5 one: the two
    // keys come out alike here, and apart where the stretch is the same for all.
    expect(names(rows.slice(10)).sort()).toEqual(["D-flat", "F-sharp"]);
    expect(names(rows.slice(8, 10)).sort()).toEqual(["B", "E"]);
    expect(rows[9]!.score).toBeLessThan(1.02 * rows[8]!.score);
  });
});

describe("harmonic minor scales and broken thirds over two octaves", () => {
  const rows = ordered(
    (fifths) =>
      score(midis(study("scale", fifths, "harmonic minor"))) +
      score(midis(study("thirds", fifths, "harmonic minor"))),
    "harmonic minor",
  );

  it("are harder with four and more sharps or flats than with fewer than three", () => {
    const order = names(rows);
    const many = FIFTHS.filter((fifths) => Math.abs(fifths) >= 4).map(minorKeyName);
    const few = FIFTHS.filter((fifths) => Math.abs(fifths) < 3).map(minorKeyName);
    const firstOfMany = Math.min(...many.map((key) => order.indexOf(key)));
    const lastOfFew = Math.max(...few.map((key) => order.indexOf(key)));
    expect(firstOfMany).toBeGreaterThan(lastOfFew);
  });

  it("are hardest in the minor key of six sharps", () => {
    expect(rows[11]!.key).toBe("d-sharp");
  });
});

describe("the unit of the score", () => {
  const fMajor = midis(study("scale", -1));

  it("is the scale of F major in sixteenths at quarter = 120", () => {
    expect(score(fMajor, WEIGHTS.unitSpeed)).toBeGreaterThan(0.97);
    expect(score(fMajor, WEIGHTS.unitSpeed)).toBeLessThan(1.03);
  });

  it("reaches 5 with the same scale at 18 notes a second", () => {
    expect(score(fMajor, 18)).toBeGreaterThan(4.9);
    expect(score(fMajor, 18)).toBeLessThan(5.2);
  });

  it("grows with the tempo in every key", () => {
    for (const fifths of FIFTHS) {
      const scores = [1, 2, 4, 6, 8, 10, 12, 16, 20].map((speed) =>
        score(midis(overCompass("scale", fifths)), speed),
      );
      expect(scores).toEqual([...scores].sort((a, b) => a - b));
    }
  });
});
