import { cueReport } from "../../analyses/cue-requests.js";
import { analysisContext } from "../../analyses/index.js";
import { CUES_REPORTERS, type CuesFormat } from "../../reporters/cues.js";
import { loadProfile, overParts, type PartOptions } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta cues`. */
export interface CuesOptions extends DeliveryOptions, PartOptions {
  readonly format?: CuesFormat;
}

/** Runs `muta cues`: what to ask the conductor for, as a list to hand over. */
export async function runCues(files: readonly string[], options: CuesOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
  const wishes = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  const report = await overParts(files, options, (timeline, source) => {
    const { context } = analysisContext(timeline, profile, wishes, source.orchestra);
    return cueReport(context, source);
  });
  await deliver(report, files, options, (rendering) => CUES_REPORTERS[format](report, rendering));
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}
