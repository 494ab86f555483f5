import { KEYS_REPORTERS, type KeysFormat } from "../../reporters/keys.js";
import { analyseFiles, loadProfile, type PartOptions } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta keys`. */
export interface KeysOptions extends DeliveryOptions, PartOptions {
  readonly format?: KeysFormat;
}

/** Runs `muta keys`: how every passage lies on every instrument that could play it. */
export async function runKeys(files: readonly string[], options: KeysOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
  const wishes = await loadWishes(options);
  const report = await analyseFiles(files, options, await loadProfile(options.profile), wishes);
  await deliver(report, files, options, (rendering) => KEYS_REPORTERS[format](report, rendering));
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}
