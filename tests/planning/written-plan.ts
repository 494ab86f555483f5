import { expect } from "vitest";
import { analysisContext, reportOn } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PlanPreference, PlanReport, PlanWishes } from "../../src/model/plan.js";
import type { InstrumentChange } from "../../src/model/report.js";
import { openScore } from "../../src/musicxml/document.js";
import { planFor } from "../../src/planning/plan-for.js";
import { rewritePlan } from "../../src/planning/rewrite-plan.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import { outOfOrder } from "./element-order.js";

const SOURCE = { file: "part", title: "", movement: "" };

/** A part as the project reads it. */
function readPart(bytes: Buffer, partId: string) {
  const timeline = openScore(bytes).timeline(partId);
  const analysed = analysisContext(timeline, USUAL_PROFILE);
  return { timeline, ...analysed, report: reportOn(analysed, timeline, SOURCE) };
}

type ReadPart = ReturnType<typeof readPart>;

/** Place, length and sounding pitches of every note, cue notes included, a line for each. */
function sounding({ context: { inHand }, timeline }: ReadPart): readonly string[] {
  return timeline.notes.map((note, k) => {
    // A note that nobody plays is read by what is printed over it.
    const pitches = note.pitches.map((each) =>
      note.cue || note.hidden ? "" : midiNumber(soundingPitch(each, inHand.transpositionOf(k))),
    );
    const { barIndex, offset, duration } = note;
    return `${barIndex} ${offset.toFraction()} ${duration.toFraction()} ${pitches.join()}`;
  });
}

/** What the player sees of a change. */
function gist({ from, to, leave, enter, verdict }: InstrumentChange): string {
  const places = [leave.quarters, enter.quarters].map((quarters) => quarters.toFraction());
  return `${from} > ${to} ${places.join("–")} ${verdict}`;
}

/** Everything that the print may have wrong, by kind and bar. */
function faults({ report }: ReadPart): readonly string[] {
  const all = [
    ...report.changes.flatMap(({ disagreements }) => disagreements),
    ...report.notices.flatMap((each) => (each.kind === "disagreement" ? [each.disagreement] : [])),
  ].map(({ kind, barLabel }) => `${kind} ${barLabel}`);
  const odd = ["instruction-unclear", "transposition-unknown", "odd-number"];
  return [...all, ...report.notices.flatMap(({ kind }) => (odd.includes(kind) ? [kind] : []))];
}

/** The instruments of a plan, of passages that follow each other on one only once. */
function runs({ passages }: PlanReport, instruments: PlanReport["best"]["instruments"]) {
  return passages.flatMap(({ from }, k) =>
    k > 0 && instruments[k] === instruments[k - 1] ? [] : [`${from.barIndex} ${instruments[k]}`],
  );
}

/**
 * Writes a plan out and holds the result against the plan and the source: sound and rhythm, changes, faults of the
 * print, nothing more to gain, and elements in the order of the standard.
 */
export function checkWritten(
  bytes: Buffer,
  partId: string,
  prefer: PlanPreference,
  name: string,
  given: Partial<PlanWishes> = {},
) {
  const wishes = { ...given, prefer };
  const score = openScore(bytes);
  const result = rewritePlan(bytes, score, { partId, profile: USUAL_PROFILE, wishes });
  const { best, printed } = result.plan;
  const isMoved = best.instruments.some((each, k) => each !== printed.instruments[k]);
  if (!isMoved) {
    expect(result.warnings, name).toEqual([{ kind: "already-so" }]);
    expect(result.bytes.equals(bytes), name).toBe(true);
    return { ...result, isMoved };
  }
  expect(result.bytes.equals(bytes), name).toBe(false);
  const [before, after] = [readPart(bytes, partId), readPart(result.bytes, partId)];
  expect(sounding(after), name).toEqual(sounding(before));
  expect(after.report.changes.map(gist), name).toEqual(best.changes.map(gist));
  const known = faults(before);
  expect(
    faults(after).filter((fault) => !known.includes(fault)),
    name,
  ).toEqual([]);
  const again = planFor(after.timeline, USUAL_PROFILE, SOURCE, { wishes });
  expect(runs(again, again.printed.instruments), name).toEqual(runs(result.plan, best.instruments));
  expect(again.best.cost, name).toBeCloseTo(again.printed.cost, 6);
  const written = openScore(result.bytes).barSlices(partId);
  const own = score.barSlices(partId);
  written.forEach(({ start, end }, k) => {
    const text = result.bytes.toString("utf8", start, end);
    const slice = own[k];
    if (slice && text !== bytes.toString("utf8", slice.start, slice.end)) {
      expect(outOfOrder(text), name).toEqual([]);
    }
  });
  return { ...result, isMoved };
}
