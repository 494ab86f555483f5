import { spawn } from "node:child_process";
import { availableParallelism } from "node:os";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { perform } from "../../src/cli/jobs/perform.js";
import { runJobs, runJobsOf, type JobOutcome, type PoolOptions } from "../../src/cli/pool.js";
import { bundlePrograms, type Programs } from "../support/bundle.js";
import { auditJob } from "../support/audit-job.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { ODD_JOBS } from "../support/odd-jobs.js";
import { linesOf, partWithChange, runProgram, temporaryFolder } from "../support/run-muta.js";

let programs: Programs;

beforeAll(async () => {
  programs = await bundlePrograms({
    odd: "tests/support/odd-worker.ts",
    oddRun: "tests/support/odd-program.ts",
    run: "tests/support/pool-program.ts",
  });
});

afterAll(() => {
  programs.remove();
});

function oddJobs() {
  return { jobs: ODD_JOBS, worker: pathToFileURL(programs.path("odd")) };
}

async function all<Result>(
  outcomes: AsyncIterable<JobOutcome<Result>>,
): Promise<JobOutcome<Result>[]> {
  const list: JobOutcome<Result>[] = [];
  for await (const outcome of outcomes) list.push(outcome);
  return list;
}

/** Later jobs are ready sooner. */
const BACKWARDS = Array.from({ length: 12 }, (_, n) => ({ n, ms: 60 - 5 * n }));

describe.each([1, 2, 3, 7])("with %i workers", (workers) => {
  it("hands results out in the order of the items", async () => {
    const outcomes = await all(runJobsOf(oddJobs(), "wait", BACKWARDS, { workers }));
    expect(outcomes).toEqual(BACKWARDS.map(({ n }) => ({ index: n, ok: true, value: { n } })));
  });

  it("makes an error the result of its own job", async () => {
    const ways = ["throw", "none", "reject", "text", "deep", "circular", "none"];
    const items = ways.map((how) => ({ how }));
    const outcomes = await all(runJobsOf(oddJobs(), "fail", items, { workers }));
    expect(outcomes.map((each) => (each.ok ? "ok" : each.error.name))).toEqual([
      "TypeError",
      "ok",
      "RangeError",
      "Error",
      "RangeError",
      "TypeError",
      "ok",
    ]);
    expect(outcomes[0]).toMatchObject({ error: { message: "no such clarinet" } });
    expect(outcomes[0]).toHaveProperty("error.stack");
    expect(outcomes[3]).toMatchObject({ error: { message: "not even an error" } });
  });

  it("gives the same plain data, however it was sent", async () => {
    const [outcome] = await all(runJobsOf(oddJobs(), "odd", [{}], { workers }));
    expect(outcome).toStrictEqual({
      index: 0,
      ok: true,
      value: { nan: null, date: "1970-01-01T00:00:00.000Z", zero: 0 },
    });
  });

  it("does nothing with nothing", async () => {
    expect(await all(runJobsOf(oddJobs(), "wait", [], { workers }))).toEqual([]);
  });

  it("draws items as they are needed and no more than allowed", async () => {
    let drawn = 0;
    function* endless() {
      for (;;) yield { n: drawn++, ms: 0 };
    }
    let taken = 0;
    const most = workers === 1 ? 1 : 5;
    for await (const { index } of runJobsOf(oddJobs(), "wait", endless(), {
      workers,
      lookAhead: 5,
    })) {
      expect(index).toBe(taken++);
      expect(drawn - taken).toBeLessThan(most);
      if (taken === 40) break;
    }
    expect(taken).toBe(40);
  });

  it("hands out what is done when it is told to stop, and begins nothing more", async () => {
    const stop = new AbortController();
    let drawn = 0;
    function* endless() {
      // The third never ends; what is begun after it may.
      for (;;) yield { n: drawn, ms: drawn++ === 2 ? 600_000 : 1 };
    }
    const options: PoolOptions = { workers, signal: stop.signal, lookAhead: 6 };
    const indices: number[] = [];
    for await (const outcome of runJobsOf(oddJobs(), "wait", endless(), options)) {
      expect(outcome).toMatchObject({ ok: true, value: { n: outcome.index } });
      indices.push(outcome.index);
      // The workers are up by now, and the jobs after the third take a moment only.
      if (outcome.index === 1) {
        setTimeout(() => {
          stop.abort();
        }, 1500);
      }
    }
    expect(indices).toEqual(workers === 1 ? [0, 1] : [0, 1, 3, 4, 5, 6, 7]);
    expect(drawn).toBe(workers === 1 ? 3 : 8);
  });

  it("begins nothing when it is told to stop before", async () => {
    const items = {
      [Symbol.iterator]: () => {
        throw new Error("drawn");
      },
    };
    const outcomes = runJobsOf(oddJobs(), "wait", items, { workers, signal: AbortSignal.abort() });
    expect(await all(outcomes)).toEqual([]);
  });

  it("does not wait for a source that is stuck when it is told to stop", async () => {
    async function* stuck() {
      yield { n: 0, ms: 0 };
      await new Promise(() => undefined);
    }
    const signal = AbortSignal.timeout(300);
    const outcomes = await all(runJobsOf(oddJobs(), "wait", stuck(), { workers, signal }));
    expect(outcomes.every(({ index }) => index === 0)).toBe(true);
  });

  it("throws what its source throws, and closes a source that is left early", async () => {
    function* broken() {
      yield { n: 0, ms: 0 };
      throw new Error("the list has a hole");
    }
    await expect(all(runJobsOf(oddJobs(), "wait", broken(), { workers }))).rejects.toThrow(
      "the list has a hole",
    );
    let closed = false;
    function* careful() {
      try {
        for (;;) yield { n: 0, ms: 0 };
      } finally {
        closed = true;
      }
    }
    for await (const outcome of runJobsOf(oddJobs(), "wait", careful(), { workers })) {
      expect(outcome.index).toBe(0);
      break;
    }
    expect(closed).toBe(true);
  });
});

describe("workers", () => {
  it("leave an analysis that is busy when they are told to stop", async () => {
    const items = [
      { n: 0, ms: 0 },
      { n: 1, ms: 600_000 },
      { n: 2, ms: 600_000 },
    ];
    const stop = new AbortController();
    const options = { workers: 2, signal: stop.signal };
    const indices: number[] = [];
    for await (const { index } of runJobsOf(oddJobs(), "spin", items, options)) {
      indices.push(index);
      stop.abort();
    }
    expect(indices).toEqual([0]);
  });

  it("that ask to leave the program fail their job only", async () => {
    const items = ["exit", "none", "exit", "none", "none"].map((how) => ({ how }));
    const outcomes = await all(runJobsOf(oddJobs(), "fail", items, { workers: 2 }));
    expect(outcomes.map(({ ok }) => ok)).toEqual([false, true, false, true, true]);
    expect(outcomes[0]).toMatchObject({
      error: { message: expect.stringContaining("exit code 3") as string },
    });
  });

  it("that run out of memory fail their job only", async () => {
    const ways = ["none", "memory", "none", "none", "memory", "none"];
    const program = [programs.path("oddRun"), ...ways];
    const run = await runProgram(process.execPath, ["--max-old-space-size=64", ...program]);
    expect(run.code).toBe(0);
    const outcomes = linesOf(run.stdout).map((line) => JSON.parse(line) as { ok: boolean });
    expect(outcomes.map(({ ok }) => ok)).toEqual(ways.map((how) => how === "none"));
    expect(outcomes[1]).toMatchObject({
      index: 1,
      error: { message: expect.stringMatching(/memory/) as string },
    });
  }, 60_000);

  it("that cannot be started are an error of the run, not a wait without end", async () => {
    const lost = { jobs: ODD_JOBS, worker: new URL("file:///no/such/worker.js") };
    const items = Array.from({ length: 20 }, (_, n) => ({ n, ms: 0 }));
    await expect(
      all(runJobsOf(lost, "wait", items, { workers: 2 })).then((outcomes) => {
        // Or every job tells so.
        expect(outcomes.every(({ ok }) => !ok)).toBe(true);
        throw new Error("all failed");
      }),
    ).rejects.toThrow();
  });

  it("are as many as asked for", async () => {
    await expect(all(runJobsOf(oddJobs(), "wait", [], { workers: 0 }))).rejects.toThrow(RangeError);
    await expect(all(runJobsOf(oddJobs(), "wait", [], { workers: 1.5 }))).rejects.toThrow(
      RangeError,
    );
  });

  it("know no job but those of the table", async () => {
    expect(JSON.parse(await perform(ODD_JOBS, { job: "toString", data: "{}" }))).toMatchObject({
      ok: false,
      error: { message: 'there is no job "toString"' },
    });
  });
});

describe("the worker of the build", () => {
  it("audits files as this process does", async () => {
    const folder = temporaryFolder({
      "tight.musicxml": partWithChange("tight"),
      "bad.musicxml": "<score-partwise",
      "ample.musicxml": partWithChange("ample"),
    });
    const files = ["tight", "bad", "ample", "missing"].map((name) => `${folder}/${name}.musicxml`);
    const here = await all(runJobs("auditCached", files.map(auditJob), { workers: 1 }));
    const run = await runProgram(process.execPath, [programs.path("run"), "3", ...files]);
    expect(run).toMatchObject({ code: 0, stderr: "complete\n" });
    expect(
      run.stdout
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line) as unknown),
    ).toEqual(here);
    const verdicts = here.map(
      (each) =>
        each.ok && each.value.seats.flatMap(({ changes }) => changes.map(({ verdict }) => verdict)),
    );
    expect(verdicts).toEqual([["tight"], [], ["ample"], []]);
    expect(here.map((each) => each.ok && each.value.errors.length)).toEqual([0, 1, 0, 1]);
  });

  it("is there in dist/", async () => {
    const worker = (await import(pathToFileURL(resolve("dist/worker.js")).href)) as {
      default: (order: unknown) => Promise<string>;
    };
    const text = await worker.default({
      job: "auditCached",
      data: JSON.stringify(auditJob("/no/such/file")),
    });
    expect(JSON.parse(text)).toMatchObject({
      ok: true,
      value: { errors: [{ file: "/no/such/file" }] },
    });
  });
});

describeCorpus("on real scores", () => {
  const files = Array.from({ length: 8 }, () => corpusScores().map(({ path }) => path)).flat();

  it.each([1, 2])("Ctrl-C leaves whole results in order, with %i workers", async (workers) => {
    const child = spawn(process.execPath, [programs.path("run"), String(workers), ...files]);
    let stdout = "";
    let stderr = "";
    child.stderr.on("data", (piece: Buffer) => (stderr += piece.toString()));
    child.stdout.on("data", (piece: Buffer) => {
      stdout += piece.toString();
      if (!child.killed) child.kill("SIGINT");
    });
    const asked = await new Promise<number>((done) =>
      child.stdout.once("data", () => {
        done(Date.now());
      }),
    );
    const code = await new Promise((done) => child.on("close", done));
    // One score takes about a second at most; all would take many.
    expect(Date.now() - asked).toBeLessThan(10_000);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "interrupted\n" });
    const indices = stdout
      .trim()
      .split("\n")
      .map((line) => (JSON.parse(line) as { index: number }).index);
    expect(indices).toEqual([...indices].sort((a, b) => a - b));
    expect(indices.length).toBeGreaterThan(0);
    expect(indices.length).toBeLessThan(files.length);
  });

  it("has the same table with all cores as with one", async () => {
    const paths = corpusScores().map(({ path }) => path);
    const here = await all(runJobs("auditCached", paths.map(auditJob), { workers: 1 }));
    const cores = String(Math.max(2, availableParallelism()));
    const run = await runProgram(process.execPath, [programs.path("run"), cores, ...paths]);
    expect(
      run.stdout
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line) as unknown),
    ).toEqual(here);
  });
});
