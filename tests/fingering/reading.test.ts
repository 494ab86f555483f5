import { describe, expect, it } from "vitest";
import { readingStrain, type ReadNote } from "../../src/fingering/reading.js";
import { strainOf, WEIGHTS } from "../../src/fingering/weights.js";
import { parsePitch } from "../../src/theory/pitch.js";

function page(text: string, bar: (k: number) => number = () => 0): readonly ReadNote[] {
  return text
    .split(" ")
    .map((name, k) => ({ pitch: parsePitch(name), seconds: 1 / 8, bar: bar(k), tied: false }));
}

describe("readingStrain", () => {
  it("is nothing in C without accidentals", () => {
    expect(readingStrain(page("C4 D4 E4 F4"), 0)).toEqual({
      signature: 0,
      accidentals: 0,
      load: 0,
      score: 0,
    });
    expect(readingStrain([], 6).score).toBe(0);
  });

  it("takes the signature on every note, as much for flats as for sharps", () => {
    const notes = page("C4 D4 E4 F4");
    const three = readingStrain(page("Bb4 Eb5 Ab4 F4"), -3);
    expect(three.accidentals).toBe(0);
    expect(three.load).toBeCloseTo(strainOf(3 * WEIGHTS.signature, 1 / 8) * 4, 12);
    expect(readingStrain(notes, null).load).toBe(0);
  });

  it.each([
    // Each holds for its line or space to the end of the bar.
    ["F#4 G4 F#4", 1],
    ["F#4 F4 F#4", 3],
    ["F#4 F#5", 2],
    ["G4 A4", 0],
  ])("finds in %s %i accidentals", (text, count) => {
    expect(readingStrain(page(text), 0).accidentals).toBe(count);
  });

  it("starts anew in the next bar, but not under a tie", () => {
    const inBars = page("F#4 F#4", (k) => k);
    expect(readingStrain(inBars, 0).accidentals).toBe(2);
    const tied = inBars.map((note, k) => ({ ...note, tied: k > 0 }));
    expect(readingStrain(tied, 0).accidentals).toBe(1);
  });

  it("grows with the speed like the fingers do", () => {
    const slow = page("F#4 G4 F#4").map((note) => ({ ...note, seconds: 1 / 4 }));
    expect(readingStrain(page("F#4 G4 F#4"), 0).load).toBeCloseTo(
      4 * readingStrain(slow, 0).load,
      12,
    );
  });
});
