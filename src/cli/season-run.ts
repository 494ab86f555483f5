import type { FileAudit, FileJob } from "../model/season.js";
import { unreadFile } from "../season/audit-file.js";
import { jobKey } from "../season/jobs.js";
import { clean } from "../reporters/util/clean.js";
import { cacheFolder } from "./cache-folder.js";
import { abortOnInterrupt } from "./interrupt.js";
import { runJobs } from "./pool.js";
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
 * done by then is an error of its own. A fault of the program costs its own file only.
 */
export async function runSeason(
  jobs: readonly FileJob[],
  { workers, cache }: RunOptions,
): Promise<SeasonRun> {
  const distinct = [...new Map(jobs.map((job) => [jobKey(job), job]))];
  const folder = cache ? (cacheFolder() ?? null) : null;
  const interrupt = abortOnInterrupt();
  const progress = await showProgress(distinct.length);
  const done = new Map<string, FileAudit>();
  try {
    const outcomes = runJobs(
      "auditCached",
      distinct.map(([, job]) => ({ job, cache: folder })),
      { ...(workers !== undefined && { workers }), signal: interrupt.signal },
    );
    for await (const outcome of outcomes) {
      const [key, job] = distinct[outcome.index] ?? [];
      if (key === undefined || job === undefined) throw new Error("a result of no job");
      done.set(key, outcome.ok ? outcome.value : unreadFile(job, "bug", faultText(outcome.error)));
      progress.advance(job.file);
    }
  } finally {
    progress.stop();
    interrupt.release();
  }
  const stopped = "not looked at: the run was stopped before its turn";
  return {
    audits: jobs.map((job) => done.get(jobKey(job)) ?? unreadFile(job, "stopped", stopped)),
    isStopped: interrupt.signal.aborted,
  };
}

function faultText({ name, message }: { readonly name: string; readonly message: string }): string {
  return `this is a fault of the program, please report it (${clean(name)}: ${clean(message)})`;
}
