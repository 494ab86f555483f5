import { describe, expect, it } from "vitest";
import { scoreXml, timelineOf } from "../support/score-xml.js";
import { bar, direction, expectRange, silentBars, tempiOf } from "./marks.js";
import { perform, performFirst, playback } from "./times.js";

describe("numbers that disagree", () => {
  it.each([
    [120, 80, true],
    // Off by less than 2 %
    [120, 122, false],
    [120, 123, true],
  ])("%d printed, %d played", (printed, number, said) => {
    const { timeline } = tempiOf([bar("4/4", direction(`q=${printed}`, playback(number)), 4)]);
    const notice = {
      kind: "tempo-contradiction",
      printed: `quarter = ${printed}`,
      playback: number,
    };
    expect(timeline.notices).toMatchObject(said ? [{ ...notice, barLabel: "1" }] : []);
  });

  it.each([
    [111, false],
    [125, true],
    [107, true],
  ])("a range of 110-120 printed, %d played", (number, said) => {
    const { timeline } = tempiOf([bar("4/4", direction("q=110-120", playback(number)), 4)]);
    expect(timeline.notices.map(({ kind }) => kind)).toEqual(said ? ["tempo-contradiction"] : []);
  });

  it("takes the first of two printed numbers, and says so", () => {
    const { inBars, timeline } = tempiOf([bar("4/4", 4), bar("4/4", "q=100", "h=60", 4)]);
    expectRange(inBars[1]?.from, [94, 100, 106]);
    expect(timeline.notices).toMatchObject([
      { kind: "tempo-printed-twice", taken: "quarter = 100", other: "half = 60", barLabel: "2" },
    ]);
  });

  it("takes that of the part that is read before that of another", () => {
    const { map, timeline } = performFirst([
      { bars: [bar("4/4", "q=100", 4)] },
      { bars: [bar("4/4", "q=80", 4)] },
    ]);
    expectRange(map.stretches[0]?.from, [94, 100, 106]);
    expect(timeline.notices).toMatchObject([
      { kind: "tempo-printed-twice", taken: "quarter = 100", other: "quarter = 80", partId: "P2" },
    ]);
  });

  it("says nothing of one tempo printed in two ways", () => {
    // half = 50 is quarter = 100
    const { timeline } = tempiOf([bar("4/4", "q=100", "h=50", 4)]);
    expect(timeline.notices).toEqual([]);
  });
});

describe("words that refer to nothing", () => {
  it.each([["a tempo"], ["Tempo I"], ["Più mosso"], ["Doppio movimento"], ["L'istesso tempo"]])(
    "%s in the first bar",
    (words) => {
      const { tempi, map } = tempiOf([bar("4/4", words, 4), bar("4/4", "q=100", 4)]);
      expect(tempi.unread.map((sign) => sign.words)).toEqual([[words]]);
      expect(map.stretches).toMatchObject([{ source: "assumed" }, { source: "metronome" }]);
    },
  );

  it("an equation in the first bar", () => {
    const { tempi } = tempiOf([bar("4/4", "q=q.", 4)]);
    expect(tempi.unread).toMatchObject([{ equation: { text: "quarter = dotted quarter" } }]);
  });

  it.each([["rit."], ["Allegro"], ["lunga"], ["con sordino"]])("not %s", (words) => {
    expect(tempiOf([bar("4/4", words, 4)]).tempi.unread).toEqual([]);
  });

  it.each([["a tempo"], ["Tempo I"], ["Più mosso"], ["L'istesso tempo"]])(
    "not %s once there is a tempo",
    (words) => {
      const { tempi } = tempiOf([bar("4/4", "q=100", 4), bar("4/4", words, 4)]);
      expect(tempi.unread).toEqual([]);
    },
  );

  it("counts a line of the sheet as a tempo", () => {
    const line = {
      barLabel: "1",
      beat: 1,
      quartersPerMinute: { slow: 70, likely: 80, fast: 90 },
      text: "quarter = 70-90",
    };
    const bars = [bar("4/4", 4), bar("4/4", "a tempo", 4)];
    expect(tempiOf(bars).tempi.unread).toHaveLength(1);
    const { tempi, inBars } = tempiOf(bars, { tempoSheet: [line] });
    expect(tempi.unread).toEqual([]);
    expectRange(inBars[1]?.from, [70, 80, 90]);
    expect(inBars[1]).toMatchObject({ source: "sheet", text: "a tempo, as at bar 1" });
  });
});

describe("words of another part", () => {
  it("count over the top part", () => {
    const top = { bars: [bar("4/4", "q=100", 4), bar("4/4", "rit.", 4)] };
    const { map } = perform(timelineOf(scoreXml([top, { bars: silentBars(2) }]), "P2"));
    expect(map.stretches).toMatchObject([{ source: "metronome" }, { text: "rit." }]);
  });

  it("do not count below it, unless a number stands beside them", () => {
    const { map } = performFirst([
      { bars: silentBars(3) },
      {
        bars: [
          bar("4/4", direction("Allegro", "q=100"), 4),
          bar("4/4", "rit.", 4),
          bar("4/4", direction("Più mosso", "q=120"), 4),
        ],
      },
    ]);
    expect(map.stretches.map(({ text }) => text)).toEqual([
      "Allegro (quarter = 100)",
      "Più mosso (quarter = 120)",
    ]);
  });
});
