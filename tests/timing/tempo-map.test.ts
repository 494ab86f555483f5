import { describe, expect, it } from "vitest";
import type { TempoSource } from "../../src/model/time.js";
import { fraction, ZERO } from "../../src/theory/fraction.js";
import { bar, direction, figuresOf, FORTH, offset, SENZA_MISURA } from "./marks.js";
import { BACK, performFirst, playback } from "./times.js";

/** Name, bars of the part, likely seconds of the whole, source least to be relied on. */
type Row = readonly [string, readonly string[], number, TempoSource];

// Sums worked by hand: seconds = quarters x 60 / quarters a minute. What a playback number that nobody
// prints stands for is likely 0.72 times as fast (tempo-range.ts): 90 is 64.8, 96 is 69.12, 120 is 86.4.
const SECONDS: readonly Row[] = [
  // 4 x 60/60
  ["4/4, quarters", [bar("4/4", "q=60", 4)], 4, "metronome"],
  // 6 x 60/90
  ["3/4, two bars", [bar("3/4", "q=90", 3), bar("3/4", 3)], 4, "metronome"],
  // 2 x 60/92.5 = 120/92.5
  ["2/4, decimals", [bar("2/4", "q=92.5", 2)], 120 / 92.5, "metronome"],
  // half = 66 is quarter = 132; 4 x 60/132 = 240/132
  ["2/2, halves", [bar("2/2", "h=66", 4)], 240 / 132, "metronome"],
  // dotted quarter = 40 is quarter = 60; 3 x 60/60
  ["6/8, dotted quarters", [bar("6/8", "q.=40", 3)], 3, "metronome"],
  // dotted quarter = 90 is quarter = 135; 4.5 x 60/135 = 270/135
  ["9/8, dotted quarters", [bar("9/8", "q.=90", 4.5)], 2, "metronome"],
  // dotted quarter = 80 is quarter = 120; 6 x 60/120
  ["12/8, dotted quarters", [bar("12/8", "q.=80", 6)], 3, "metronome"],
  // eighth = 150 is quarter = 75; 2.5 x 60/75 = 150/75
  ["5/8, eighths", [bar("5/8", "e=150", 2.5)], 2, "metronome"],
  // eighth = 210 is quarter = 105; 3.5 x 60/105 = 210/105
  ["7/8, eighths", [bar("7/8", "e=210", 3.5)], 2, "metronome"],
  // dotted half = 50 is quarter = 150; 3 x 60/150 = 180/150
  ["3/4, dotted halves", [bar("3/4", "h.=50", 3)], 1.2, "metronome"],
  // double-dotted quarter = 40 is 1.75 x 40 = quarter = 70; 3.5 x 60/70 = 210/70
  ["7/8, double-dotted quarters", [bar("7/8", "q..=40", 3.5)], 3, "metronome"],
  // whole = 30 is quarter = 120; 4 x 60/120
  ["4/4, wholes", [bar("4/4", "w=30", 4)], 2, "metronome"],
  // half tied to eighth = 24 is 2.5 x 24 = quarter = 60; 5 x 60/60
  ["5/4, tied beat unit", [bar("5/4", "h~e=24", 5)], 5, "metronome"],
  // 2 x 60/60 + 2 x 60/120 = 2 + 1
  ["mark in mid-bar", [bar("4/4", "q=60", 2, "q=120", 2)], 3, "metronome"],
  // 1.5 x 60/60 + 0.5 x 60/120 + 3 x 60/120 = 1.5 + 0.25 + 1.5
  [
    "mark off the beat, holding on",
    [bar("2/4", "q=60", 1.5, "q=120", 0.5), bar("3/4", 3)],
    3.25,
    "metronome",
  ],
  // 4 x 60/60 + 4 x 60/80 = 4 + 3
  ["mark at a bar", [bar("4/4", "q=60", 4), bar("4/4", "q=80", 4)], 7, "metronome"],
  // The equation makes 120 x 1.5 = 180 of it: 2 x 60/120 + 3 x 60/180 = 1 + 1
  [
    "old beat = new beat, with a playback number",
    [bar("2/4", "q=120", 2), bar("6/8", direction("q=q.", playback(170)), 3)],
    2,
    "metronome",
  ],
  // 112-120 is 116 in the middle; 4 x 60/116 = 240/116
  ["range", [bar("4/4", "q=112-120", 4)], 240 / 116, "metronome"],
  // 3 x 60/66 = 180/66
  ["ca.", [bar("3/4", "q=ca. 66", 3)], 180 / 66, "metronome"],
  // MusicXML 4.0, <sound tempo>: quarters a minute, whatever the beat; 3 x 60/64.8
  ["playback number only, 6/8", [bar("6/8", playback(90), 3)], 180 / 64.8, "sound"],
  // 4 x 60/69.12 = 240/69.12; within what the tables give for the word
  [
    "words with a playback number",
    [bar("4/4", direction("Andante", playback(96)), 4)],
    240 / 69.12,
    "sound",
  ],
  // Printed dotted quarter = 40 and playback 60 are the same; 3 x 60/60
  ["both numbers agree", [bar("6/8", direction("q.=40", playback(60)), 3)], 3, "metronome"],
  // The printed number is what the conductor reads: 4 x 60/120, not 4 x 60/80
  ["both numbers disagree", [bar("4/4", direction("q=120", playback(80)), 4)], 2, "metronome"],
  // From the third beat of bar 1: 2 x 60/60 + 2 x 60/120 + 4 x 60/120 = 2 + 1 + 2
  [
    "offset before the bar",
    [bar("4/4", "q=60", 4), bar("4/4", direction("q=120", offset(-2)), 4)],
    5,
    "metronome",
  ],
  // 4 x 60/60 + 1 x 60/60 + 3 x 60/120 = 4 + 1 + 1.5
  [
    "offset after the beat",
    [bar("4/4", "q=60", 4), bar("4/4", direction("q=120", offset(1)), 4)],
    6.5,
    "metronome",
  ],
  // From the third beat of bar 2: 4 x 60/60 + 2 x 60/60 + 2 x 60/120 = 4 + 2 + 1
  [
    "offset after the bar",
    [bar("4/4", "q=60", direction("q=120", offset(6)), 4), bar("4/4", 4)],
    7,
    "metronome",
  ],
  // Bar 2 begins at quarter = 80: 4 x 60/60 + 2 x 60/80 + 2 x 60/120 = 4 + 1.5 + 1
  [
    "offset after the bar, past another mark",
    [bar("4/4", "q=60", direction("q=120", offset(6)), 4), bar("4/4", "q=80", 4)],
    6.5,
    "metronome",
  ],
  // MusicXML 4.0, <offset sound>: playback is moved too: 2 x 60/60 + 6 x 60/86.4
  [
    "offset of words and playback number",
    [bar("4/4", "q=60", 4), bar("4/4", direction("a", offset(-2, "yes") + playback(120)), 4)],
    2 + 360 / 86.4,
    "sound",
  ],
  // MusicXML 4.0, <offset sound>: "no" if not given, playback stays: 4 x 60/60 + 4 x 60/86.4
  [
    "offset of the words only",
    [bar("4/4", "q=60", 4), bar("4/4", direction("a", offset(-2) + playback(120)), 4)],
    4 + 240 / 86.4,
    "sound",
  ],
  // MusicXML 4.0, <sound>: its offset overrides that of the direction; 4 + 1 + 3 x 60/86.4
  [
    "offset of the playback number",
    [
      bar("4/4", "q=60", 4),
      bar("4/4", direction("a", offset(-2, "yes") + playback(120, offset(1))), 4),
    ],
    5 + 180 / 86.4,
    "sound",
  ],
  // Twice (4 x 60/60 + 4 x 60/120) = 2 x (4 + 2)
  [
    "repeat back to an earlier tempo",
    [bar("4/4", "q=60", 4), bar("4/4", "q=120", 4, BACK)],
    12,
    "metronome",
  ],
  // Bar 2 is under quarter = 60 on the page both times: 4 + (4 + 2) + (4 + 2)
  [
    "repeat back to a bar without a mark",
    [bar("4/4", "q=60", 4), FORTH + bar("4/4", 4), bar("4/4", "q=120", 4, BACK)],
    16,
    "metronome",
  ],
  // 4 + 2, then 4 up to Fine
  [
    "da capo back to the first tempo",
    [bar("4/4", "q=60", 4, `<sound fine="yes"/>`), bar("4/4", "q=120", 4, `<sound dacapo="yes"/>`)],
    10,
    "metronome",
  ],
  // Assumed quarter = 100; 4 x 60/100
  ["no tempo", [bar("4/4", 4)], 2.4, "assumed"],
  ["a number that is no number", [bar("4/4", "q=fast", 4)], 2.4, "assumed"],
  ["a playback number of zero", [bar("4/4", playback(0), 4)], 2.4, "assumed"],
  // The table's quick figure is the fast end, of which the likely tempo is 0.72 / 1.11
  [
    "words only",
    [bar("4/4", "Allegro", 4)],
    240 / ((figuresOf("Allegro").high * 0.72) / 1.11),
    "words",
  ],
  // Assumed until the mark: 4 x 60/100 + 4 x 60/120 = 2.4 + 2
  ["first mark in bar 2", [bar("4/4", 4), bar("4/4", "q=120", 4)], 4.4, "assumed"],
];

describe("seconds", () => {
  it.each(SECONDS)("%s", (_, bars, likely, source) => {
    const { seconds, map, total } = performFirst([{ bars }]);
    expect(seconds.likely).toBeCloseTo(likely, 9);
    expect(map.sourceBetween(ZERO, total)).toBe(source);
  });

  // How far a conductor may be from a number: shares of tempo-range.ts (common practice, no source).
  it.each([
    // A printed range is taken as it stands: 4 x 60/120 and 4 x 60/112
    ["q=112-120", 2, 240 / 112],
    // 60 +- 6 %: 240/63.6 and 240/56.4
    ["q=60", 240 / 63.6, 240 / 56.4],
    // 66 +- 10 %: 240/72.6 and 240/59.4
    ["q=ca. 66", 240 / 72.6, 240 / 59.4],
    // dotted quarter = 50-54 is quarter = 75-81
    ["q.=50-54", 240 / 81, 240 / 75],
  ])("%s at its fastest and slowest", (text, short, long) => {
    const { seconds } = performFirst([{ bars: [bar("4/4", text, 4)] }]);
    expect(seconds.short).toBeCloseTo(short, 9);
    expect(seconds.long).toBeCloseTo(long, 9);
  });

  it("spans slow to quick where a tempo is assumed", () => {
    // 4 x 60/144, 4 x 60/100, 4 x 60/60
    const { seconds } = performFirst([{ bars: [bar("4/4", 4)] }]);
    expect(seconds).toEqual({ short: 240 / 144, likely: 2.4, long: 4 });
  });

  it("reads a mark of another part of the score", () => {
    // Part 2 prints it in bar 2: 2.4 assumed + 4 x 60/120
    const silent = { bars: [bar("4/4", 4), bar("4/4", 4)] };
    const marked = { bars: [bar("4/4", 4), bar("4/4", "q=120", 4)] };
    const { seconds, timeline } = performFirst([silent, marked]);
    expect(seconds.likely).toBeCloseTo(4.4, 9);
    expect(timeline.tempoSigns).toMatchObject([
      { partId: "P2", at: { barIndex: 1 }, printed: { quartersPerMinute: 120 } },
    ]);
  });

  it.each([
    ["in one direction", [{ bars: [bar("4/4", direction("q=120", playback(80)), 4)] }]],
    ["side by side", [{ bars: [bar("4/4", "q=120", playback(80), 4)] }]],
    ["in two parts", [{ bars: [bar("4/4", playback(80), 4)] }, { bars: [bar("4/4", "q=120", 4)] }]],
  ])("prefers the printed number and says so: %s", (_, parts) => {
    const { seconds, timeline } = performFirst(parts);
    expect(seconds.likely).toBeCloseTo(2, 9);
    expect(timeline.notices).toMatchObject([
      { kind: "tempo-contradiction", printed: "quarter = 120", playback: 80, barLabel: "1" },
    ]);
  });

  it("says which mark it cannot read", () => {
    const { timeline } = performFirst([{ bars: [bar("4/4", "q=fast", playback(0), 4)] }]);
    expect(timeline.notices).toMatchObject([
      { kind: "tempo-unreadable", text: "quarter fast" },
      { kind: "tempo-unreadable", text: 'tempo="0"' },
    ]);
  });

  it("takes a hidden mark for a playback number", () => {
    // 4 x 60/(0.72 x 60)
    const hidden = direction("q=60").replace("<metronome>", `<metronome print-object="no">`);
    const { seconds, timeline, map } = performFirst([{ bars: [bar("4/4", hidden, 4)] }]);
    expect(seconds.likely).toBeCloseTo(240 / 43.2, 9);
    expect(timeline.tempoSigns).toMatchObject([{ playback: 60 }]);
    expect(timeline.tempoSigns[0]).not.toHaveProperty("printed");
    expect(map.stretches).toMatchObject([{ source: "sound" }]);
  });
});

describe("between two moments", () => {
  // Bar 1 assumed, bar 2 at quarter = 60, bar 3 at a playback number of 120.
  const { map } = performFirst([
    { bars: [bar("4/4", 4), bar("4/4", "q=60", 4), bar("4/4", playback(120), 4)] },
  ]);

  it.each([
    // 2 x 60/100 + 2 x 60/60 = 1.2 + 2
    [2, 6, 3.2, "assumed"],
    [4, 8, 4, "metronome"],
    // 1 x 60/60 + 1 x 60/86.4
    [7, 9, 1 + 60 / 86.4, "sound"],
    // A tempo that begins with the end says nothing of what is before it
    [6, 8, 2, "metronome"],
    [5, 5, 0, "metronome"],
  ])("%d to %d quarters", (from, to, likely, source) => {
    expect(map.secondsBetween(fraction(from), fraction(to)).likely).toBeCloseTo(likely, 9);
    expect(map.sourceBetween(fraction(from), fraction(to))).toBe(source);
  });

  it("counts bars over one without a length", () => {
    // 4/4, an empty bar without meter, 4/4.
    const { performance, total } = performFirst([
      { bars: [bar("4/4", 4), SENZA_MISURA, bar("4/4", 4)] },
    ]);
    expect(total.valueOf()).toBe(8);
    expect(performance.barsBetween(ZERO, total)).toBe(2);
    expect(performance.beatsBetween(ZERO, total)).toBe(8);
  });

  it("finds the moment so many seconds on, at the fast tempo, and stops at the end", () => {
    // 60 + 6 % = 63.6: four quarters take 240/63.6; 1.11 x 120 = 133.2: one takes 60/133.2
    expect(map.quartersAfterSeconds(fraction(4), 240 / 63.6 + 60 / 133.2)).toBeCloseTo(9, 9);
    expect(map.quartersAfterSeconds(fraction(4), 1000)).toBe(12);
  });
});

describe("within a gradual change", () => {
  // Quarter = 60 to 120 over 8 quarters, so 90 after 4; then 120.
  const bars = [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", 4), bar("4/4", "q=120", 4)];
  const { map } = performFirst([{ bars }]);

  it.each([
    [0, 60],
    [2, 75],
    [4, 90],
    [6, 105],
    [8, 120],
    [12, 120],
  ])("at %d quarters the tempo is %d", (quarters, likely) => {
    expect(map.tempoAt(fraction(quarters)).likely).toBeCloseTo(likely, 9);
  });

  it("is one stretch from end to end, and the goal another", () => {
    expect(map.stretches).toMatchObject([
      { text: "accel.", from: { likely: 60 }, to: { likely: 120 } },
      { text: "quarter = 120", from: { likely: 120 }, to: { likely: 120 } },
    ]);
    expect(map.stretches[0]!.endQuarters.valueOf()).toBe(8);
  });

  it.each([
    // 60 x 2 x ln(75/60) / 15
    [0, 2, 8 * Math.log(1.25)],
    // 60 x 3 x ln(105/82.5) / 22.5, from 82.5 at 3 quarters
    [3, 6, 8 * Math.log(105 / 82.5)],
    // 60 x 2 x ln(120/105) / 15 + 1 x 60/120
    [6, 9, 8 * Math.log(120 / 105) + 0.5],
  ])("%d to %d quarters", (from, to, likely) => {
    expect(map.secondsBetween(fraction(from), fraction(to)).likely).toBeCloseTo(likely, 9);
  });

  it("finds the moment so many seconds on", () => {
    // At the fast tempo all is 1.06 times as quick: 4 quarters take 8 ln 1.5 / 1.06.
    expect(map.quartersAfterSeconds(ZERO, (8 * Math.log(1.5)) / 1.06)).toBeCloseTo(4, 9);
  });

  it("begins anew where a repeat goes back into it", () => {
    // Bars 1, 2, 1, 2, 3: bar 1 from 60 to 90, bar 2 from 90 to 120, both times.
    const repeated = [bars[0]!, bar("4/4", 4, BACK), bars[2]!];
    const { map: twice } = performFirst([{ bars: repeated }]);
    const at = (quarters: number) => twice.tempoAt(fraction(quarters)).likely;
    expect([0, 4, 8, 12, 16].map(at)).toEqual([60, 90, 60, 90, 120]);
    expect(twice.stretches).toHaveLength(3);
  });
});
