import { expect, it } from "vitest";
import { analysisContext, reportOn } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore } from "../../src/musicxml/document.js";
import { playsSameBars, type Colleague } from "../../src/planning/colleagues.js";
import { planPart } from "../../src/planning/plan-part.js";
import { toNumber } from "../../src/theory/fraction.js";
import { describeCorpus } from "../support/corpus.js";
import { wholePart } from "./renotate-cut.js";
import { printPlan } from "./renotate-print.js";
import { seeded } from "./renotate-random.js";
import { sourceParts } from "./renotate-source.js";
import { planPart as renotate } from "./renotate.js";
import { clarinetParts, soundingRows } from "./sounding-table.js";

const SEEDS = 6;
const WISHES = { prefer: "balanced", keep: [], without: [], allow: [], fixed: [] } as const;
const TOLERANCE_QUARTERS = 0.001;

// A clarinet part with passages written for other instruments, beside its real colleagues. Source of what
// they play: sounding.csv of the corpus, made by other software.
describeCorpus("colleagues in the scores of the corpus", () => {
  it.each([["boulanger-matin"], ["brahms-op98-2"], ["brahms-op98-3"], ["brahms-op98-4"]])(
    "%s: silent, or in unison, over the bars they are named for",
    async (folder) => {
      const { score, parts } = await clarinetParts(folder);
      let named = 0;
      for (const source of await sourceParts(folder)) {
        const own = soundingRows(folder, source.name);
        for (let seed = 1; seed <= SEEDS; seed++) {
          const plan = renotate(source, wholePart(source), seeded(seed));
          if (!plan) continue;
          const printed = openScore(Buffer.from(printPlan(plan)));
          const timeline = printed.timeline(printed.parts[0]?.id ?? "");
          const analysed = analysisContext(timeline, USUAL_PROFILE);
          const report = reportOn(analysed, timeline, { file: folder, title: "", movement: "" });
          const colleagues = parts
            .filter(({ id }) => id !== source.listed.id)
            .map((part, k): Colleague => {
              const { context } = analysisContext(score.timeline(part.id), USUAL_PROFILE);
              expect(playsSameBars(analysed.context, context)).toBe(true);
              return { part, context, seatsAway: k + 1 };
            });
          const found = planPart(analysed.context, report, WISHES, () => ({
            colleagues,
            notices: [],
          }));
          for (const { advice } of [...found.advicePrinted, ...found.adviceBest]) {
            for (const each of advice) {
              if (each.kind !== "colleague") continue;
              named++;
              const from = toNumber(each.from.quarters) - TOLERANCE_QUARTERS;
              const to = toNumber(each.to.quarters) - TOLERANCE_QUARTERS;
              const theirs = soundingRows(folder, each.part.name);
              const what = `${source.name}, seed ${seed}, ${each.part.name}, bar ${each.from.barLabel}`;
              theirs.forEach(({ quarters, pitch }, k) => {
                if (quarters < from || quarters >= to) return;
                if (each.way !== "unison") expect(pitch, what).toBeNull();
                // Where the player plays, so does the colleague.
                else if (own[k]?.pitch != null) expect(pitch, what).toBe(own[k].pitch);
              });
            }
          }
        }
      }
      expect(named).toBeGreaterThan(0);
    },
    120_000,
  );
});
