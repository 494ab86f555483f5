import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { centsBetween, restingCelsius } from "../../src/theory/temperature.js";
import { corpusRoot } from "../support/corpus-root.js";

/** Decimals to which 0.001 cent is the limit: `toBeCloseTo` allows half of the last one. */
const THOUSANDTH = 3;

const celsius = (fahrenheit: number) => (fahrenheit - 32) / 1.8;
const cents = (ratio: number) => 1200 * Math.log2(ratio);

describe("centsBetween", () => {
  // The worked examples of the reference list "pitch_temperature.md", for the formula of the web article
  // "Temperature and intonation in wind instruments" (the3rdhalf.com, n.d.).
  it.each([
    [20, 21, 2.948],
    [20, 25, 14.64],
    [20, 30, 29.036],
    [20, 10, -30.044],
    [27, 20, -20.427],
    [22, 20, -5.886],
    [18, 24, 17.657],
    [16, 27, 32.319],
  ])("from %d to %d °C: %d cents", (from, to, expected) => {
    expect(centsBetween(from, to)).toBeCloseTo(expected, THOUSANDTH);
    expect(centsBetween(to, from)).toBeCloseTo(-expected, THOUSANDTH);
  });

  // Published round values of the same article: "about 32 cents", "nearly 70 cents".
  it.each([
    [70, 90, 32],
    [30, 70, 68],
  ])("agrees with what is published for %d to %d °F", (from, to, expected) => {
    expect(Math.round(centsBetween(celsius(from), celsius(to)))).toBe(expected);
  });

  // "About 3 cents per °C": a web note of a tuba player on wind instruments (galvanizedjazz.com).
  it("is about three cents a degree in a hall", () => {
    expect(Math.round(centsBetween(19.5, 20.5))).toBe(3);
  });

  // Two forms of the speed of sound in air, m/s: that of ISO 9613-1:1993 (from memory), and 331.3·sqrt(T/273.15).
  it.each([
    ["343.2·sqrt(T/293.15)", (t: number) => 343.2 * Math.sqrt((t + 273.15) / 293.15)],
    ["331.3·sqrt(T/273.15)", (t: number) => 331.3 * Math.sqrt((t + 273.15) / 273.15)],
  ])("is what the speed of sound gives by %s", (_, speed) => {
    for (let t = -20; t <= 50; t += 5) {
      expect(centsBetween(20, t)).toBeCloseTo(cents(speed(t) / speed(20)), 9);
    }
  });

  it.each([-273.15, -400, NaN])("refuses %d °C", (impossible) => {
    expect(() => centsBetween(20, impossible)).toThrow(RangeError);
    expect(() => centsBetween(impossible, 20)).toThrow(RangeError);
  });
});

// The table of the reference list, for a bore of 27 °C in a hall of 20 °C. A model: nobody has published how a
// clarinet cools, so this checks the arithmetic only.
describe("an instrument that lies", () => {
  it.each([
    [300, 60, 25.731, -3.667],
    [300, 180, 23.842, -9.157],
    [300, 300, 22.575, -12.856],
    [300, 600, 20.947, -17.634],
    [600, 60, 26.334, -1.923],
    [600, 180, 25.186, -5.248],
    [600, 300, 24.246, -7.98],
    [600, 600, 22.575, -12.856],
  ])(
    "with a cooling of %d s has after %d s %d °C, %d cents",
    (coolingSeconds, restSeconds, warm, flat) => {
      const hall = { roomCelsius: 20, playingCelsius: 27 };
      const resting = restingCelsius({ ...hall, coolingSeconds, restSeconds });
      expect(resting).toBeCloseTo(warm, 3);
      expect(centsBetween(27, resting)).toBeCloseTo(flat, THOUSANDTH);
    },
  );

  it("is as warm as it was played at first, and as the hall in the end", () => {
    const given = { roomCelsius: 16, playingCelsius: 27, coolingSeconds: 300 };
    expect(restingCelsius({ ...given, restSeconds: 0 })).toBe(27);
    expect(restingCelsius({ ...given, restSeconds: 1e6 })).toBe(16);
  });
});

const table = join(corpusRoot(), "reference", "pitch_temperature.csv");

describe.skipIf(!existsSync(table))("against the reference list pitch_temperature.csv", () => {
  it("gives its cents, slopes and frequencies, and its speeds of sound their ratio", () => {
    const [, ...rows] = readFileSync(table, "utf8").trim().split("\n");
    expect(rows).toHaveLength(18);
    for (const row of rows) {
      const [t = NaN, iso = NaN, root = NaN, , , fromTwenty = NaN, slope = NaN, hertz = NaN] = row
        .split(",")
        .map(Number);
      const ours = centsBetween(20, t);
      expect(Math.abs(ours - fromTwenty)).toBeLessThanOrEqual(0.001);
      expect(centsBetween(t - 0.005, t + 0.005) / 0.01).toBeCloseTo(slope, 3);
      expect(440 * 2 ** (ours / 1200)).toBeCloseTo(hertz, 3);
      // Speeds to a millimetre a second: a hundredth of a cent.
      expect(ours).toBeCloseTo(cents(iso / 343.2), 2);
      expect(ours).toBeCloseTo(cents(root / 343.215), 1);
    }
  });
});
