import { describe, expect, it } from "vitest";
import {
  bar,
  direction,
  expectRange,
  factorOf,
  refusal,
  SENZA_MISURA,
  sheetLine,
  silentBars,
  tempiOf,
} from "./marks.js";
import { playback } from "./times.js";

// Every range is quarters a minute: slow, likely, fast.
const QUARTER_120 = [112.8, 120, 127.2];
const played = (number: number) => [0.5 * number, 0.72 * number, 1.11 * number];
/** Without a steady tempo: the documented shares of tempo-range.ts. */
const free = ([slow = NaN, likely = NaN, fast = NaN]: readonly number[]) => [
  0.6 * slow,
  0.9 * likely,
  1.15 * fast,
];

describe("Tempo I", () => {
  it.each([
    ["a printed number", "q=ca. 100", [90, 100, 110], "metronome"],
    ["a printed range", "q=96-104", [96, 100, 104], "metronome"],
    ["a playback number", playback(100), [50, 72, 111], "sound"],
  ])("has range and source of the first bar: %s", (_, first, range, source) => {
    const { inBars } = tempiOf([
      bar("4/4", first, 4),
      bar("4/4", "q=140", 4),
      bar("4/4", playback(60), 4),
      bar("4/4", "Tempo I", 4),
    ]);
    expectRange(inBars[3]?.from, range);
    expect(inBars[3]).toMatchObject({ source, text: "Tempo I, as at bar 1" });
  });

  it("is not the tempo of the word printed after it to name it", () => {
    const { inBars } = tempiOf([
      bar("4/4", direction("Allegro", "q=100"), 4),
      bar("4/4", direction("Adagio", "q=50"), 4),
      bar("4/4", "Tempo I (Allegro moderato)", 4),
    ]);
    expectRange(inBars[2]?.from, [94, 100, 106]);
    expect(inBars[2]?.source).toBe("metronome");
  });

  it("is the first tempo there is, in whatever bar", () => {
    const { inBars } = tempiOf([
      bar("4/4", 4),
      bar("4/4", "q=120", 4),
      bar("4/4", "q=80", 4),
      bar("4/4", "Tempo primo", 4),
    ]);
    expectRange(inBars[3]?.from, QUARTER_120);
    expect(inBars[3]?.text).toBe("Tempo primo, as at bar 2");
  });
});

describe("a tempo", () => {
  it("is the last steady tempo", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=60", 4),
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", "a tempo", 4),
    ]);
    expectRange(inBars[3]?.from, QUARTER_120);
    expect(inBars[3]).toMatchObject({ source: "metronome", text: "a tempo, as at bar 2" });
    expect(inBars[3]).not.toHaveProperty("bend");
  });

  it.each([
    // The file plays 61: the tempo of bar 1
    [61, [56.4, 60, 63.6], 1],
    // It plays something else: the last steady one
    [100, QUARTER_120, 2],
  ])("with a playback number of %d", (number, range, barNumber) => {
    const { inBars } = tempiOf([
      bar("4/4", "q=60", 4),
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", direction("a tempo", playback(number)), 4),
    ]);
    expectRange(inBars[3]?.from, range);
    expect(inBars[3]).toMatchObject({
      source: "metronome",
      text: `a tempo, as at bar ${barNumber}`,
    });
  });

  it("ma più mosso is a return and a step from there", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", "a tempo, ma più mosso", 4),
    ]);
    expect(inBars[2]?.from.likely).toBeCloseTo(120 * factorOf("più mosso"), 9);
  });

  it.each([
    ["riten."],
    ["poco ritenuto"],
    ["Etwas zurückgehalten"],
    ["Un peu retenu"],
    ["held back"],
  ])("goes back to what was before words that hold for a while: %s", (words) => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", words, 4),
      bar("4/4", "a tempo", 4),
    ]);
    expect(inBars[1]?.from.likely).not.toBeCloseTo(120, 0);
    expectRange(inBars[2]?.from, QUARTER_120);
  });

  it("is meant where the file plays the old number after a ritenuto", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", "riten.", 4),
      bar("4/4", playback(120), 4),
    ]);
    expectRange(inBars[2]?.from, QUARTER_120);
    expect(inBars[2]?.source).toBe("metronome");
  });

  it("goes back to what was before a rubato", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", "rubato", 4),
      bar("4/4", "a tempo", 4),
    ]);
    expectRange(inBars[2]?.from, QUARTER_120);
    expect(inBars[2]).not.toHaveProperty("bend");
  });
});

describe("the same beat", () => {
  it.each([
    // Each end of 120 by 3/2
    ["an equation", "q=q."],
    ["words", "L'istesso tempo"],
  ])("keeps the source and moves the range: %s", (_, sign) => {
    const { inBars } = tempiOf([bar("2/4", "q=120", 2), bar("6/8", sign, 3)]);
    expectRange(inBars[1]?.from, [169.2, 180, 190.8]);
    expect(inBars[1]?.source).toBe("metronome");
  });

  it("of a playback number is as loose as the number", () => {
    const { inBars } = tempiOf([bar("2/4", playback(80), 2), bar("6/8", "q=q.", 3)]);
    expectRange(inBars[1]?.from, played(120));
    expect(inBars[1]?.source).toBe("sound");
  });

  it("is no relation before there is a tempo; the file's number is taken then", () => {
    const { inBars } = tempiOf([bar("6/8", direction("q=q.", playback(90)), 3)]);
    expectRange(inBars[0]?.from, played(90));
  });

  it("in mid-bar has the beat of the bar itself before it", () => {
    const { map } = tempiOf([bar("2/4", "q=60", 2), bar("6/8", 1.5, "L'istesso tempo", 1.5)]);
    expectRange(map.stretches.at(-1)?.to, [56.4, 60, 63.6]);
  });
});

describe("without a steady tempo", () => {
  it.each([
    ["rubato"],
    ["ad libitum"],
    ["Cadenza"],
    ["senza misura"],
    // Said twice, and no freer for it
    ["Cadenza, ad libitum"],
  ])("%s", (words) => {
    const { inBars } = tempiOf([bar("4/4", "q=120", 4), bar("4/4", words, 4)]);
    expectRange(inBars[1]?.from, free(QUARTER_120));
    expect(inBars[1]).toMatchObject({ source: "metronome", text: words, bend: "free" });
  });

  it("a playback number is as loose as it can be already", () => {
    const { inBars } = tempiOf([bar("4/4", playback(100), 4), bar("4/4", "rubato", 4)]);
    expectRange(inBars[1]?.from, played(100));
    expect(inBars[1]?.bend).toBe("free");
  });

  it("as long as the bars have no meter", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      SENZA_MISURA + bar("4/4", 8).replace(/<time>.*<\/time>/, ""),
      bar("4/4", 4),
    ]);
    expectRange(inBars[1]?.from, free(QUARTER_120));
    expect(inBars[1]).toMatchObject({
      source: "metronome",
      text: "quarter = 120; senza misura",
      bend: "free",
    });
    expectRange(inBars[2]?.from, QUARTER_120);
    expect(inBars[2]).not.toHaveProperty("bend");
  });

  it("not twice where words stand over a bar without meter", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      SENZA_MISURA + bar("4/4", "Cadenza", 8).replace(/<time>.*<\/time>/, ""),
    ]);
    expectRange(inBars[1]?.from, free(QUARTER_120));
  });
});

describe("a longer beat without a word", () => {
  const longer = (first: string, ...more: readonly string[]) =>
    tempiOf([bar("3/4", first, 3), bar("3/2", 6), bar("3/4", 3), ...more]).inBars;

  it("slows a playback number by 0.9 while it lasts", () => {
    const inBars = longer(playback(100));
    expectRange(inBars[1]?.from, played(90));
    expect(inBars[1]?.text).toBe("playback: quarter = 100; the beats are longer from here");
    expectRange(inBars[2]?.from, played(100));
  });

  it("slows a tempo word by 0.9", () => {
    const inBars = longer("Allegro");
    expect(inBars[1]!.from.likely / inBars[0]!.from.likely).toBeCloseTo(0.9, 9);
    expect(inBars[2]?.from).toEqual(inBars[0]?.from);
  });

  it.each([["q=100"], ["h.=40"]])("leaves a printed number: %s", (mark) => {
    const inBars = longer(mark);
    expect(inBars[1]).toBe(inBars[0]);
  });

  it("leaves a line of the sheet", () => {
    const bars = [bar("3/4", playback(100), 3), bar("3/2", 6)];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("1", 90)] });
    expectRange(inBars[1]?.from, [90, 90, 90]);
  });

  it("is no matter where a number is given for it", () => {
    const { inBars } = tempiOf([bar("3/4", playback(100), 3), bar("3/2", playback(130), 6)]);
    expectRange(inBars[1]?.from, played(130));
  });

  it.each([
    ["4/4", "6/8"],
    ["3/4", "12/8"],
    ["6/8", "4/4"],
  ])("is not the step from %s to %s", (before, after) => {
    const { map } = tempiOf([bar(before, playback(100), 3), bar(after, 3)]);
    expect(map.stretches).toHaveLength(1);
  });
});

describe("a line of the sheet", () => {
  it("keeps its range and its text", () => {
    const line = {
      barLabel: "2",
      beat: 1,
      quartersPerMinute: { slow: 132, likely: 136, fast: 140 },
      text: "half = 66-70",
    };
    const { inBars } = tempiOf([bar("4/4", "q=100", 4), bar("4/4", "q=90", 4), bar("4/4", 4)], {
      tempoSheet: [line],
    });
    expectRange(inBars[2]?.from, [132, 136, 140]);
    expect(inBars[1]).toMatchObject({ source: "sheet", text: "half = 66-70" });
  });

  it("is changed by later playback numbers in the proportion of the file", () => {
    // 80 instead of 100; the file then plays 120, which is 1.2 times as much.
    const bars = [bar("4/4", playback(100), 4), bar("4/4", 4), bar("4/4", playback(120), 4)];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("2", 80)] });
    expectRange(inBars[0]?.from, played(100));
    expectRange(inBars[1]?.from, [80, 80, 80]);
    expectRange(inBars[2]?.from, [96, 96, 96]);
    expect(inBars[2]?.source).toBe("sound");
  });

  it("is not changed by one that repeats what the file played before", () => {
    const bars = [bar("4/4", playback(100), 4), bar("4/4", playback(100), 4)];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("1", 80)] });
    expect(inBars[1]).toMatchObject({ source: "sheet", from: { likely: 80 } });
  });

  it("gives way to the next printed number", () => {
    const bars = [bar("4/4", "q=100", 4), bar("4/4", "q=120", 4)];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("1", 80)] });
    expectRange(inBars[1]?.from, QUARTER_120);
  });

  it.each([
    ["3", "the tempo sheet names bar 3, which is not there"],
    ["2:6", "the tempo sheet names beat 6, which is not there"],
  ])("must stand at a place that is there: %s", (place, message) => {
    const error = refusal(() => tempiOf(silentBars(2), { tempoSheet: [sheetLine(place, 80)] }));
    expect(error.code).toBe("no-matching-bar");
    expect(error.message).toContain(message);
  });

  it("is followed through several playback numbers", () => {
    const bars = [
      bar("4/4", playback(100), 4),
      bar("4/4", playback(120), 4),
      bar("4/4", playback(100), 4),
    ];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("1", 80)] });
    expectRange(inBars[1]?.from, [96, 96, 96]);
    expectRange(inBars[2]?.from, [80, 80, 80]);
  });

  it.each([
    // 50 instead of 100; the file then plays 1.2 times as much
    [120, 60],
    // It says the same as before, or the contrary of the word: the word holds
    [100, 50 * factorOf("Più mosso")],
    [80, 50 * factorOf("Più mosso")],
  ])("is the measure of a step with a playback number of %d", (number, likely) => {
    const bars = [
      bar("4/4", playback(100), 4),
      bar("4/4", direction("Più mosso", playback(number)), 4),
    ];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("1", 50)] });
    expect(inBars[1]?.from.likely).toBeCloseTo(likely, 9);
  });
});
