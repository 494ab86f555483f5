import type { FileAudit, FileJob } from "../model/season.js";
import { unreadFile } from "../season/audit-file.js";
import { distinctJobs } from "../season/jobs.js";
import { cleanTo } from "../reporters/util/clean.js";
import { jobDigest } from "./job-line.js";
import { lineFault, readLines } from "./json-lines.js";
import { complain, refuseSecondStdin } from "./load.js";
import { LONGEST_RESULT, readResult, type Result } from "./result-line.js";

/** The results of a season that were worked out before, perhaps elsewhere. */
export interface GivenResults {
  /** In the order of the jobs; a job that has none is an error of its own. */
  readonly audits: readonly FileAudit[];
  /** The distinct jobs that have none, in their order. */
  readonly missing: readonly FileJob[];
  /** Whether there was a line that could not be read. */
  readonly isDamaged: boolean;
}

/** Why a result of a file of the season is of no job of it. */
type Refusal = "other-version" | "other-options";

/**
 * Reads results and finds the job of each. Of two results of one job the later is taken. Tells, on standard
 * error, of lines that cannot be read, and how many results are of no job of the season.
 * @param files NDJSON as `muta audit --jobs` writes it; `-` is standard input
 * @throws UsageError where a file cannot be read
 */
export async function readResults(
  jobs: readonly FileJob[],
  files: readonly string[],
): Promise<GivenResults> {
  refuseSecondStdin(files);
  const { distinct, spread } = distinctJobs(jobs);
  const found = new ResultsOf(distinct);
  let isDamaged = false;
  for (const file of files) {
    for await (const line of readLines(file, LONGEST_RESULT)) {
      const read = readResult(line);
      if (read.ok) found.add(read.value);
      else {
        isDamaged = true;
        complain(cleanTo(lineFault(file, line, read.fault), 1000));
      }
    }
  }
  const strangers = found.countStrangers();
  if (strangers > 0) {
    const which = strangers === 1 ? "one result is" : `${strangers} results are`;
    complain(`${which} of no job of this season, and not in the report`);
  }
  return {
    audits: spread(
      distinct.map((job, k) => found.audits[k] ?? found.lack(job, calledTogether(files))),
    ),
    missing: distinct.filter((_, k) => !found.audits[k]),
    isDamaged,
  };
}

/** "results.ndjson", or how many there are. */
function calledTogether(files: readonly string[]): string {
  const [file = ""] = files;
  if (files.length > 1) return `the ${files.length} files of results`;
  return file === "-" ? "standard input" : file;
}

/** The results that were found for some distinct jobs. */
class ResultsOf {
  /** By the place of the job. */
  readonly audits: (FileAudit | undefined)[];
  private readonly places: ReadonlyMap<string, number>;
  private readonly files: ReadonlySet<string>;
  /** Results of files of the season that are of none of its jobs, by file. */
  private readonly refused = new Map<string, { readonly why: Refusal; count: number }>();
  private strangers = 0;

  constructor(private readonly jobs: readonly FileJob[]) {
    this.audits = jobs.map(() => undefined);
    this.places = new Map(jobs.map((job, k) => [jobDigest(job), k]));
    this.files = new Set(jobs.map(({ file }) => file));
  }

  add({ key, file, audit }: Result): void {
    const place = this.places.get(key);
    // The key is of the job; that the result is of the same file is still to be seen.
    if (audit && place !== undefined && this.jobs[place]?.file === file) {
      this.audits[place] = audit;
    } else if (this.files.has(file)) {
      const refused = this.refused.get(file);
      if (refused) refused.count++;
      else this.refused.set(file, { why: audit ? "other-options" : "other-version", count: 1 });
    } else this.strangers++;
  }

  /** Those that are of no job, but for those that say why a job has none. */
  countStrangers(): number {
    const lacking = new Set(this.jobs.filter((_, k) => !this.audits[k]).map(({ file }) => file));
    const others = [...this.refused].filter(([file]) => !lacking.has(file));
    return others.reduce((sum, [, { count }]) => sum + count, this.strangers);
  }

  /** Of a job without a result. */
  lack(job: FileJob, from: string): FileAudit {
    const why = this.refused.get(job.file)?.why;
    if (why === undefined) return unreadFile(job, "no-result", `no result of this file in ${from}`);
    return unreadFile(job, why, WHY[why]);
  }
}

const WHY: Readonly<Record<Refusal, string>> = {
  "other-version": "its result is of another version of muta: do its job again with this one",
  "other-options":
    "its result is of other options (players, parts, profiles or tempi): list the jobs anew and do them again",
};
