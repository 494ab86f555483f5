import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Temperature } from "../../src/model/profile.js";
import type { CheckedChange, PartReport } from "../../src/model/report.js";
import type { PerformanceWishes } from "../../src/model/tempo.js";
import { metronome, note, rest, scoreXml, timelineOf, type BarXml } from "../support/score-xml.js";
import { REPEAT } from "./change-cases.js";
import { IN_A, IN_B_FLAT, IN_BASS, PLAYED, SILENT } from "./in-hand-cases.js";
import { FINAL, movements } from "./movement-cases.js";

/** A quarter is a second, and a bar four. */
const START = IN_B_FLAT + metronome("quarter", "60");
const silence = (bars: number) => Array.from({ length: bars }, () => SILENT);
const playing = (bars: number) => Array.from({ length: bars }, () => PLAYED);

interface Given extends PerformanceWishes {
  readonly temperature?: Temperature;
  readonly shared?: boolean;
}

function reportOf(bars: readonly BarXml[], given: Given = {}): PartReport {
  const { temperature = {}, shared = true, ...wishes } = given;
  const profile = {
    ...USUAL_PROFILE,
    temperature,
    ...(!shared && { sharedMouthpiece: [] }),
  };
  const source = { file: "test.musicxml", title: "", movement: "" };
  return analysePart(timelineOf(scoreXml([{ bars }])), profile, source, wishes);
}

/** Lines such as `clarinet-a into 3: 12 since bar 2`, with the likely seconds. */
function lainIn(bars: readonly BarXml[], given: Given = {}): readonly string[] {
  return reportOf(bars, given).changes.map(({ to, enter, lying: { since, seconds } }) => {
    const from = since ? `bar ${since.barLabel} (${since.pass})` : "the beginning";
    return `${to} into ${enter.barLabel} (${enter.pass}): ${+seconds.likely.toFixed(6)} since ${from}`;
  });
}

function only(bars: readonly BarXml[], given: Given = {}): CheckedChange["lying"] {
  const { changes } = reportOf(bars, given);
  expect(changes).toHaveLength(1);
  return changes[0]!.lying;
}

/** 600·log2 of the absolute temperatures: see tests/theory/temperature.test.ts for the formula's own tests. */
function flatAfter(seconds: number, hall = 20, playing = 27, cooling = 600): number {
  const resting = hall + (playing - hall) * Math.exp(-seconds / cooling);
  return 600 * Math.log2((resting + 273.15) / (playing + 273.15));
}

describe("how long an instrument has lain", () => {
  // prettier-ignore
  it.each<[string, readonly BarXml[], readonly string[]]>([
    ["one not played yet: since the beginning", [START + PLAYED, SILENT, IN_A + PLAYED], ["clarinet-a into 3 (1): 8 since the beginning"]],
    ["one not played yet, after rests at the beginning", [START + SILENT, SILENT, PLAYED, IN_A + PLAYED], ["clarinet-a into 4 (1): 12 since the beginning"]],
    ["one played before: since the end of its last note", [START + note("C5", 3) + rest(1), IN_A + PLAYED, SILENT, IN_B_FLAT + rest(2) + note("C5", 2)],
      ["clarinet-a into 2 (1): 4 since the beginning", "clarinet-bflat into 4 (1): 11 since bar 1 (1)"]],
    // Not since the first time it was played.
    ["of several times the last", [START + PLAYED, IN_A + PLAYED, IN_B_FLAT + PLAYED, IN_A + PLAYED],
      ["clarinet-a into 2 (1): 4 since the beginning", "clarinet-bflat into 3 (1): 4 since bar 1 (1)", "clarinet-a into 4 (1): 4 since bar 2 (1)"]],
    ["one of three", [START + PLAYED, IN_A + PLAYED, SILENT, IN_BASS + PLAYED, IN_A + PLAYED],
      ["clarinet-a into 2 (1): 4 since the beginning", "bass-clarinet-bflat into 4 (1): 12 since the beginning", "clarinet-a into 5 (1): 8 since bar 2 (1)"]],
  ])("%s", (_, bars, expected) => {
    expect(lainIn(bars)).toEqual(expected);
  });

  it("is another time each time through a repeat", () => {
    // Bars of 4 s, on B-flat, then four on A, and again. The A clarinet lies from 0 to 4 s, and from the end of
    // bar 5 (20 s) to bar 2 (24 s); the B-flat from 4 s to 20 s.
    const bars = [START + PLAYED, IN_A + PLAYED, ...playing(2), PLAYED + REPEAT];
    expect(lainIn(bars)).toEqual([
      "clarinet-a into 2 (1): 4 since the beginning",
      "clarinet-bflat into 1 (2): 16 since bar 1 (1)",
      "clarinet-a into 2 (2): 4 since bar 5 (1)",
    ]);
    // With the repeat left out only the first is there.
    expect(lainIn(bars, { repeats: "none" })).toHaveLength(1);
  });

  it("is longer the first time where only the second time through has it in use", () => {
    const bars = [START + PLAYED, ...playing(4), IN_A + note("C5", 2) + rest(2) + REPEAT];
    const [first, , second] = reportOf(bars).changes;
    expect(first?.lying).toMatchObject({ since: null, seconds: { likely: 20 } });
    // From the end of beat 2 of bar 6 through its last two beats and five bars.
    expect(second?.lying.seconds.likely).toBeCloseTo(2 + 20, 9);
    expect(second?.lying.since).toMatchObject({ barLabel: "6", beat: 3, pass: 1 });
    expect(second!.lying.cents.likely).toBeLessThan(first!.lying.cents.likely);
  });

  it("spans the range of the tempo", () => {
    // A printed number may be 6 % off either way: an assumption (common practice, no source).
    const { seconds, cents } = only([START + PLAYED, ...silence(9), IN_A + PLAYED]);
    expect(seconds.short).toBeCloseTo(40 / 1.06, 9);
    expect(seconds.long).toBeCloseTo(40 / 0.94, 9);
    expect(cents.short).toBeCloseTo(flatAfter(40 / 1.06), 9);
    expect(cents.likely).toBeCloseTo(flatAfter(40), 9);
    expect(cents.long).toBeCloseTo(flatAfter(40 / 0.94), 9);
  });
});

describe("the pause between two movements", () => {
  const AFTER = START + PLAYED;
  // 5 to 40 s, likely 15: an assumption of timing/pauses.ts.
  it.each<[string, readonly BarXml[], number, number]>([
    [
      "while the instrument lies",
      movements([START + PLAYED, PLAYED + FINAL], [AFTER, IN_A + PLAYED]),
      12,
      1,
    ],
    ["just before the entry", movements([START + PLAYED, PLAYED + FINAL], [IN_A + PLAYED]), 8, 1],
    ["twice", movements([START + PLAYED + FINAL], [AFTER + FINAL], [AFTER, IN_A + PLAYED]), 12, 2],
    ["none, in one movement", [START + PLAYED, PLAYED, IN_A + PLAYED], 8, 0],
  ])("counts %s", (_, bars, played, pauses) => {
    const { seconds } = only(bars);
    expect(seconds.short).toBeCloseTo(played / 1.06 + 5 * pauses, 9);
    expect(seconds.likely).toBeCloseTo(played + 15 * pauses, 9);
    expect(seconds.long).toBeCloseTo(played / 0.94 + 40 * pauses, 9);
  });

  it("counts right after the last note of the instrument", () => {
    const bars = movements(
      [START + PLAYED, IN_A + PLAYED + FINAL],
      [START + PLAYED, IN_A + PLAYED],
    );
    const [, , again] = reportOf(bars).changes;
    expect(again?.lying.seconds.likely).toBeCloseTo(15 + 4, 9);
  });

  it("does not count before the instrument's last note", () => {
    const bars = movements(
      [START + PLAYED, IN_A + PLAYED + FINAL],
      [IN_A + PLAYED, IN_B_FLAT + PLAYED, IN_A + PLAYED],
    );
    const last = reportOf(bars).changes.at(-1);
    // The second movement prints no tempo: its bars last what an assumed tempo makes them, with no pause of 15 s.
    expect(last?.lying.seconds.likely).toBeLessThan(5);
  });

  it("is left to a recording that has it", () => {
    const bars = movements([START + PLAYED, PLAYED + FINAL], [AFTER, IN_A + PLAYED]);
    const place = (barLabel: string, seconds: number) => ({ barLabel, beat: 1, seconds });
    const recording = (...places: ReturnType<typeof place>[]) => ({
      recordings: [{ name: "take", places }],
    });
    // 4 + 4 s of music, 22 s of pause in it, and 4 s to the second bar of the second movement.
    const whole = recording(place("1", 0), place("2", 4), place("1", 30), place("2", 34));
    expect(only(bars, whole).seconds.likely).toBeCloseTo(34, 9);
    // One that ends before the pause has it not.
    const first = recording(place("1", 0), place("2", 4));
    expect(only(bars, first).seconds.likely).toBeCloseTo(12 + 15, 9);
  });
});

describe("the pitch of an instrument that has lain", () => {
  /** The A clarinet enters after 240 s. */
  const LONG = [START + PLAYED, ...playing(59), IN_A + PLAYED];

  it("is flat in a cool hall, by the usual figures where none is given", () => {
    const lying = only(LONG);
    expect(lying.seconds.likely).toBeCloseTo(240, 9);
    expect(lying.cents.likely).toBeCloseTo(flatAfter(240), 9);
    expect(lying.matters).toBe(true);
    expect(lying.temperature).toEqual({
      hallCelsius: 20,
      playingCelsius: 27,
      coolingSeconds: 600,
      assumed: ["hallCelsius", "playingCelsius", "coolingSeconds"],
    });
  });

  it.each<[string, Temperature, number, readonly string[]]>([
    ["a hall", { hallCelsius: 14 }, flatAfter(240, 14), ["playingCelsius", "coolingSeconds"]],
    ["a bore", { playingCelsius: 30 }, flatAfter(240, 20, 30), ["hallCelsius", "coolingSeconds"]],
    [
      "a cooling",
      { coolingSeconds: 300 },
      flatAfter(240, 20, 27, 300),
      ["hallCelsius", "playingCelsius"],
    ],
    [
      "all three",
      { hallCelsius: 16, playingCelsius: 26, coolingSeconds: 450 },
      flatAfter(240, 16, 26, 450),
      [],
    ],
  ])("goes by the player's figures: %s", (_, temperature, cents, assumed) => {
    const lying = only(LONG, { temperature });
    expect(lying.cents.likely).toBeCloseTo(cents, 9);
    expect(lying.temperature).toMatchObject({ ...temperature, assumed });
  });

  it("is sharp under a hot sun, and the same in a hall as warm as the bore", () => {
    expect(only(LONG, { temperature: { hallCelsius: 38 } }).cents.likely).toBeGreaterThan(5);
    const { cents, matters } = only(LONG, { temperature: { hallCelsius: 27 } });
    expect([cents.likely, matters]).toEqual([0, false]);
  });

  it("is told of from five cents on, with one notice for the page", () => {
    // By the reference list 180 s make 5.248 cents; 160 s make less than five.
    const lain = (bars: number) => reportOf([START + PLAYED, ...playing(bars - 1), IN_A + PLAYED]);
    const kinds = ({ notices }: PartReport) =>
      notices.map(({ kind }) => kind).filter((kind) => kind === "pitch-after-lying");
    expect(lain(45).changes[0]?.lying.cents.likely).toBeCloseTo(-5.248, 3);
    expect([lain(45).changes[0]?.lying.matters, kinds(lain(45))]).toEqual([
      true,
      ["pitch-after-lying"],
    ]);
    expect([lain(40).changes[0]?.lying.matters, kinds(lain(40))]).toEqual([false, []]);
    const several = reportOf([...LONG, ...playing(59), IN_B_FLAT + PLAYED]);
    expect(several.changes.map(({ lying }) => lying.matters)).toEqual([true, true]);
    expect(kinds(several)).toEqual(["pitch-after-lying"]);
  });

  it("is the same whether or not the mouthpiece, which stays warm, is moved across", () => {
    expect(only(LONG, { shared: false })).toEqual(only(LONG, { shared: true }));
  });
});
