import { describe, expect, it } from "vitest";
import type { TimedPlace } from "../../src/model/tempo.js";
import { fraction } from "../../src/theory/fraction.js";
import { clockOf, covers, layRecording } from "../../src/timing/recorded-time.js";
import { bar, direction, FORTH, refusal, silentBars } from "./marks.js";
import { BACK, performFirst } from "./times.js";

/** A timing, place = second: "2=5" is bar 2, "2:3=5" its third beat, "2x2=5" its second time. */
function timing(text: string): TimedPlace {
  const match = /^(\w+?)(?::([\d.]+))?(?:x(\d+))?=([\d.]+)$/.exec(text);
  if (!match) throw new Error(`not a timing: ${text}`);
  const [, barLabel = "", beat = "1", pass, seconds] = match;
  return {
    barLabel,
    beat: Number(beat),
    seconds: Number(seconds),
    ...(pass !== undefined && { pass: Number(pass) }),
  };
}

function lay(bars: readonly string[], timings: string, name = "take 1") {
  const { performance, map } = performFirst([{ bars }]);
  const places = timings.split(" ").filter(Boolean).map(timing);
  return layRecording(performance, map, { name, places });
}
const q = (quarters: number) => fraction(String(quarters));

/** Quarter = 60 throughout: four bars of 4/4, 4 s each as marked. */
const STEADY = [bar("4/4", "q=60", 4), ...silentBars(3)];

describe("between timings", () => {
  // 4 bars: the first two in 10 s, the others in 6 s.
  const recorded = lay(STEADY, "1=20 3=30 4:5=36");

  it.each([
    // 8 quarters in 10 s are 1.25 s each
    [0, 8, 10],
    [0, 4, 5],
    [1, 3, 2.5],
    // 8 quarters in 6 s are 0.75 s each
    [8, 16, 6],
    [10, 11, 0.75],
    // 2 x 1.25 + 2 x 0.75
    [6, 10, 4],
    [5, 5, 0],
  ])("a steady tempo is shared out by the notated values: %d to %d", (from, to, seconds) => {
    expect(recorded.secondsBetween(q(from), q(to))).toBeCloseTo(seconds, 9);
  });

  it.each([
    [0, 5, 4],
    [1, 2.5, 3],
    [6, 4, 10],
    [8, 6, 16],
    [3, 0, 3],
  ])("from %d quarters, %d seconds lead to %d", (from, seconds, to) => {
    expect(recorded.quartersAfter(q(from), seconds)).toBeCloseTo(to, 5);
  });

  it("covers what lies between the first and the last", () => {
    const part = lay(STEADY, "2=0 4=8");
    expect([part.from.valueOf(), part.to.valueOf()]).toEqual([4, 12]);
    expect(covers(part, q(4), q(12))).toBe(true);
    expect(covers(part, q(3.5), q(12))).toBe(false);
    expect(covers(part, q(4), q(12.5))).toBe(false);
    expect(part.name).toBe("take 1");
  });

  it("counts nothing from before the first, or past the last", () => {
    const part = lay(STEADY, "2=0 4=8");
    expect(part.quartersAfter(q(3), 1)).toBeUndefined();
    expect(part.quartersAfter(q(13), 1)).toBeUndefined();
    expect(part.quartersAfter(q(10), 4.5)).toBeUndefined();
    expect(part.quartersAfter(q(10), 2)).toBeCloseTo(12, 6);
  });

  it("a change of tempo is shared out as marked", () => {
    // As marked 4 s and 2 s, played in 12 s: 8 s and 4 s
    const bars = [bar("4/4", "q=60", 4), bar("4/4", "q=120", 4), bar("4/4", 4)];
    const changing = lay(bars, "1=0 3=12");
    expect(changing.secondsBetween(q(0), q(4))).toBeCloseTo(8, 9);
    expect(changing.secondsBetween(q(2), q(6))).toBeCloseTo(4 + 2, 9);
    expect(changing.quartersAfter(q(0), 10)).toBeCloseTo(6, 6);
  });

  it("a gradual change is shared out as marked", () => {
    // From 60 to 120 over 8 quarters: 8 ln 1.5 and 8 ln(4/3) of 8 ln 2, played in 10 s
    const bars = [
      bar("4/4", direction("q=60", "accel."), 4),
      bar("4/4", 4),
      bar("4/4", "q=120", 4),
    ];
    const changing = lay(bars, "1=0 3=10");
    expect(changing.secondsBetween(q(0), q(4))).toBeCloseTo(10 * Math.log2(1.5), 9);
    expect(changing.secondsBetween(q(4), q(8))).toBeCloseTo(10 * Math.log2(4 / 3), 9);
  });
});

describe("repeats", () => {
  // Bars 1, 2, 2, 3, 3: 20 quarters.
  const REPEATED = [bar("4/4", "q=60", 4), FORTH + bar("4/4", 4, BACK), bar("4/4", 4, BACK)];

  it("are found in the order of the performance", () => {
    const recorded = lay(REPEATED, "1=0 2=3 2=8 3=10 3=17 3:5=20");
    expect([0, 4, 8, 12, 16].map((k) => recorded.secondsBetween(q(k), q(k + 4)))).toEqual([
      3, 5, 2, 7, 3,
    ]);
  });

  it("a place without a pass is the next one to come", () => {
    // Beat 3 of the first time, so beat 2 can only be of the second
    const recorded = lay(REPEATED, "2:3=5 2:2=9");
    expect([recorded.from.valueOf(), recorded.to.valueOf()]).toEqual([6, 9]);
  });

  it("a pass names the time through", () => {
    const recorded = lay(REPEATED, "2x2=1 3x2=12");
    expect([recorded.from.valueOf(), recorded.to.valueOf()]).toEqual([8, 16]);
  });

  it.each([
    ["backwards", "3=0 2=5", "2", "it is not played after the place before it"],
    ["the same place once too often", "1=0 1=5", "1", "it is not played after the place before it"],
    ["an earlier pass", "2x2=0 2x1=5", "2", "it is not played after the place before it"],
    ["a pass too many", "2x3=0 3=5", "2", "it is not played 3 times"],
    ["a beat that is not there", "2:6=0 3=5", "2", "there is no beat 6"],
    ["a beat before the bar", "1=0 3:0.5=5", "3", "there is no beat 0.5"],
  ])("refuses %s", (_, timings, barLabel, message) => {
    const error = refusal(() => lay(REPEATED, timings));
    expect(error).toMatchObject({ code: "bad-recording", bar: barLabel });
    expect(error.message).toContain(`take 1: ${message}`);
  });

  it("refuses a bar that is not played", () => {
    const error = refusal(() => lay(REPEATED, "9=0"));
    expect(error.code).toBe("bad-recording");
    expect(error.message).toMatch(/^take 1 names bar 9, which is not played/);
  });

  it("refuses a recording without timings", () => {
    expect(refusal(() => lay(REPEATED, ""))).toMatchObject({
      code: "bad-recording",
      message: "take 1 holds no timings",
    });
  });
});

describe("the clock of the report", () => {
  const { map } = performFirst([{ bars: STEADY }]);

  it("is that of the tempi without a recording", () => {
    expect(clockOf(map, [])).toBe(map);
  });

  it("is measured, without a range, where a recording covers the time", () => {
    const clock = clockOf(map, [lay(STEADY, "1=0 3=10")]);
    expect(clock.secondsBetween(q(0), q(4))).toEqual({ short: 5, likely: 5, long: 5 });
    expect(clock.sourceBetween(q(0), q(4))).toBe("recording");
    expect(clock.quartersAfterSeconds(q(0), 5)).toBeCloseTo(4, 6);
  });

  it("is that of the tempi outside it", () => {
    const clock = clockOf(map, [lay(STEADY, "1=0 2=5")]);
    expect(clock.secondsBetween(q(8), q(12))).toEqual(map.secondsBetween(q(8), q(12)));
    expect(clock.sourceBetween(q(8), q(12))).toBe("metronome");
    // At the fast tempo, 63.6: 4 s lead 4.24 quarters on
    expect(clock.quartersAfterSeconds(q(8), 4)).toBeCloseTo(12.24, 9);
  });

  it.each([
    // Before bar 2 as marked, 4 quarters: 240/63.6, 4, 240/56.4; then measured, 2 x 1.5 s
    ["into", 0, 6, [240 / 63.6 + 3, 7, 240 / 56.4 + 3]],
    // Measured 2 x 1.5 s; then as marked, 4 quarters
    ["out of", 10, 16, [3 + 240 / 63.6, 7, 3 + 240 / 56.4]],
    // 4 quarters as marked, 8 measured in 12 s, 4 as marked
    ["over the whole of", 0, 16, [12 + 480 / 63.6, 20, 12 + 480 / 56.4]],
  ])("puts both together from outside %s a recording", (_, from, to, [short, likely, long]) => {
    const clock = clockOf(map, [lay(STEADY, "2=0 4=12")]);
    const seconds = clock.secondsBetween(q(from), q(to));
    expect(seconds.short).toBeCloseTo(short!, 9);
    expect(seconds.likely).toBeCloseTo(likely!, 9);
    expect(seconds.long).toBeCloseTo(long!, 9);
    expect(clock.sourceBetween(q(from), q(to))).toBe("metronome");
  });

  it("spans a range over several recordings, the likely time in their middle", () => {
    const takes = [8, 10, 15].map((end, k) => lay(STEADY, `1=0 3=${end}`, `take ${k}`));
    const clock = clockOf(map, takes);
    const { short, likely, long } = clock.secondsBetween(q(0), q(8));
    expect([short, likely, long]).toEqual([8, 11, 15]);
    // The furthest of them: in the quickest take 8 quarters in 8 s
    expect(clock.quartersAfterSeconds(q(0), 4)).toBeCloseTo(4, 6);
  });

  it("heeds only recordings of the whole of it, where there are any", () => {
    const part = lay(STEADY, "1=0 2:3=7");
    const whole = lay(STEADY, "1=0 4=15", "take 2");
    const clock = clockOf(map, [part, whole]);
    expect(clock.sourceBetween(q(4), q(8))).toBe("recording");
    expect(clock.secondsBetween(q(4), q(8))).toEqual({ short: 5, likely: 5, long: 5 });
    // Bars 1 to 4 neither has whole: 7 s and as marked 10 s, 15 s and as marked 4 s
    expect(clock.secondsBetween(q(0), q(16)).likely).toBeCloseTo((17 + 19) / 2, 9);
  });
});

describe("a slip of the pen", () => {
  it.each([
    // 8 quarters are 8 s as marked: more than 24 s or less than 8/3 s nobody plays
    [25, true],
    [23, false],
    [2.6, true],
    [2.7, false],
  ])("8 s as marked, %d s written down", (seconds, odd) => {
    const span = lay(STEADY, `1=0 3=${seconds}`).oddSpan();
    expect(span !== undefined).toBe(odd);
    if (odd) {
      expect(span).toMatchObject({ seconds });
      expect([span!.from.valueOf(), span!.to.valueOf()]).toEqual([0, 8]);
    }
  });

  it("is not looked for within less than four quarters", () => {
    // 2 quarters in 20 s, but the 8 of both in 22 s
    const timings = "1=0 1:3=20 3=22";
    expect(lay(STEADY, timings).oddSpan()).toBeUndefined();
  });
});
