import { describe, expect, it } from "vitest";
import { bestFingering } from "../../src/fingering/best-fingering.js";
import { readingStrain } from "../../src/fingering/reading.js";
import { writtenKey } from "../../src/theory/key.js";
import { asRead, even, midis, overCompass, STUDIES, type Mode, type Study } from "./passages.js";

// Written keys and their instruments as published; see the sources of each table below.
const JOINTS = { C: 0, "B-flat": -2, A: 3, "B natural": 5 } as const;
type Joint = keyof typeof JOINTS;

const MAJOR = {
  "C-flat": -7, "G-flat": -6, "D-flat": -5, "A-flat": -4, "E-flat": -3, "B-flat": -2, F: -1,
  C: 0, G: 1, D: 2, A: 3, E: 4, B: 5, "F-sharp": 6, "C-sharp": 7,
} as const; // prettier-ignore
type Major = keyof typeof MAJOR;

/**
 * Fingers and reading together: mean of scale, broken thirds and arpeggio over the compass E3 to C6,
 * sixteenths at 120. Not from tonic to tonic: E-flat would have to go up to E-flat 6 where E has E3.
 */
function combined(writtenFifths: number, mode: Mode): number {
  const kinds = Object.keys(STUDIES) as Study[];
  const scores = kinds.map((kind) => {
    const pitches = overCompass(kind, writtenFifths, mode);
    return (
      bestFingering(even(midis(pitches))).score +
      readingStrain(asRead(pitches), writtenFifths).score
    );
  });
  return scores.reduce((sum, score) => sum + score, 0) / scores.length;
}

/** A concert key on an instrument, spelled with at most six accidentals. */
function on(joint: Joint, concertFifths: number, mode: Mode = "major"): number {
  return combined(writtenKey(concertFifths, JOINTS[joint]).fifths, mode);
}

const readAs = (joint: Joint, key: Major) => writtenKey(MAJOR[key], JOINTS[joint]);

describe("K. W. Gehrkens, Essentials in Conducting (1919), table near p. 100", () => {
  it.each<[Major, "B-flat" | "A"]>([
    ["C", "B-flat"],
    ["G", "A"],
    ["D", "A"],
    ["A", "A"],
    ["E", "A"],
    ["B", "A"],
    ["F-sharp", "A"],
    ["F", "B-flat"],
    ["B-flat", "B-flat"],
    ["E-flat", "B-flat"],
    ["A-flat", "B-flat"],
    ["D-flat", "B-flat"],
  ])("concert %s is easier on the %s clarinet", (key, chosen) => {
    const other = chosen === "A" ? "B-flat" : "A";
    expect(on(chosen, MAJOR[key])).toBeLessThan(0.97 * on(other, MAJOR[key]));
  });

  it("concert C-sharp, for A there, is easier on the B-flat: respelt as D-flat it is his own row", () => {
    // E (four sharps) against E-flat (three flats); Gehrkens keeps the spelling, where the B-flat
    // clarinet would read D-sharp with nine sharps.
    expect(readAs("B-flat", "C-sharp")).toEqual({ fifths: -3, respelled: true });
    expect(on("B-flat", MAJOR["C-sharp"])).toBeLessThan(on("A", MAJOR["C-sharp"]));
    expect(on("B-flat", MAJOR["C-sharp"])).toBe(on("B-flat", MAJOR["D-flat"]));
  });

  it("concert G-flat, for either there, is somewhat easier on the A when respelt as F-sharp", () => {
    expect(readAs("A", "G-flat")).toEqual({ fifths: 3, respelled: true });
    const [bFlat, a] = [on("B-flat", MAJOR["G-flat"]), on("A", MAJOR["G-flat"])];
    expect(a).toBeLessThan(bFlat);
    expect(bFlat).toBeLessThan(1.2 * a);
  });

  it("concert C-flat, for B-flat there, is easier on the A: respelt as B it is his own row", () => {
    // D-flat (five flats) against D (two sharps).
    expect(readAs("A", "C-flat")).toEqual({ fifths: 2, respelled: true });
    expect(on("A", MAJOR["C-flat"])).toBeLessThan(on("B-flat", MAJOR["C-flat"]));
    expect(on("A", MAJOR["C-flat"])).toBe(on("A", MAJOR.B));
  });
});

describe("E. Tavan, Méthode pratique d'orchestration symphonique, p. 22", () => {
  it.each<[Major, "B-flat" | "A"]>([
    ["D", "A"],
    ["E", "A"],
    ["G", "A"],
    ["A", "A"],
    ["B", "A"],
    ["E-flat", "B-flat"],
    ["F", "B-flat"],
    ["A-flat", "B-flat"],
    ["B-flat", "B-flat"],
  ])("concert %s is easier on the %s clarinet", (key, chosen) => {
    const other = chosen === "A" ? "B-flat" : "A";
    expect(on(chosen, MAJOR[key])).toBeLessThan(0.97 * on(other, MAJOR[key]));
  });

  it("the three keys left to the writer are no further apart than any that he decides", () => {
    // C: D on the B-flat, E-flat on the A. F-sharp: A-flat or A. C-sharp or D-flat: E-flat or E.
    const ratio = (key: Major) => {
      const [bFlat, a] = [on("B-flat", MAJOR[key]), on("A", MAJOR[key])];
      return Math.max(bFlat, a) / Math.min(bFlat, a);
    };
    const open = (["C", "F-sharp", "D-flat"] as const).map(ratio);
    const decided = (["D", "E", "G", "A", "B", "E-flat", "F", "A-flat", "B-flat"] as const).map(
      ratio,
    );
    expect(Math.max(...open)).toBeLessThan(Math.min(...decided));
  });
});

// The exchange joints of five-key clarinets, Universität Leipzig, organology pages: the keys one
// could play, not a comparison. They are always read as C, F and G major and A minor.
describe("five-key clarinets, Universität Leipzig", () => {
  it.each<[Joint, readonly Major[]]>([
    ["C", ["C", "F", "G"]],
    ["B-flat", ["B-flat", "E-flat", "F"]],
    ["A", ["A", "D", "E"]],
    ["B natural", ["B", "E", "F-sharp"]],
  ])("the %s joint has the three easiest major keys for %j", (joint, keys) => {
    const others = [-5, -4, -3, -2, 2, 3, 4, 5, 6].map((fifths) => combined(fifths, "major"));
    for (const key of keys) {
      expect(on(joint, MAJOR[key])).toBeLessThan(Math.min(...others));
    }
  });

  it.each<[Major, "B-flat" | "A"]>([
    ["B-flat", "B-flat"],
    ["E-flat", "B-flat"],
    ["F", "B-flat"],
    ["A", "A"],
    ["D", "A"],
    ["E", "A"],
  ])("of the two joints of today concert %s goes to the %s", (key, chosen) => {
    const other = chosen === "A" ? "B-flat" : "A";
    expect(on(chosen, MAJOR[key])).toBeLessThan(0.97 * on(other, MAJOR[key]));
  });

  it.each<[minor: string, signature: number, "B-flat" | "A"]>([
    ["G", -2, "B-flat"],
    ["F-sharp", 3, "A"],
  ])("and concert %s minor too", (_, signature, chosen) => {
    const other = chosen === "A" ? "B-flat" : "A";
    const [here, there] = [chosen, other] as const;
    expect(on(here, signature, "harmonic minor")).toBeLessThan(
      0.97 * on(there, signature, "harmonic minor"),
    );
  });

  it("A minor on the C joint and G-sharp minor on that in B natural are read as A minor", () => {
    expect(on("C", 0, "harmonic minor")).toBe(combined(0, "harmonic minor"));
    expect(on("B natural", 5, "harmonic minor")).toBe(combined(0, "harmonic minor"));
    // Easier than C minor, which the A clarinet has for A minor; on a Boehm clarinet the B minor of the
    // B-flat clarinet is about as easy, which five keys could not have played.
    const onC = on("C", 0, "harmonic minor");
    expect(onC).toBeLessThan(0.97 * on("A", 0, "harmonic minor"));
    expect(on("B-flat", 0, "harmonic minor") / onC).toBeCloseTo(1, 1);
  });
});
