import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { PLAN_PREFERENCES } from "../../src/model/plan.js";
import { openScore } from "../../src/musicxml/document.js";
import { rewritePlan } from "../../src/planning/rewrite-plan.js";
import { schemaErrorsAdded } from "../support/schema.js";
import { loadVerovioLog } from "../support/verovio-log.js";

it(
  "adds no fault by the schema, and opens in another program without a warning more than the source",
  { timeout: 60_000 },
  async () => {
    const logOf = await loadVerovioLog();
    const bytes = readFileSync("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
    const own = logOf(bytes.toString());
    for (const prefer of PLAN_PREFERENCES) {
      const request = { partId: "P1", profile: USUAL_PROFILE, wishes: { prefer } };
      const written = rewritePlan(bytes, openScore(bytes), request).bytes.toString();
      expect(logOf(written)).toBe(own);
      expect(await schemaErrorsAdded(bytes.toString(), written)).toEqual([]);
    }
  },
);
