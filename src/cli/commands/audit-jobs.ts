import type { FileJob } from "../../model/season.js";
import { cleanTo } from "../../reporters/util/clean.js";
import { cachePlace } from "../cache-secret.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { abortOnInterrupt } from "../interrupt.js";
import type { CachedAudit } from "../jobs/audit-cached.js";
import { LONGEST_JOB, readJob } from "../job-line.js";
import { lineFault, readLines, type Line } from "../json-lines.js";
import { complain } from "../load.js";
import { refuseInput, writeLines } from "../output.js";
import { runJobs } from "../pool.js";
import { showProgress } from "../progress.js";
import { resultLine } from "../result-line.js";
import { auditOf } from "../season-run.js";
import type { AuditOptions } from "./audit-options.js";

type JobOptions = Pick<AuditOptions, "workers" | "cache" | "out" | "force">;

/**
 * Runs `muta audit --jobs`: works off jobs as they are read and writes a result a line, in their order. A score
 * that cannot be read has a result like any other, which the report tells of; a line that is no job is left out.
 */
export async function runAuditJobs(path: string, options: JobOptions): Promise<ExitCode> {
  const { out, force } = options;
  const toFile = out !== undefined && out !== "-";
  const interrupt = abortOnInterrupt();
  // A bar would run into results on the same terminal.
  const watched = toFile || !process.stdout.isTTY;
  const progress = watched ? await showProgress(null) : undefined;
  const work = new JobStream({
    ...options,
    signal: interrupt.signal,
    begins: async (job) => {
      if (toFile) await refuseInput(out, [job.path]);
    },
    ended: (job) => progress?.advance(job.file),
    fault: (line, fault) => {
      complain(cleanTo(lineFault(path, line, fault), 1000));
    },
  });
  try {
    const results = work.results(readLines(path, LONGEST_JOB));
    await writeLines(results, { path: out, force, inputs: [path] });
  } finally {
    progress?.stop();
    interrupt.release();
    // After Ctrl-C nobody waits for a line that may never come.
    if (path === "-") process.stdin.destroy();
  }
  if (interrupt.signal.aborted) return EXIT.stopped;
  return work.faults > 0 ? EXIT.badInput : EXIT.clean;
}

/** How jobs are worked off, and who hears of it. */
export interface JobStreamOptions {
  readonly workers?: number;
  readonly cache: boolean;
  readonly signal: AbortSignal;
  /** Before a job is begun; what it throws ends the run. */
  readonly begins?: (job: FileJob) => Promise<void>;
  readonly ended?: (job: FileJob) => void;
  readonly fault: (line: Line, fault: string) => void;
}

/** Jobs as lines that become results as lines; no more of them are held than are being worked on. */
export class JobStream {
  /** Lines that were no job. */
  faults = 0;
  private begun = 0;
  /** Jobs whose result is not out yet, by their number. */
  private readonly open = new Map<number, FileJob>();
  /** That nobody takes the results any more. */
  private readonly left = new AbortController();

  constructor(private readonly options: JobStreamOptions) {}

  /** The results of the jobs, in their order. After the signal those that are done, with gaps. */
  async *results(lines: AsyncIterable<Line>): AsyncGenerator<string> {
    const { workers, signal, ended } = this.options;
    const outcomes = runJobs("auditCached", this.jobs(lines), {
      ...(workers !== undefined && { workers }),
      signal: AbortSignal.any([signal, this.left.signal]),
    });
    for await (const outcome of outcomes) {
      const job = this.open.get(outcome.index);
      if (!job) throw new Error("a result of no job");
      this.open.delete(outcome.index);
      let isTaken = false;
      try {
        yield resultLine(job, auditOf(outcome, job));
        isTaken = true;
      } finally {
        // Or the pool would wait for the next line of the jobs, which may be long in coming.
        if (!isTaken) this.left.abort();
      }
      ended?.(job);
    }
  }

  private async *jobs(lines: AsyncIterable<Line>): AsyncGenerator<CachedAudit> {
    const { cache, begins, fault } = this.options;
    const place = cache ? await cachePlace() : null;
    for await (const line of lines) {
      const read = readJob(line);
      if (read.ok) {
        await begins?.(read.value);
        this.open.set(this.begun++, read.value);
        yield { job: read.value, cache: place };
      } else {
        this.faults++;
        fault(line, read.fault);
      }
    }
  }
}
