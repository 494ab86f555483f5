import { describe, expect, it } from "vitest";
import { metronome, note, rest } from "../support/score-xml.js";
import { IN_A, FERMATA, VOICE_2, start, meter, back, taking, onlyChange } from "./change-cases.js";

describe("the time to look up", () => {
  it("is counted in the bars it lies in", () => {
    // Needed 4 s from the end of bar 1, so ready at the second beat of bar 3. From there two beats
    // of 3, bar 4, and two beats of the 5 before the entry: 2/3 + 1 + 2/5 bars, 2 + 2 + 2 s.
    const bars = [
      start(note("C5", 4)),
      meter("3/4") + rest(3),
      rest(3),
      meter("2/4") + rest(2),
      meter("5/4") + rest(2) + IN_A + note("C5", 3),
    ];
    const { lookUp } = onlyChange(bars, taking(4));
    expect(lookUp.bars).toBeCloseTo(2 / 3 + 1 + 2 / 5, 9);
    expect(lookUp.seconds).toBeCloseTo(6, 9);
  });

  it("is shorter by the grace notes before the entry", () => {
    const grace = "<note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>";
    const bars = [start(note("C5", 4)), rest(4), rest(4), IN_A + grace.repeat(3) + note("C5", 4)];
    // 8 - 3 x 0.1 - 4 s, in a bar of 4 s.
    const { lookUp } = onlyChange(bars, taking(4));
    expect(lookUp.seconds).toBeCloseTo(3.7, 9);
    expect(lookUp.bars).toBeCloseTo(3.7 / 4, 9);
  });
});

describe("hazards", () => {
  const SIGNS = {
    "meter-change": meter("3/4") + rest(3),
    "tempo-change": metronome("quarter", "80-90") + rest(4),
    pause: rest(4, FERMATA),
  } as const;
  const kinds = Object.keys(SIGNS) as (keyof typeof SIGNS)[];
  /** The hands are busy from beat 3 of bar 1; the sign stands where bar 2 begins, 2 s later. */
  const hazardsOf = (
    kind: keyof typeof SIGNS,
    seconds: number,
    first = note("C5", 2) + rest(2),
  ) => {
    const bars = [start(first), SIGNS[kind], rest(4), rest(4), rest(4), IN_A + note("C5", 4)];
    return onlyChange(bars, taking(seconds)).hazards;
  };

  it.each(kinds)("a %s in the blind seconds, but not after them", (kind) => {
    const hazard = { kind, at: { barLabel: "2", beat: 1 } };
    expect(hazardsOf(kind, 4)).toMatchObject([hazard]);
    expect(hazardsOf(kind, 2)).toMatchObject([hazard]);
    expect(hazardsOf(kind, 1.99)).toEqual([]);
  });

  it("says from what to what", () => {
    expect(hazardsOf("meter-change", 4)).toMatchObject([{ from: "4/4", to: "3/4" }]);
    // The middles of the printed ranges.
    expect(hazardsOf("tempo-change", 4)).toMatchObject([{ from: 55, to: 85 }]);
  });

  it("what begins with the rest begins as the player looks down", () => {
    const found = kinds.map((kind) => hazardsOf(kind, 4, note("C5", 4)).length);
    expect(found).toEqual([1, 1, 1]);
  });

  it("a sign at the entry is one where the hands are not ready before", () => {
    const entry = metronome("quarter", "80-90") + IN_A + note("C5", 4);
    const bars = [start(note("C5", 4)), rest(4), entry];
    const found = [5, 4, 3.99].map((seconds) => onlyChange(bars, taking(seconds)).hazards);
    expect(found.map((each) => each.map(({ kind }) => kind))).toEqual([
      ["tempo-change", "late-look-up"],
      ["tempo-change", "late-look-up"],
      ["late-look-up"],
    ]);
  });

  // 8 quarters of rest in bars of four: a bar is left for 4 s, less for 4.01 s.
  it.each([
    [4, 1, []],
    [4.01, 0.9975, [{ kind: "late-look-up", at: { barLabel: "4" } }]],
  ] as const)("a late look-up after %d s", (seconds, lookUpBars, hazards) => {
    const bars = [start(note("C5", 4)), rest(4), rest(4), IN_A + note("C5", 4)];
    const change = onlyChange(bars, taking(seconds));
    expect(change.lookUp.bars).toBeCloseTo(lookUpBars, 9);
    expect(change.hazards).toMatchObject(hazards);
    const cues = change.advice.filter(({ kind }) => kind === "ask-for-cue");
    expect(cues).toHaveLength(hazards.length);
  });

  const held = [
    start(note("C5", 2) + note("C5", 2, FERMATA)),
    rest(4),
    rest(4),
    IN_A + note("C5", 4),
  ];
  it("a fermata on the last note is told with the rest, which it puts off by nobody knows what", () => {
    const { rest: silence } = onlyChange(held, taking(2));
    expect(silence.pauses).toMatchObject([{ at: { barLabel: "1", beat: 3 }, on: "last-note" }]);
    expect(silence.seconds.short).toBeCloseTo(8, 9);
  });

  // The player still plays, and watches, under it.
  it("a fermata on the last note is no hazard: the hands are not busy yet", () => {
    expect(onlyChange(held, taking(2)).hazards).toEqual([]);
  });

  it("a fermata on the entry lengthens no rest", () => {
    const entry = rest(2) + IN_A + note("C5", 2, FERMATA);
    expect(onlyChange([start(note("C5", 4)), entry]).rest.pauses).toEqual([]);
  });

  it("a fermata on a note held under the last is told with the rest", () => {
    const under = back(4) + note("C4", 2, VOICE_2) + note("D4", 2, VOICE_2);
    const bars = [start(note("C5", 4, FERMATA) + under), rest(4), IN_A + note("C5", 4)];
    expect(onlyChange(bars).rest.pauses).toMatchObject([
      { at: { barLabel: "1", beat: 1 }, on: "last-note" },
    ]);
  });
});
