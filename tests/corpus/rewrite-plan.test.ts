import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { selectParts } from "../../src/instruments/select-parts.js";
import { PLAN_PREFERENCES } from "../../src/model/plan.js";
import { openScore } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { rewritePlan } from "../../src/planning/rewrite-plan.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { schemaErrorsAdded } from "../support/schema.js";
import { loadVerovioLog } from "../support/verovio-log.js";
import { checkWritten } from "../planning/written-plan.js";
import { CORPUS_ROOT, corpusScores, describeCorpus } from "../support/corpus.js";
import { wholePart } from "./renotate-cut.js";
import { printPlan } from "./renotate-print.js";
import { seeded } from "./renotate-random.js";
import { sourceParts } from "./renotate-source.js";
import { planPart as renotate } from "./renotate.js";

describe("the demo piece written out by every plan", () => {
  it.each(PLAN_PREFERENCES)("%s", (prefer) => {
    const bytes = readFileSync("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
    expect(checkWritten(bytes, "P1", prefer, prefer).isMoved).toBe(true);
  });
});

const RENOTATED_PER_PART = 1;

describeCorpus("plans written out", () => {
  it.each(corpusScores())("$name as it is", async ({ name }) => {
    const { bytes } = await readScoreFile(join(CORPUS_ROOT, "corpus", name, "score.mxl"));
    for (const { id } of selectParts(openScore(bytes).parts, [])) {
      for (const prefer of ["balanced", "easiest-fingers"] as const) {
        checkWritten(bytes, id, prefer, `${name} ${id} ${prefer}`);
      }
    }
  });

  it.each(corpusScores())(
    "$name with passages for other instruments",
    async ({ name }) => {
      const failed: string[] = [];
      for (const source of await sourceParts(name)) {
        for (let seed = 1; seed <= RENOTATED_PER_PART; seed++) {
          const plan = renotate(source, wholePart(source), seeded(seed));
          if (!plan) continue;
          const bytes = Buffer.from(printPlan(plan));
          for (const prefer of PLAN_PREFERENCES) {
            const what = `${name} ${source.name} seed ${seed} ${prefer}`;
            try {
              checkWritten(bytes, "P1", prefer, what);
            } catch (error) {
              failed.push(`${what}: ${String(error).slice(0, 1500)}`);
            }
          }
        }
      }
      expect(failed).toEqual([]);
    },
    300_000,
  );

  it.each(corpusScores())(
    "$name with passages for other instruments: by the schema, and in another program",
    async ({ name }) => {
      const logOf = await loadVerovioLog();
      let moved = 0;
      for (const source of await sourceParts(name)) {
        const plan = renotate(source, wholePart(source), seeded(1));
        if (!plan) continue;
        const bytes = Buffer.from(printPlan(plan));
        const request = { partId: "P1", profile: USUAL_PROFILE };
        const written = rewritePlan(bytes, openScore(bytes), request).bytes;
        if (!written.equals(bytes)) moved++;
        expect(logOf(written.toString()), source.name).toBe(logOf(bytes.toString()));
        const added = await schemaErrorsAdded(bytes.toString(), written.toString());
        expect(added, source.name).toEqual([]);
      }
      expect(moved).toBeGreaterThan(0);
    },
    120_000,
  );
});
