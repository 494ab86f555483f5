import { expect, it } from "vitest";
import { analysisContext, reportOn } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { PLAN_PREFERENCES } from "../../src/model/plan.js";
import type { InstrumentChange } from "../../src/model/report.js";
import type { PartTimeline } from "../../src/model/score.js";
import { openScore } from "../../src/musicxml/document.js";
import { planPart } from "../../src/planning/plan-part.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { wholePart } from "./renotate-cut.js";
import { printPlan } from "./renotate-print.js";
import { seeded } from "./renotate-random.js";
import { sourceParts } from "./renotate-source.js";
import { planPart as renotate } from "./renotate.js";
import { clarinetParts } from "./sounding-table.js";

/** What a change comes to, whoever found it. */
function gist({ from, to, leave, enter, rest, needed, lookUp, verdict }: InstrumentChange) {
  const places = [leave.quarters, enter.quarters].map((quarters) => quarters.valueOf());
  return { from, to, places, short: rest.seconds.short, needed: needed.seconds, lookUp, verdict };
}

/** Holds every plan of a part against the print and against each other; tells how the balanced one did. */
function checkPlans(timeline: PartTimeline, file: string) {
  const analysed = analysisContext(timeline, USUAL_PROFILE);
  const report = reportOn(analysed, timeline, { file, title: "", movement: "" });
  let gain = 0;
  for (const prefer of PLAN_PREFERENCES) {
    const wishes = { prefer, keep: [], without: [], allow: [], fixed: [] };
    const { best, printed, plans } = planPart(analysed.context, report, wishes);
    expect(best.kind).toBe(prefer);
    expect(best.cost).toBeLessThanOrEqual(printed.cost + 1e-6);
    expect(best.verdicts.impossible).toBeLessThanOrEqual(printed.verdicts.impossible);
    // By its own prices no other of the plans beats it.
    for (const other of plans) expect(best.cost).toBeLessThanOrEqual(other.cost + 1e-6);
    if (prefer === "fewest-changes" && printed.verdicts.impossible === 0) {
      expect(best.changes.length).toBeLessThanOrEqual(printed.changes.length);
    }
    // The changes of the printed plan are those that `muta check` finds.
    expect(printed.changes.map(gist)).toEqual(report.changes.map(gist));
    if (prefer === "balanced") gain = printed.cost - best.cost;
  }
  return { gain, changes: report.changes.length };
}

/** Parts of a real one with passages written for other instruments. */
const RENOTATED_PER_PART = 3;

describeCorpus("plans for the clarinet parts of the corpus", () => {
  it.each(corpusScores())(
    "$name: never worse than the print",
    async ({ name }) => {
      const { score, parts } = await clarinetParts(name);
      for (const part of parts) checkPlans(score.timeline(part.id), name);
    },
    60_000,
  );

  // Most of the corpus stays on one instrument as printed, so that there is little to plan.
  it("is never worse than the print where passages are written for other instruments, and mostly better", async () => {
    let better = 0;
    let all = 0;
    for (const { name } of corpusScores()) {
      for (const source of await sourceParts(name)) {
        for (let seed = 1; seed <= RENOTATED_PER_PART; seed++) {
          const plan = renotate(source, wholePart(source), seeded(seed));
          if (!plan) continue;
          const score = openScore(Buffer.from(printPlan(plan)));
          const { gain, changes } = checkPlans(score.timeline(score.parts[0]?.id ?? ""), name);
          if (changes === 0) continue;
          all++;
          if (gain > 1e-6) better++;
        }
      }
    }
    expect(all).toBeGreaterThan(30);
    expect(better / all).toBeGreaterThan(0.5);
  }, 300_000);
});
