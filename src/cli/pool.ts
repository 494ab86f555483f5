import { availableParallelism } from "node:os";
import { setImmediate as turn } from "node:timers/promises";
import { keepObjectsYoung } from "./engine.js";
import { JOBS, type JobTable } from "./jobs/job-table.js";
import { describeError, perform, type JobOrder, type JobResult } from "./jobs/perform.js";

/** What became of one job, and which it was, counted from 0. */
export type JobOutcome<Result> = JobResult<Result> & { readonly index: number };

/** The jobs there are, here and in the module that the workers load. */
export interface Workshop<Jobs extends JobTable> {
  readonly jobs: Jobs;
  readonly worker: URL;
}

export interface PoolOptions {
  /** How many at once; 1 works in this process, without a worker. Default: one for every core. */
  readonly workers?: number;
  /** Ends the run: no new jobs, those that run are dropped, what is done is still handed out. */
  readonly signal?: AbortSignal;
  /** How many jobs may be begun and not yet handed out, with workers. */
  readonly lookAhead?: number;
}

/** Jobs begun ahead for every worker, so that one long job does not keep the others waiting. */
const LOOK_AHEAD_PER_WORKER = 8;

/**
 * What a worker may hold at most; the largest score that is read at all needs less than half of it. Besides,
 * with less than the engine's own limit it throws away sooner what it has no use for (npm run bench).
 */
const WORKER_MEGABYTES = 512;

/** Three times what most full scores need while they are read, so that none of it outlives them (`clearAway`). */
const WORKER_YOUNG_MEGABYTES = 96;

const OUR_WORKSHOP = { jobs: JOBS, worker: new URL("./worker.js", import.meta.url) };

type DataOf<Work> = Work extends (data: infer Data) => Promise<unknown> ? Data : never;
type ResultOf<Work> = Work extends (data: never) => Promise<infer Result> ? Result : never;

/**
 * Does the same job for every item, and hands the results out in the order of the items, whatever the
 * number of workers. An error in one job is its result and stops no other. Items are drawn as they are
 * needed, and no more than `lookAhead` jobs are begun and not handed out, so memory stays bounded.
 *
 * After the signal the results that are done still come, in order, with gaps where a job was dropped;
 * the caller tells by the signal that the run is not complete.
 * @throws what drawing the next item throws, and when no worker can be started
 */
export function runJobs<Name extends keyof typeof JOBS>(
  job: Name,
  items: Iterable<DataOf<(typeof JOBS)[Name]>> | AsyncIterable<DataOf<(typeof JOBS)[Name]>>,
  options: PoolOptions = {},
): AsyncGenerator<JobOutcome<ResultOf<(typeof JOBS)[Name]>>, void, undefined> {
  return runJobsOf(OUR_WORKSHOP, job, items, options);
}

/** The same with the jobs of another workshop. */
export async function* runJobsOf<Jobs extends JobTable, Name extends keyof Jobs & string>(
  workshop: Workshop<Jobs>,
  job: Name,
  items: Iterable<DataOf<Jobs[Name]>> | AsyncIterable<DataOf<Jobs[Name]>>,
  options: PoolOptions = {},
): AsyncGenerator<JobOutcome<ResultOf<Jobs[Name]>>, void, undefined> {
  const workers = options.workers ?? availableParallelism();
  if (!Number.isInteger(workers) || workers < 1) throw new RangeError("at least one worker");
  keepObjectsYoung();
  const crew = workers === 1 ? alone(workshop.jobs) : await hire(workshop.worker, workers);
  // Alone there is nothing to gain from beginning a job before its result is wanted.
  const most = workers === 1 ? 1 : (options.lookAhead ?? LOOK_AHEAD_PER_WORKER * workers);
  const source = iterate(items);
  const begun: Begun[] = [];
  let index = 0;
  let drained = false;
  try {
    for (;;) {
      while (!drained && !options.signal?.aborted && begun.length < most) {
        const next = await orAborted(source.next(), options.signal);
        if (next === ABORTED) break;
        if (next.done === true) drained = true;
        else begun.push(begin(index++, crew.perform({ job, data: JSON.stringify(next.value) })));
      }
      const first = begun.shift();
      if (!first) return;
      const ended = await orAborted(first.result, options.signal);
      if (ended === ABORTED) {
        for (const { index: place, done } of [first, ...begun]) {
          if (done.text !== undefined) yield { index: place, ...parse(done.text) };
        }
        return;
      }
      yield { index: first.index, ...parse<ResultOf<Jobs[Name]>>(ended) };
    }
  } finally {
    await crew.dismiss();
    if (!drained) {
      // After the signal nobody waits for a source that may be stuck in the middle of an item.
      const closed = source.return?.();
      if (options.signal?.aborted) closed?.catch(() => undefined);
      else await closed;
    }
  }
}

/** A job on its way; `done.text` is there as soon as its result is. */
interface Begun {
  readonly index: number;
  readonly result: Promise<string>;
  readonly done: { text?: string };
}

function begin(index: number, result: Promise<string>): Begun {
  const done: { text?: string } = {};
  result.then(
    (text) => {
      done.text = text;
    },
    // Whoever waits for the result hears of the error; dropped jobs have nobody who waits.
    () => undefined,
  );
  return { index, result, done };
}

function parse<Result>(text: string): JobResult<Result> {
  return JSON.parse(text) as JobResult<Result>;
}

function iterate<Item>(items: Iterable<Item> | AsyncIterable<Item>) {
  return Symbol.asyncIterator in items ? items[Symbol.asyncIterator]() : fromSync(items);
}

// eslint-disable-next-line @typescript-eslint/require-await -- an iterable made asynchronous
async function* fromSync<Item>(items: Iterable<Item>): AsyncGenerator<Item, void, undefined> {
  yield* items;
}

const ABORTED = Symbol("aborted");

/** Waits for a promise or the signal. A listener for each wait: one promise for all would keep every result. */
async function orAborted<Value>(
  promise: Value | Promise<Value>,
  signal: AbortSignal | undefined,
): Promise<Value | typeof ABORTED> {
  if (!signal) return promise;
  if (signal.aborted) return ABORTED;
  let stop: (() => void) | undefined;
  const aborted = new Promise<typeof ABORTED>((resolve) => {
    stop = () => {
      resolve(ABORTED);
    };
    signal.addEventListener("abort", stop, { once: true });
  });
  try {
    return await Promise.race([promise, aborted]);
  } finally {
    if (stop) signal.removeEventListener("abort", stop);
  }
}

/** Whoever does the jobs. */
interface Crew {
  /** The result of a job, as JSON text. @throws only when no work is possible any more */
  readonly perform: (order: JobOrder) => Promise<string>;
  /** Drops what is still running. */
  readonly dismiss: () => Promise<void>;
}

function alone(jobs: JobTable): Crew {
  return {
    perform: async (order) => {
      // A turn of the event loop, or a row of jobs that never wait would not hear of Ctrl-C.
      await turn();
      return perform(jobs, order);
    },
    dismiss: () => Promise.resolve(),
  };
}

async function hire(worker: URL, workers: number): Promise<Crew> {
  // Loaded only when there is more than one.
  const { Tinypool } = await import("tinypool");
  const pool = new Tinypool({
    ...{ filename: worker.href, minThreads: workers, maxThreads: workers },
    resourceLimits: {
      maxOldGenerationSizeMb: WORKER_MEGABYTES,
      maxYoungGenerationSizeMb: WORKER_YOUNG_MEGABYTES,
    },
  });
  const waiting = new Set<(error: Error) => void>();
  let fault: Error | undefined;
  // A worker that fails while it has no job never came up (its module is missing, say).
  pool.on("error", (error: Error) => {
    fault ??= error;
    for (const giveUp of waiting) giveUp(error);
  });
  return {
    perform: (order) =>
      new Promise((resolve, reject) => {
        if (fault) {
          reject(fault);
          return;
        }
        waiting.add(reject);
        (pool.run(order) as Promise<string>)
          // A worker that dies over a job (out of memory, say): an error of that job; another takes over.
          .catch((error: unknown) => JSON.stringify({ ok: false, error: describeError(error) }))
          .then(resolve, reject)
          .finally(() => waiting.delete(reject));
      }),
    dismiss: () => pool.destroy(),
  };
}
