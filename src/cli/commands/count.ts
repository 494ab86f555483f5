import { analyseCount } from "../../analyses/count-report.js";
import { COUNT_REPORTERS, type CountFormat } from "../../reporters/count.js";
import { loadProfile, overParts, type PartOptions } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta count`. */
export interface CountOptions extends DeliveryOptions, PartOptions {
  readonly format?: CountFormat;
  readonly fromBars: number;
}

/** Runs `muta count`: what to count in every long rest and every change. */
export async function runCount(files: readonly string[], options: CountOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
  const { fromBars } = options;
  const profile = await loadProfile(options.profile);
  const wishes = await loadWishes(options);
  const report = await overParts(files, options, (timeline, source) =>
    analyseCount(timeline, profile, source, { wishes, fromBars }),
  );
  await deliver(report, files, options, (rendering) => COUNT_REPORTERS[format](report, rendering));
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}
