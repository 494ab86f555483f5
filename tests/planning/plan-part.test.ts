import { describe, expect, it } from "vitest";
import { analysisContext, reportOn } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PlanWishes } from "../../src/model/plan.js";
import { planPart } from "../../src/planning/plan-part.js";
import { sightText } from "../../src/reporters/wording/plans.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  timelineOf,
} from "../support/score-xml.js";

const WISHES: PlanWishes = { prefer: "balanced", keep: [], without: [], allow: [], fixed: [] };

function planOf(bars: readonly string[], wishes: Partial<PlanWishes> = {}) {
  const timeline = timelineOf(scoreXml([{ bars }]));
  const analysed = analysisContext(timeline, USUAL_PROFILE);
  const report = reportOn(analysed, timeline, { file: "part", title: "", movement: "" });
  return planPart(analysed.context, report, { ...WISHES, ...wishes });
}

const onB = (fifths: number, meter?: string) =>
  attributes({ fifths, transpose: B_FLAT, ...(meter !== undefined && { meter }) });
const onA = (fifths: number) => attributes({ fifths, transpose: A });
const quarters = (pitch: string) => note(pitch, 1).repeat(4);
/** 4/4 at quarter = 120: a bar lasts 1.887 s at the fast end, a quarter 0.472 s; the hands need 3.5 s. */
const START = onB(0, "4/4") + metronome("quarter", "120");
const FORWARD = `<barline location="left"><repeat direction="forward"/></barline>`;
const BACK = `<barline location="right"><repeat direction="backward"/></barline>`;

describe("planPart", () => {
  it("counts the notes that must be left out before and after the rest", () => {
    const bars = [
      START + quarters("C5"),
      ...[1, 2].map(() => quarters("C5")),
      rest(4),
      onA(0) + quarters("C5"),
      ...[1, 2].map(() => quarters("C5")),
    ];
    const keep = ["clarinet-bflat", "clarinet-a"] as const;
    const [advised, ...others] = planOf(bars, { keep }).adviceBest;
    expect(others).toEqual([]);
    const facts = advised?.advice.flatMap((each) =>
      each.kind === "leave-out" ? [[each.which, each.notes, each.verdict, each.gainedSeconds]] : [],
    );
    // 1.887 s and 1.613 more: four quarters. 5.25 s for workable: 3.363 more, eight quarters.
    expect(facts).toEqual([
      ["last", 8, "workable", expect.closeTo(3.774, 3)],
      ["first", 8, "workable", expect.closeTo(3.774, 3)],
      ["last", 4, "tight", expect.closeTo(1.887, 3)],
      ["first", 4, "tight", expect.closeTo(1.887, 3)],
    ]);
    // Nothing may be moved, since both are kept.
    expect(advised?.advice.some(({ kind }) => kind.startsWith("change-"))).toBe(false);
  });

  it("gives a passage that a repeat brings back one instrument, and counts the change it makes", () => {
    const rests = [1, 2, 3, 4, 5, 6].map(() => rest(4));
    const plan = planOf([
      FORWARD + START + quarters("C5"),
      ...rests,
      onA(-1) + quarters("C5") + BACK,
    ]);
    expect(plan.passages.map(({ timesPlayed }) => timesPlayed)).toEqual([2, 2]);
    // There and back and there again; going back there is no rest at all.
    expect(plan.printed.verdicts).toEqual({ ample: 2, workable: 0, tight: 0, impossible: 1 });
    expect(plan.best.changes).toEqual([]);
    expect(new Set(plan.best.instruments).size).toBe(1);
  });

  it("plans for a part in which nothing is played", () => {
    const plan = planOf([START + rest(4)]);
    expect([plan.best.changes, plan.best.cost, plan.passages]).toEqual([[], 0, []]);
  });
});

describe("sightText", () => {
  it.each([
    [0, 0, "read as printed"],
    [-1, -1, "read a semitone lower"],
    [1, 1, "read a semitone higher"],
    [1, 2, "read a tone higher"],
    [-2, -3, "read a minor third lower"],
    [3, 5, "read a fourth higher"],
    // C-sharp major on one is D-flat major on the other.
    [0, -1, "read a semitone lower on the same lines"],
    [1, 0, "read a letter higher at the same pitch"],
    [-8, -14, "read an octave and a tone lower"],
    [7, 12, "read an octave higher"],
  ])("%d steps and %d semitones: %s", (diatonic, chromatic, expected) => {
    expect(sightText({ diatonic, chromatic })).toBe(expected);
  });
});
