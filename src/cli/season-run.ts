import type { FileAudit, FileJob } from "../model/season.js";
import { unreadFile } from "../season/audit-file.js";
import { distinctJobs } from "../season/jobs.js";
import { clean } from "../reporters/util/clean.js";
import { cachePlace } from "./cache-secret.js";
import { abortOnInterrupt } from "./interrupt.js";
import { runJobs, type JobOutcome } from "./pool.js";
import { showProgress } from "./progress.js";

/** How the work is done; it makes no difference to the result. */
export interface RunOptions {
  /** How many files at once; one for every core where it is left out. */
  readonly workers?: number;
  /** Whether results of earlier runs are taken, and those of this one kept. */
  readonly cache: boolean;
}

/** The results in the order of the jobs, and whether the run was stopped before it was through. */
export interface SeasonRun {
  readonly audits: readonly FileAudit[];
  readonly isStopped: boolean;
}

/**
 * Does all jobs of a season, a piece that comes back in a second programme once. Ctrl-C stops it; what is not
 * done by then is an error of its own.
 */
export async function runSeason(
  jobs: readonly FileJob[],
  { workers, cache }: RunOptions,
): Promise<SeasonRun> {
  const { distinct, spread } = distinctJobs(jobs);
  const place = cache ? await cachePlace() : null;
  const interrupt = abortOnInterrupt();
  const progress = await showProgress(distinct.length);
  const stopped = "not looked at: the run was stopped before its turn";
  const audits = distinct.map((job) => unreadFile(job, "stopped", stopped));
  try {
    const outcomes = runJobs(
      "auditCached",
      distinct.map((job) => ({ job, cache: place })),
      { ...(workers !== undefined && { workers }), signal: interrupt.signal },
    );
    for await (const outcome of outcomes) {
      const job = distinct[outcome.index];
      if (!job) throw new Error("a result of no job");
      audits[outcome.index] = auditOf(outcome, job);
      progress.advance(job.file);
    }
  } finally {
    progress.stop();
    interrupt.release();
  }
  return { audits: spread(audits), isStopped: interrupt.signal.aborted };
}

/** What became of a job, for the report: a fault of the program costs its own file only. */
export function auditOf(outcome: JobOutcome<FileAudit>, job: FileJob): FileAudit {
  return outcome.ok ? outcome.value : unreadFile(job, "bug", faultText(outcome.error));
}

function faultText({ name, message }: { readonly name: string; readonly message: string }): string {
  return `this is a fault of the program, please report it (${clean(name)}: ${clean(message)})`;
}
