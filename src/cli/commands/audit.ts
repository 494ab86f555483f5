import { VERDICTS, type Verdict } from "../../model/finding.js";
import type { FileAudit, FileJob, Season, SeasonReport } from "../../model/season.js";
import { USUAL_PROFILE } from "../../instruments/usual-profile.js";
import { AUDIT_REPORTERS } from "../../reporters/audit.js";
import { AUDIT_COLUMNS, type AuditColumn } from "../../reporters/audit-table.js";
import { cleanTo } from "../../reporters/util/clean.js";
import { distinctJobs, seasonJobs } from "../../season/jobs.js";
import { seasonReport } from "../../season/report.js";
import { loadProfile } from "../analyse-files.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureText } from "../load.js";
import { writeLines, writeResult, type OutputTarget } from "../output.js";
import { isSeasonFile, readSeason, type LoadedSeason } from "../season-file.js";
import { runSeason } from "../season-run.js";
import { seasonOfFolders } from "../season-folder.js";
import { describeTerminal } from "../terminal.js";
import { UsageError } from "../usage-error.js";
import { orUsageError } from "../wishes.js";
import { auditFormat, refuseIdleOptions, type AuditOptions } from "./audit-options.js";

/**
 * Runs `muta audit`: every work of a season in one table; one bad file is one row of it. With `--list` it names
 * the work to be done, with `--jobs` it does such work, with `--results` it makes the table of what was done.
 */
export async function runAudit(paths: readonly string[], options: AuditOptions): Promise<ExitCode> {
  refuseIdleOptions(paths, options);
  if (options.jobs !== undefined) {
    const { runAuditJobs } = await import("./audit-jobs.js");
    return runAuditJobs(options.jobs, options);
  }
  const columns = options.columns && auditColumns(options.columns);
  const { season, inputs } = await loadSeason(paths, options);
  const jobs = seasonJobs(season);
  const files = new Set(jobs.map(({ file }) => file));
  const { out, force, results } = options;
  const given = results && (await resultsOf(jobs, results));
  const target = { path: out, force, inputs: [...files, ...inputs, ...(results ?? [])] };
  if (options.list) {
    await listWork(given?.missing ?? distinctJobs(jobs).distinct, options, target);
    return given?.isDamaged ? EXIT.badInput : EXIT.clean;
  }
  const { audits, isStopped } = given
    ? { audits: given.audits, isStopped: false }
    : await runSeason(jobs, options);
  const report = seasonReport(season, audits);
  for (const row of report.rows) {
    if (row.kind === "error") complain(failureText(row.error));
  }
  // A run that was stopped has not looked everywhere.
  if (!isStopped) for (const player of playersWithoutPart(season, audits)) complain(player);
  await writeResult(await rendered(report, columns, options), target);
  if (isStopped) return EXIT.stopped;
  return given?.isDamaged ? EXIT.badInput : exitCode(report, options.failOn);
}

async function resultsOf(jobs: readonly FileJob[], files: readonly string[]) {
  const { readResults } = await import("../season-results.js");
  return readResults(jobs, files);
}

/** The names of the files, or the jobs themselves, a line each. */
async function listWork(
  jobs: readonly FileJob[],
  options: AuditOptions,
  target: OutputTarget,
): Promise<void> {
  if (auditFormat(options) === "ndjson") {
    const { jobLine } = await import("../job-line.js");
    await writeLines(mapped(jobs, jobLine), target);
    return;
  }
  const names = new Set(jobs.map(({ file }) => file));
  const isShown = options.out === undefined && process.stdout.isTTY;
  // Scripts get a name as it is; a terminal gets nothing that could steer it.
  await writeLines(
    mapped(names, (name) => `${isShown ? cleanTo(name, 4000) : name}\n`),
    target,
  );
}

/** One after the other, as they are asked for. */
function* mapped<Item>(items: Iterable<Item>, text: (item: Item) => string): Generator<string> {
  for (const item of items) yield text(item);
}

async function rendered(
  report: SeasonReport,
  columns: readonly AuditColumn[] | undefined,
  options: AuditOptions,
): Promise<string | Uint8Array> {
  const { out, only, sort: order, bom, delimiter } = options;
  const { width, style } = describeTerminal(options.color && out === undefined);
  const rendering = {
    ...{ width, style, bom },
    ...(only && { only }),
    ...(order && { order }),
    ...(columns && { columns }),
    ...(delimiter !== undefined && { delimiter }),
  };
  const format = auditFormat(options);
  if (format !== "xlsx") return AUDIT_REPORTERS[format](report, rendering);
  return (await import("../../reporters/audit-workbook.js")).auditWorkbook(report, rendering);
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

/** A slip in the name of a part would leave a player out of everything without a word. */
function playersWithoutPart({ players }: Season, audits: readonly FileAudit[]): readonly string[] {
  const heardOf = new Set(
    audits.flatMap(({ seats, errors }) => [...seats, ...errors].map(({ player }) => player)),
  );
  return players.flatMap(({ name, part }) =>
    heardOf.has(name)
      ? []
      : [
          `${cleanTo(name, 200)} has a part in no piece that was read: none is called "${cleanTo(part, 200)}"`,
        ],
  );
}
