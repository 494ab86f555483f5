import type { Verdict } from "../../model/finding.js";
import type { AuditFormat } from "../../reporters/audit.js";
import type { RowKind, RowOrder } from "../../reporters/audit-rows.js";
import { formatByEnding } from "../output.js";
import type { RunOptions } from "../season-run.js";
import { UsageError } from "../usage-error.js";

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
  /** A file of jobs to be done, instead of a season. */
  readonly jobs?: string;
  /** Files of results to make the report from, instead of the scores. */
  readonly results?: readonly string[];
  readonly out?: string;
  readonly force: boolean;
  readonly delimiter?: string;
  readonly bom: boolean;
  readonly color: boolean;
}

/** The format asked for, by name or by the ending of `--out`. */
export function auditFormat({ format, out }: AuditOptions): AuditFormat | "xlsx" {
  return format ?? formatByEnding(out, ["csv", "tsv", "json", "ndjson", "xlsx"]);
}

/**
 * An option that would do nothing is a mistake that the user should hear of.
 * @throws UsageError
 */
export function refuseIdleOptions(paths: readonly string[], options: AuditOptions): void {
  if (options.jobs !== undefined) refuseBesideJobs(paths, options);
  else if (paths.length === 0) {
    const before = options.results === undefined ? "" : " before --results";
    throw new UsageError(
      `name a folder, scores or a season file${before} (see: muta audit --help)`,
    );
  } else if (options.list) refuseBesideList(options);
  else refuseBesideReport(options);
}

/** The options for the report, and whether they were given. */
function reportOptions(
  options: AuditOptions,
): readonly (readonly [name: string, given: boolean])[] {
  return [
    ["--only", options.only !== undefined],
    ["--sort", options.sort !== undefined],
    ["--fail-on", options.failOn !== undefined],
    ...tableOptions(options),
  ];
}

function tableOptions(options: AuditOptions): readonly (readonly [name: string, given: boolean])[] {
  return [
    ["--delimiter", options.delimiter !== undefined],
    ["--bom", options.bom],
    ["--columns", options.columns !== undefined],
  ];
}

/** How the scores are read, where they are. */
function runOptions(options: AuditOptions): readonly (readonly [name: string, given: boolean])[] {
  return [
    ["--workers", options.workers !== undefined],
    ["--no-cache", !options.cache],
  ];
}

function refuse(given: readonly (readonly [name: string, given: boolean])[], why: string): void {
  for (const [name, isGiven] of given) {
    if (isGiven) throw new UsageError(`${name} ${why}`);
  }
}

function refuseBesideJobs(paths: readonly string[], options: AuditOptions): void {
  const [path] = paths;
  if (path !== undefined) {
    throw new UsageError(`--jobs takes the files that the jobs name, and not ${path} as well`);
  }
  refuse(
    [
      ["--list", options.list],
      ["--results", options.results !== undefined],
      ["--part", options.part.length > 0],
      ["--profile", options.profile !== undefined],
      ...reportOptions(options),
    ],
    "does nothing with --jobs: the jobs have their own parts and profiles, and the report is made with --results",
  );
  if (options.format !== undefined && options.format !== "ndjson") {
    throw new UsageError(`--jobs gives ndjson, not ${options.format}`);
  }
}

function refuseBesideList(options: AuditOptions): void {
  refuse([...reportOptions(options), ...runOptions(options)], "does nothing with --list");
  const format = auditFormat(options);
  if (format !== "text" && format !== "ndjson") {
    throw new UsageError(
      `--list gives the names of the files (text) or their jobs (ndjson), not ${format}`,
    );
  }
}

function refuseBesideReport(options: AuditOptions): void {
  if (options.results !== undefined) {
    refuse(runOptions(options), "does nothing with --results: no score is read");
  }
  const format = auditFormat(options);
  if (format === "xlsx" && options.out === undefined && process.stdout.isTTY) {
    throw new UsageError("a workbook is no text: give it a file with --out");
  }
  if (format !== "csv" && format !== "tsv") {
    refuse(tableOptions(options), `is for csv and tsv, not ${format}`);
  }
}
