import { describe, expect, it } from "vitest";
import type { Bar } from "../../src/model/score.js";
import { fraction } from "../../src/theory/fraction.js";
import {
  beatAt,
  groupByBar,
  offsetInBar,
  offsetOfBeat,
  placeFinder,
} from "../../src/timing/places.js";
import { scoreXml, timelineOf, type BarXml } from "../support/score-xml.js";
import { bar, refusal, SENZA_MISURA } from "./marks.js";

const barsOf = (...bars: readonly BarXml[]): readonly Bar[] =>
  timelineOf(scoreXml([{ bars }])).bars;
/** A bar of a meter after a full one, so that it is no pick-up. */
const barOf = (meter: string, quarters: number): Bar =>
  barsOf(bar("4/4", 4), bar(meter, quarters))[1]!;

// Beats are those the player counts: dotted quarters in 6/8, halves in 2/2, eighths in 5/8.
const BEATS: readonly (readonly [string, number, number, string])[] = [
  ["4/4", 4, 1, "0"],
  ["4/4", 4, 3, "2"],
  ["4/4", 4, 2.5, "3/2"],
  // The end of the bar
  ["4/4", 4, 5, "4"],
  ["6/8", 3, 2, "3/2"],
  ["6/8", 3, 1.5, "3/4"],
  // A third of a dotted quarter is an eighth
  ["6/8", 3, 1.3333, "1/2"],
  ["6/8", 3, 2.6667, "5/2"],
  ["12/8", 6, 4, "9/2"],
  ["2/2", 4, 2, "2"],
  ["2/2", 4, 1.25, "1/2"],
  ["3/2", 6, 3.5, "5"],
  ["5/8", 2.5, 4, "3/2"],
  ["3+2/8", 2.5, 4, "3/2"],
  ["3/4", 3, 1.3333, "1/3"],
  ["3/4", 3, 2.1667, "7/6"],
  ["3/4", 3, 1.1429, "1/7"],
  // No rounded fraction, so what it says
  ["3/4", 3, 1.33, "33/100"],
];

describe("beats", () => {
  it.each(BEATS)("%s: in %d quarters beat %d", (meter, quarters, beat, offset) => {
    const found = barOf(meter, quarters);
    expect(offsetOfBeat(found, beat).toFraction()).toBe(offset);
    expect(offsetInBar(found, beat)?.toFraction()).toBe(offset);
    expect(beatAt(found, fraction(offset)).valueOf()).toBeCloseTo(beat, 4);
  });

  it("takes decimals of four places for the fraction they are rounded from", () => {
    const found = barOf("2/4", 2);
    for (const denominator of [2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 20, 24, 28, 32, 40, 48]) {
      for (let numerator = 1; numerator < denominator; numerator++) {
        const exact = fraction(numerator, denominator);
        const beat = Number((1 + numerator / denominator).toFixed(4));
        const offset = offsetOfBeat(found, beat).toFraction();
        expect(offset, `${numerator}/${denominator}`).toBe(exact.toFraction());
      }
    }
  });

  it.each([
    ["before the bar", 0.5],
    ["after the bar", 5.01],
  ])("knows that a beat is %s", (_, beat) => {
    expect(offsetInBar(barOf("4/4", 4), beat)).toBeUndefined();
  });

  it("counts quarters where there is no meter", () => {
    const [, free] = barsOf(
      bar("6/8", 3),
      SENZA_MISURA + bar("4/4", 5).replace(/<time>.*<\/time>/, ""),
    );
    expect(offsetOfBeat(free!, 5.5).toFraction()).toBe("9/2");
  });
});

describe("a pick-up", () => {
  it.each([
    // A quarter of 4/4 is beat 4
    ["4/4", 1, 4, "0"],
    ["4/4", 1, 4.5, "1/2"],
    ["4/4", 1.5, 3.5, "0"],
    // An eighth of 6/8 is the last third of beat 2
    ["6/8", 0.5, 2.6667, "0"],
    ["2/2", 1, 2.5, "0"],
  ])("in %s of %d quarters: beat %d", (meter, quarters, beat, offset) => {
    const [pickUp] = barsOf(bar(meter, quarters), bar(meter, 4));
    expect(offsetOfBeat(pickUp!, beat).toFraction()).toBe(offset);
    expect(beatAt(pickUp!, fraction(offset)).valueOf()).toBeCloseTo(beat, 4);
  });

  it("begins on beat 1 too, but has no beat 2", () => {
    const [pickUp] = barsOf(bar("4/4", 1), bar("4/4", 4));
    expect(offsetInBar(pickUp!, 1)?.toFraction()).toBe("0");
    expect(offsetInBar(pickUp!, 2)).toBeUndefined();
  });

  it("is only the first bar: later short ones are counted from their beginning", () => {
    const [, , short] = barsOf(bar("4/4", 4), bar("4/4", 3), bar("4/4", 1));
    expect(beatAt(short!, fraction(0)).valueOf()).toBe(1);
    expect(offsetOfBeat(short!, 1.5).toFraction()).toBe("1/2");
  });
});

describe("a named place", () => {
  const named = (number: string, quarters = 4) => ({
    attributes: `number="${number}"`,
    content: bar("4/4", quarters),
  });
  /** A place found, as bar index and offset: "2 3/2". */
  function found(bars: readonly BarXml[], barLabel: string, beat: number): string {
    const { barIndex, offset } = placeFinder(barsOf(...bars), "the sheet")({ barLabel, beat });
    return `${barIndex} ${offset.toFraction()}`;
  }

  it("is found by the printed number and the beat", () => {
    expect(found([named("0"), named("1"), named("1a")], "1a", 2.5)).toBe("2 3/2");
  });

  it("is in the first of several bars of one number", () => {
    expect(found([named("1"), named("2"), named("1")], "1", 2)).toBe("0 1");
  });

  it("is in a later one where the first has no such beat", () => {
    expect(found([named("1", 1), named("2"), named("1")], "1", 3)).toBe("2 2");
  });

  it("goes on counting in the second half of a divided bar", () => {
    const bars = [named("1"), named("2", 3), named("2", 1), named("3")];
    expect(found(bars, "2", 3)).toBe("1 2");
    expect(found(bars, "2", 4.5)).toBe("2 1/2");
  });

  it("must be in a bar that is there", () => {
    const error = refusal(() => found([named("1"), named("2")], "9", 1));
    expect(error.code).toBe("no-matching-bar");
    expect(error.message).toMatch(/^the sheet names bar 9, which is not there.* 1–2$/);
  });

  it.each([[0], [0.99], [5.5], [100]])("must be on a beat that is there: %d", (beat) => {
    const error = refusal(() => found([named("7"), named("8")], "7", beat));
    expect(error).toMatchObject({ code: "no-matching-bar", bar: "7" });
    expect(error.message).toContain(`the sheet names beat ${beat}, which is not there`);
  });
});

describe("signs by bar", () => {
  it("stand in the order of the bar, whatever the order they came in", () => {
    const sign = (barIndex: number, offset: number, name: string) => ({
      at: { barIndex, offset: fraction(offset) },
      name,
    });
    const grouped = groupByBar([sign(3, 2, "c"), sign(1, 0, "a"), sign(3, 0, "b")]);
    const names = (barIndex: number) => grouped.get(barIndex)?.map(({ name }) => name);
    expect([...grouped.keys()].sort()).toEqual([1, 3]);
    expect(names(3)).toEqual(["b", "c"]);
    expect(names(1)).toEqual(["a"]);
    expect(names(2)).toBeUndefined();
  });
});
