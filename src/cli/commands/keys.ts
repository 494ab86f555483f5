import { KEYS_REPORTERS, type KeysFormat } from "../../reporters/keys.js";
import { analyseFiles, loadProfile, type PartOptions } from "../analyse-files.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureText, refuseSecondStdin } from "../load.js";
import { formatByEnding, writeResult } from "../output.js";
import { describeTerminal } from "../terminal.js";
import { loadWishes, wishFiles, type WishOptions } from "../wishes.js";

/** What the user asked of `muta keys`. */
export interface KeysOptions extends WishOptions, PartOptions {
  readonly format?: KeysFormat;
  readonly profile?: string;
  readonly out?: string;
  readonly force: boolean;
  readonly color: boolean;
}

/** Runs `muta keys`: how every passage lies on every instrument that could play it. */
export async function runKeys(files: readonly string[], options: KeysOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const { out, force, profile } = options;
  const format = options.format ?? formatByEnding(out, ["csv", "json"]);
  const wishes = await loadWishes(options);
  const report = await analyseFiles(files, options, await loadProfile(profile), wishes);
  for (const failure of report.errors) complain(failureText(failure));
  if (report.parts.length > 0) {
    const { width, style } = describeTerminal(options.color && out === undefined);
    const text = KEYS_REPORTERS[format](report, { width, style, entries: false, bom: false });
    const inputs = [...files, ...wishFiles(options), ...(profile === undefined ? [] : [profile])];
    await writeResult(text, { path: out, force, inputs });
  }
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}
