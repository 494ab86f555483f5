import { VERDICTS, type Verdict } from "../../model/finding.js";
import type { Season, SeasonReport } from "../../model/season.js";
import { USUAL_PROFILE } from "../../instruments/usual-profile.js";
import { AUDIT_REPORTERS, type AuditFormat } from "../../reporters/audit.js";
import type { RowKind, RowOrder } from "../../reporters/audit-rows.js";
import { AUDIT_COLUMNS, type AuditColumn } from "../../reporters/audit-table.js";
import { cleanTo } from "../../reporters/util/clean.js";
import { seasonJobs } from "../../season/jobs.js";
import { seasonReport } from "../../season/report.js";
import { loadProfile } from "../analyse-files.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureText } from "../load.js";
import { formatByEnding, writeResult, writeStdout } from "../output.js";
import { isSeasonFile, readSeason, type LoadedSeason } from "../season-file.js";
import { runSeason, type RunOptions } from "../season-run.js";
import { seasonOfFolders } from "../season-folder.js";
import { describeTerminal } from "../terminal.js";
import { UsageError } from "../usage-error.js";
import { orUsageError } from "../wishes.js";

/** What the user asked of `muta audit`. */
export interface AuditOptions extends RunOptions {
  readonly part: readonly string[];
  readonly profile?: string;
  readonly format?: AuditFormat | "xlsx";
  readonly only?: readonly RowKind[];
  readonly sort?: RowOrder;
  readonly columns?: readonly string[];
  readonly failOn?: Verdict;
  readonly list: boolean;
  readonly out?: string;
  readonly force: boolean;
  readonly delimiter?: string;
  readonly bom: boolean;
  readonly color: boolean;
}

/** Runs `muta audit`: every work of a season in one table; one bad file is one row of it. */
export async function runAudit(paths: readonly string[], options: AuditOptions): Promise<ExitCode> {
  const format =
    options.format ?? formatByEnding(options.out, ["csv", "tsv", "json", "ndjson", "xlsx"]);
  refuseIdleOptions(options, format);
  const columns = options.columns && auditColumns(options.columns);
  const { season, inputs } = await loadSeason(paths, options);
  const jobs = seasonJobs(season);
  const files = [...new Set(jobs.map(({ file }) => file))];
  if (options.list) {
    await writeStdout(files.map((file) => `${listed(file)}\n`).join(""));
    return EXIT.clean;
  }
  const { audits, isStopped } = await runSeason(jobs, options);
  const report = seasonReport(season, audits);
  for (const row of report.rows) {
    if (row.kind === "error") complain(failureText(row.error));
  }
  const { out, force, only, sort: order, bom, delimiter } = options;
  const { width, style } = describeTerminal(options.color && out === undefined);
  const rendering = {
    ...{ width, style, bom },
    ...(only && { only }),
    ...(order && { order }),
    ...(columns && { columns }),
    ...(delimiter !== undefined && { delimiter }),
  };
  const rendered =
    format === "xlsx"
      ? await (await import("../../reporters/audit-workbook.js")).auditWorkbook(report, rendering)
      : AUDIT_REPORTERS[format](report, rendering);
  await writeResult(rendered, { path: out, force, inputs: [...files, ...inputs] });
  return isStopped ? EXIT.stopped : exitCode(report, options.failOn);
}

async function loadSeason(
  paths: readonly string[],
  { part, profile: profilePath }: AuditOptions,
): Promise<LoadedSeason> {
  if (paths.includes("-")) {
    throw new UsageError(
      "a season cannot come from standard input (-); muta check reads one file from it",
    );
  }
  const given = profilePath === undefined ? undefined : await loadProfile(profilePath);
  const own = profilePath === undefined ? [] : [profilePath];
  const seasonFile = paths.find(isSeasonFile);
  if (seasonFile === undefined) {
    const programmes = await seasonOfFolders(paths, part);
    const season: Season = { name: "", programmes, players: [], profile: given ?? USUAL_PROFILE };
    return { season, inputs: own };
  }
  if (paths.length > 1) {
    throw new UsageError(
      `${seasonFile} is a season file, which stands alone; name its files in it`,
    );
  }
  if (part.length > 0) {
    throw new UsageError("--part is for folders and files; a season file names the parts itself");
  }
  const loaded = await orUsageError(seasonFile, () => readSeason(seasonFile, given));
  return { ...loaded, inputs: [...loaded.inputs, ...own] };
}

/** Columns by their names, in the order asked for. */
function auditColumns(names: readonly string[]): readonly AuditColumn[] {
  return names.map((name) => {
    const column = AUDIT_COLUMNS.find((each) => each === name);
    if (column !== undefined) return column;
    throw new UsageError(
      `--columns: "${name}" is not a column; the columns are ${AUDIT_COLUMNS.join(", ")}`,
    );
  });
}

/** Scripts get a name as it is; a terminal gets nothing that could steer it. */
function listed(file: string): string {
  return process.stdout.isTTY ? cleanTo(file, 4000) : file;
}

/** An option that would do nothing is a mistake that the user should hear of. */
function refuseIdleOptions(options: AuditOptions, format: AuditFormat | "xlsx"): void {
  if (format === "xlsx" && options.out === undefined && process.stdout.isTTY) {
    throw new UsageError("a workbook is no text: give it a file with --out");
  }
  if (format === "csv" || format === "tsv") return;
  const idle = [
    ["--delimiter", options.delimiter !== undefined],
    ["--bom", options.bom],
    ["--columns", options.columns !== undefined],
  ] as const;
  for (const [name, given] of idle) {
    if (given) throw new UsageError(`${name} is for csv and tsv, not ${format}`);
  }
}

/** Bad input outweighs findings; what the print has wrong counts as tight, as in `muta check`. */
export function exitCode(report: SeasonReport, failOn: Verdict | undefined): ExitCode {
  if (report.rows.some(({ kind }) => kind === "error")) return EXIT.badInput;
  if (failOn === undefined) return EXIT.clean;
  const limit = VERDICTS.indexOf(failOn);
  const tight = VERDICTS.indexOf("tight");
  const severities = [
    ...report.rows.flatMap((row) =>
      row.kind === "error"
        ? []
        : [
            VERDICTS.indexOf(row.change.verdict),
            ...(row.change.disagreements.length > 0 ? [tight] : []),
          ],
    ),
    ...report.parts.flatMap(({ faults }) => (faults.length > 0 ? [tight] : [])),
  ];
  return severities.some((severity) => severity >= limit) ? EXIT.findings : EXIT.clean;
}
