import type { JobTable } from "./job-table.js";

/** What became of one job. */
export type JobResult<Result> =
  { readonly ok: true; readonly value: Result } | { readonly ok: false; readonly error: JobError };

/** An error as it comes out of a worker, where classes are lost. */
export interface JobError {
  readonly name: string;
  readonly message: string;
  readonly stack?: string;
}

/** A job as it is sent to a worker. */
export interface JobOrder {
  readonly job: string;
  /** The data, as JSON text. */
  readonly data: string;
}

/**
 * Does a job. Data and result pass through JSON text on every way, so that the results are the same
 * with and without workers.
 * @returns the `JobResult`, as JSON text; never throws
 */
export async function perform(jobs: JobTable, { job, data }: JobOrder): Promise<string> {
  try {
    const work = Object.hasOwn(jobs, job) ? jobs[job] : undefined;
    if (!work) throw new Error(`there is no job "${job}"`);
    const value: unknown = await work(JSON.parse(data) as never);
    return JSON.stringify({ ok: true, value });
  } catch (error) {
    return JSON.stringify({ ok: false, error: describeError(error) });
  }
}

/** Anything that may be thrown, as plain data. */
export function describeError(error: unknown): JobError {
  if (!(error instanceof Error)) return { name: "Error", message: String(error) };
  const { name, message, stack } = error;
  return { name, message, ...(stack !== undefined && { stack }) };
}
