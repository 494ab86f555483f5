import { VERDICTS, type Verdict } from "../../model/finding.js";
import type { ChangeoverProfile } from "../../model/profile.js";
import type { CheckReport } from "../../model/report.js";
import { REPORTERS, type FormatName } from "../../reporters/index.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { analyseFiles, loadProfile, type PartOptions } from "../analyse-files.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { UsageError } from "../usage-error.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta check`. */
export interface CheckOptions extends DeliveryOptions, PartOptions {
  readonly format?: FormatName;
  readonly failOn?: Verdict;
  /** In °C. */
  readonly hall?: number;
  readonly entries: boolean;
  readonly bom: boolean;
  readonly delimiter?: string;
}

/** Runs `muta check`: reads, analyses, renders, writes; one bad file does not stop the others. */
export async function runCheck(files: readonly string[], options: CheckOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "tsv", "json", "ndjson"]);
  refuseIdleOptions(options, format);
  const profile = inHall(await loadProfile(options.profile), options.hall);
  const wishes = await loadWishes(options);
  const report = await analyseFiles(files, options, profile, wishes);
  await deliver(report, files, options, (rendering) =>
    REPORTERS[format](report, {
      ...rendering,
      entries: options.entries,
      bom: options.bom,
      ...(options.delimiter !== undefined && { delimiter: options.delimiter }),
    }),
  );
  return exitCode(report, options.failOn);
}

/** What is said on the command line is of today, and goes before the profile. */
function inHall(profile: ChangeoverProfile, hallCelsius: number | undefined): ChangeoverProfile {
  if (hallCelsius === undefined) return profile;
  return { ...profile, temperature: { ...profile.temperature, hallCelsius } };
}

/** An option that would do nothing is a mistake that the user should hear of. */
function refuseIdleOptions(options: CheckOptions, format: FormatName): void {
  const isTable = format === "csv" || format === "tsv";
  if (options.delimiter !== undefined && !isTable) {
    throw new UsageError(`--delimiter is for csv and tsv, not ${format}`);
  }
  if (options.bom && !isTable) throw new UsageError(`--bom is for csv and tsv, not ${format}`);
  if (options.hall !== undefined && isTable) {
    throw new UsageError(
      `--hall is for text, json and ndjson; ${format} has no column for how long an instrument has lain`,
    );
  }
  if (options.entries && format !== "text") {
    throw new UsageError(
      `--entries is for text; ${format === "csv" || format === "tsv" ? "a table has a row a change" : `${format} has every entry`}`,
    );
  }
}

/** Bad input outweighs findings, which count from `--fail-on` up; a misprint counts as tight. */
export function exitCode(report: CheckReport, failOn: Verdict | undefined): ExitCode {
  if (report.errors.length > 0) return EXIT.badInput;
  if (failOn === undefined) return EXIT.clean;
  const limit = VERDICTS.indexOf(failOn);
  const severe = report.parts.some((part) => {
    const misprint =
      part.changes.some(({ disagreements }) => disagreements.length > 0) ||
      part.notices.some(
        ({ kind }) => kind === "disagreement" || kind === "name-against-transposition",
      );
    return (
      part.changes.some(({ verdict }) => VERDICTS.indexOf(verdict) >= limit) ||
      (misprint && VERDICTS.indexOf("tight") >= limit)
    );
  });
  return severe ? EXIT.findings : EXIT.clean;
}
