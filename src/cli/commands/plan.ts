import type { PlanPreference } from "../../model/plan.js";
import { colleagueFinder } from "../../planning/find-colleagues.js";
import { planFor } from "../../planning/plan-for.js";
import { PLAN_REPORTERS, type PlanFormat } from "../../reporters/plan.js";
import { loadProfile, overParts, type PartOptions } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { planWishes, type PlanWishOptions } from "../plan-wishes.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta plan`. */
export interface PlanOptions extends DeliveryOptions, PartOptions, PlanWishOptions {
  readonly prefer: PlanPreference;
  readonly format?: PlanFormat;
}

/** Runs `muta plan`: the choice of instruments that is best for the whole part. */
export async function runPlan(files: readonly string[], options: PlanOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
  const wishes = planWishes(options.prefer, options);
  const performance = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  const colleaguesIn = colleagueFinder(performance);
  const report = await overParts(files, options, (timeline, source, score) =>
    planFor(timeline, profile, source, {
      wishes,
      performance,
      colleaguesOf: colleaguesIn(score),
    }),
  );
  await deliver(report, files, options, (rendering) => PLAN_REPORTERS[format](report, rendering));
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}
