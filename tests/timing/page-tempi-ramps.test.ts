import { describe, expect, it } from "vitest";
import { fraction, ZERO } from "../../src/theory/fraction.js";
import {
  bar,
  dashes,
  direction,
  expectRange,
  factorsOf,
  sheetLine,
  silentBars,
  tempiOf,
} from "./marks.js";
import { playback } from "./times.js";

// Every range is quarters a minute: slow, likely, fast.
const QUARTER_120 = [112.8, 120, 127.2];
const QUARTER_60 = [56.4, 60, 63.6];
const [rit, accel] = [factorsOf("rit."), factorsOf("accel.")];

describe("a gradual change", () => {
  it.each([
    ["accel.", "q=60", "q=120", QUARTER_60, QUARTER_120],
    ["rit.", "q=120", "q=60", QUARTER_120, QUARTER_60],
    ["stringendo", "q=60", "q=112-128", QUARTER_60, [112, 120, 128]],
  ])("leads from range to range: %s", (words, first, goal, from, to) => {
    const { map } = tempiOf([bar("4/4", direction(first, words), 4), bar("4/4", goal, 4)]);
    expectRange(map.stretches[0]?.from, from);
    expectRange(map.stretches[0]?.to, to);
    expect(map.stretches[0]).toMatchObject({ source: "metronome", text: words });
    expect(map.stretches[0]).not.toHaveProperty("bend");
  });

  it.each([
    // From 120 by the documented factors; the slow end by the one that is slowest
    ["rit.", [112.8 * rit.slow, 120 * rit.likely, 127.2 * rit.fast]],
    ["accel.", [112.8 * accel.slow, 120 * accel.likely, 127.2 * accel.fast]],
  ])("without a goal goes by the factors, and its effect is assumed: %s", (words, to) => {
    const { map } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", words, 4),
      bar("4/4", "a tempo", 4),
    ]);
    expectRange(map.stretches[1]?.from, QUARTER_120);
    expectRange(map.stretches[1]?.to, to);
    expect(map.stretches[1]).toMatchObject({ source: "words", text: words, bend: "gradual" });
    expectRange(map.stretches[2]?.from, QUARTER_120);
  });

  it("from an assumed tempo is assumed", () => {
    const { map } = tempiOf([bar("4/4", "rit.", 4), bar("4/4", "q=120", 4)]);
    expectRange(map.stretches[0]?.from, [60, 100, 144]);
    expect(map.stretches[0]).toMatchObject({ source: "assumed", bend: "gradual" });
  });

  it("that is over leaves open whether the old tempo is back", () => {
    const { map } = tempiOf([bar("4/4", direction("q=120", "rit."), 4), ...silentBars(9)]);
    const [, after] = map.stretches;
    expect(after?.startQuarters.valueOf()).toBe(32);
    expectRange(after?.from, [112.8 * rit.slow, (120 + 120 * rit.likely) / 2, 127.2]);
    expect(after).toMatchObject({ source: "words", text: "after rit.", bend: "gradual" });
  });

  it("goes on from where another one has come to", () => {
    const { map } = tempiOf([
      bar("4/4", direction("q=120", "rit."), 4),
      bar("4/4", "accel.", 4),
      bar("4/4", "q=144", 4),
    ]);
    expect(map.stretches[1]?.from).toEqual(map.stretches[0]?.to);
    expect(map.stretches[1]?.to.likely).toBe(144);
  });

  it("is not begun anew by the same word over another part, some beats later", () => {
    const once = tempiOf([bar("4/4", "q=120", 4), bar("4/4", "rit.", 4)]);
    const twice = tempiOf([bar("4/4", "q=120", 4), bar("4/4", "rit.", 2, "rit.", 2)]);
    expect(twice.map.stretches).toEqual(once.map.stretches);
  });

  it("ends with its own line of dashes, not with another", () => {
    const other = direction(dashes("stop").replace(`number="1"`, `number="2"`));
    const { map } = tempiOf([
      bar("4/4", direction("q=120", "rit.", dashes("start")), 4),
      bar("4/4", other, 4),
      bar("4/4", direction(dashes("stop")), 4),
      bar("4/4", other, 4),
      ...silentBars(2),
    ]);
    expect(map.stretches.map(({ endQuarters }) => endQuarters.valueOf())).toEqual([8, 24]);
  });

  it("has no goal far beyond its dashes", () => {
    const { map } = tempiOf([
      bar("4/4", direction("q=120", "rit.", dashes("start")), 4),
      bar("4/4", direction(dashes("stop")), 4),
      ...silentBars(8),
      bar("4/4", "q=60", 4),
    ]);
    expect(map.stretches[0]).toMatchObject({ text: "rit.", bend: "gradual" });
    expect(map.stretches[0]?.endQuarters.valueOf()).toBe(4);
  });

  it("has no goal where its own words lead back", () => {
    const { map } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", "poco rit. - a tempo", 4),
      ...silentBars(2),
      bar("4/4", "q=60", 4),
    ]);
    expect(map.tempoAt(fraction(8)).likely).toBe(120);
    expect(map.tempoAt(fraction(12)).likely).toBe(120);
  });

  it.each([
    ["rit.", "q=144"],
    ["accel.", "q=90"],
  ])("has no goal in a tempo that lies the wrong way: %s, %s", (words, next) => {
    const { map } = tempiOf([bar("4/4", direction("q=120", words), 4), bar("4/4", next, 4)]);
    expect(map.stretches[0]?.bend).toBe("gradual");
    expect(map.stretches[0]?.to.likely).not.toBe(map.stretches[1]?.from.likely);
  });

  it.each([
    ["molto rit.", 37.6, 100],
    ["molto accel.", 100, 212],
  ])("a row of %s does not go on for ever, nor do its ends cross", (words, least, most) => {
    const many = Array.from({ length: 12 }, () => bar("4/4", words, 4));
    for (const { to } of tempiOf([bar("4/4", "q=100", 4), ...many]).map.stretches) {
      expect(to.slow).toBeLessThanOrEqual(to.likely);
      expect(to.likely).toBeLessThanOrEqual(to.fast);
      expect(to.likely).toBeGreaterThanOrEqual(least);
      expect(to.likely).toBeLessThanOrEqual(most);
    }
  });
});

describe("playback numbers inside a gradual change", () => {
  const plain = tempiOf([bar("4/4", "q=120", 4), bar("4/4", "rit.", 4), bar("4/4", "a tempo", 4)]);
  const secondsWith = (inside: readonly (number | string)[], last = "a tempo") =>
    tempiOf([bar("4/4", "q=120", 4), bar("4/4", ...inside), bar("4/4", last, 4)]).seconds;

  it.each([
    ["a row of slower ones", ["rit.", 1, playback(110), 1, playback(95), 1, playback(80), 1]],
    ["one beside the words", [direction("rit.", playback(100)), 4]],
    ["the old one beside the words", [direction("rit.", playback(120)), 4]],
  ])("that imitate it are ignored: %s", (_, inside) => {
    expect(secondsWith(inside)).toEqual(plain.seconds);
  });

  it("end it where they give the old tempo again", () => {
    expect(secondsWith(["rit.", 2, playback(90), 2], playback(120))).toEqual(plain.seconds);
  });

  it("count where they go the other way", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", playback(150), 4),
    ]);
    expectRange(inBars[2]?.from, [75, 108, 166.5]);
    expect(inBars[2]?.source).toBe("sound");
  });

  it("count once it is over", () => {
    const { inBars } = tempiOf([
      bar("4/4", direction("q=120", "rit."), 4),
      ...silentBars(19),
      bar("4/4", playback(80), 4),
    ]);
    expectRange(inBars[20]?.from, [40, 57.6, 88.8]);
    expect(inBars[20]?.source).toBe("sound");
  });

  it("give way to a line of the sheet at the place of one of them", () => {
    const bars = [
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", playback(100), 4),
      bar("4/4", 4),
    ];
    const { inBars } = tempiOf(bars, { tempoSheet: [sheetLine("3", 60)] });
    expectRange(inBars[3]?.from, [60, 60, 60]);
    expect(inBars[3]?.source).toBe("sheet");
  });
});

describe("the times through a bar", () => {
  it("share the tempi of the page but for the lines of the sheet with a pass", () => {
    const { tempi } = tempiOf(silentBars(2), { tempoSheet: [sheetLine("1", 80, 2)] });
    expect(tempi.ofPass(1)).toMatchObject([{ startWritten: ZERO, source: "assumed" }]);
    expect(tempi.ofPass(2)).toMatchObject([{ startWritten: ZERO, source: "sheet" }]);
    expect(tempi.ofPass(3)).toBe(tempi.ofPass(1));
  });

  it.each([
    ["before", [sheetLine("1", 80, 2), sheetLine("1", 60)]],
    ["after", [sheetLine("1", 60), sheetLine("1", 80, 2)]],
  ])("a line with a pass holds against one without, %s it", (_, tempoSheet) => {
    const { tempi } = tempiOf(silentBars(2), { tempoSheet });
    expect(tempi.ofPass(1).map(({ from }) => from.likely)).toEqual([60]);
    expect(tempi.ofPass(2).map(({ from }) => from.likely)).toEqual([80]);
  });
});
