import { describe, expect, it } from "vitest";
import { changeoverTime, changeVerdict } from "../../src/analyses/changeover.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Verdict } from "../../src/model/finding.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import { note, rest } from "../support/score-xml.js";
import {
  IN_A,
  FAST_60,
  NEW_PAGE,
  REPEAT,
  start,
  taking,
  changesOf,
  onlyChange,
} from "./change-cases.js";

describe("the changeover", () => {
  // Sums of the usual figures, which are assumptions (common practice, no source).
  // prettier-ignore
  it.each<[InstrumentId, InstrumentId, number, number, string]>([
    // 0.7 + 1.5 + 0.7 + 0.6
    ["clarinet-bflat", "clarinet-a", 0, 3.5, "put-down move-mouthpiece pick-up settle"],
    // No mouthpiece of the C clarinet is shared: 0.7 + 0.7 + 0.6
    ["clarinet-bflat", "clarinet-c", 0, 2, "put-down pick-up settle"],
    // 0.7 + 2 + 1.2, and 1.5 + 0.7 + 0.6 back
    ["clarinet-bflat", "bass-clarinet-bflat", 0, 3.9, "put-down pick-up settle"],
    ["bass-clarinet-bflat", "clarinet-bflat", 0, 2.8, "put-down pick-up settle"],
    // The usual 1 + 1 + 1, and two pages of 1.5
    ["flute", "piccolo", 0, 3, "put-down pick-up settle"],
    ["flute", "piccolo", 2, 6, "put-down pick-up settle page-turn"],
  ])("%s to %s, %i pages: %d s", (from, to, pages, seconds, actions) => {
    const time = changeoverTime(USUAL_PROFILE, from, to, pages);
    expect(time.seconds).toBeCloseTo(seconds, 9);
    expect(time.steps.map(({ action }) => action).join(" ")).toBe(actions);
    expect(time.steps.reduce((sum, step) => sum + step.seconds, 0)).toBeCloseTo(seconds, 9);
  });

  it("takes what the player has timed as a whole, but turns the page", () => {
    const time = changeoverTime(taking(2.25), "clarinet-bflat", "clarinet-a", 1);
    expect(time.seconds).toBe(3.75);
    expect(time.steps).toEqual([
      { action: "whole-change", seconds: 2.25, assumed: false },
      { action: "page-turn", seconds: 1.5, assumed: true },
    ]);
    const back = changeoverTime(taking(2.25), "clarinet-a", "clarinet-bflat", 0);
    expect(back.seconds).toBeCloseTo(3.5, 9);
  });

  it("moves no mouthpiece where each clarinet has its own", () => {
    const own = { ...USUAL_PROFILE, sharedMouthpiece: [] };
    // 0.7 + 0.7 + 0.6
    expect(changeoverTime(own, "clarinet-bflat", "clarinet-a", 0).seconds).toBeCloseTo(2, 9);
  });

  const end = IN_A + note("C5", 4);
  // prettier-ignore
  it.each<[string, readonly string[], number]>([
    ["in the rest", [start(note("C5", 4)), rest(4), NEW_PAGE + rest(4), end], 1],
    ["where the rest begins", [start(note("C5", 4)), NEW_PAGE + rest(4), end], 1],
    ["at the entry", [start(note("C5", 4)), rest(4), NEW_PAGE + end], 1],
    ["twice", [start(note("C5", 4)), NEW_PAGE + rest(4), NEW_PAGE + rest(4), end], 2],
    ["before the last note", [start(note("C5", 4)), NEW_PAGE + note("C5", 4), rest(4), end], 0],
    ["after the entry", [start(note("C5", 4)), rest(4), end, NEW_PAGE + note("C5", 4)], 0],
  ])("turns a page %s in a part, never in a score", (_, bars, turns) => {
    const alone = onlyChange(bars).needed;
    const inScore = onlyChange(bars, USUAL_PROFILE, [bars.map(() => rest(4))]).needed;
    const turning = alone.steps.find(({ action }) => action === "page-turn");
    expect(turning?.seconds ?? 0).toBeCloseTo(1.5 * turns, 9);
    expect(alone.seconds - inScore.seconds).toBeCloseTo(1.5 * turns, 9);
  });

  it("turns a page back at a repeat", () => {
    const bars = [start(note("C5", 4)), rest(4), NEW_PAGE + end + REPEAT];
    const actions = changesOf(bars)[1]?.needed.steps.map(({ action }) => action);
    expect(actions).toContain("page-turn");
  });
});

describe("the verdict", () => {
  // The limits are assumptions (common practice, no source): 1.5 x and 3 x the seconds needed,
  // and a bar to look up. Here 4 s are needed: 4, 6 and 12 s.
  it.each<[number, number, Verdict]>([
    [3.99, 0, "impossible"],
    [4, 0, "tight"],
    [5.99, 1, "tight"],
    [6, 0.99, "tight"],
    [6, 1, "workable"],
    [11.99, 1, "workable"],
    [12, 1, "ample"],
    [12, 0.99, "tight"],
    [1000, 0, "tight"],
  ])("%d s of rest, %d bars to look up: %s", (seconds, bars, verdict) => {
    expect(changeVerdict(seconds, 4, bars)).toBe(verdict);
  });

  // In 1/4, so that the bar to look up is never what decides; at the fast tempo, 60.
  it.each<[number, Verdict, number]>([
    [3, "impossible", -1],
    [4, "tight", 0],
    [5, "tight", 1],
    [6, "workable", 2],
    [11, "workable", 7],
    [12, "ample", 8],
  ])("%i quarters of rest: %s, %i bars to look up", (quarters, verdict, lookUp) => {
    const silent = Array.from({ length: quarters }, () => rest(1));
    const bars = [start(note("C5", 1), FAST_60, "1/4"), ...silent, IN_A + note("C5", 1)];
    const change = onlyChange(bars, taking(4));
    expect(change.verdict).toBe(verdict);
    expect(change.lookUp.seconds).toBeCloseTo(lookUp, 9);
    expect(change.lookUp.bars).toBeCloseTo(Math.max(0, lookUp), 9);
  });

  // 0.7 + 1.5 + 0.7 + 0.6 would be 3.5000000000000004 in floating point.
  it("a rest of exactly the 3.5 s that the usual figures need is not impossible", () => {
    const bars = [start(note("C5", 0.5) + rest(3.5)), IN_A + note("C5", 4)];
    expect(onlyChange(bars).verdict).toBe("tight");
  });
});
