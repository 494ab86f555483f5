import { spawn } from "node:child_process";
import { createWriteStream, readFileSync, writeFileSync } from "node:fs";
import { once } from "node:events";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { JobStream } from "../../src/cli/commands/audit-jobs.js";
import { jobLine, LONGEST_JOB, readJob } from "../../src/cli/job-line.js";
import { linesOf as linesOfStream, type Line } from "../../src/cli/json-lines.js";
import { audit, altered, jobsOf, ndjson } from "../support/audit-shards.js";
import { auditJob } from "../support/audit-job.js";
import { linesOf, MUTA, partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

const A_JOB = jobLine(auditJob("a.xml").job).trimEnd();

function line(text: string | Buffer): Line {
  return { number: 1, bytes: Buffer.from(text) };
}

/** Why a line is no job; undefined where it is one. */
function faultOf(text: string | Buffer): string | undefined {
  const read = readJob(line(text));
  return read.ok ? undefined : read.fault;
}

/** A job with a field of its profile made another. */
function withProfile(fields: Readonly<Record<string, unknown>>): string {
  const { profile } = auditJob("a.xml").job;
  return altered(A_JOB, { profile: { ...profile, ...fields } });
}

function withTempo(fields: Readonly<Record<string, unknown>>): string {
  const quartersPerMinute = { slow: 90, likely: 100, fast: 110 };
  const tempo = { barLabel: "1", beat: 1, quartersPerMinute, text: "quarter = 100", ...fields };
  return altered(A_JOB, { wishes: { tempoSheet: [tempo] } });
}

describe("a line that is a job", () => {
  it.each([
    ["as it is written", A_JOB],
    ["with a byte order mark and a carriage return, as some systems put them", `\uFEFF${A_JOB}\r`],
    [
      "with its fields in another order",
      JSON.stringify(Object.fromEntries(Object.entries(JSON.parse(A_JOB) as object).toReversed())),
    ],
    ["with hand times and a tempo", withTempo({ pass: 2 })],
    ["with own figures", withProfile({ own: { instruments: { flute: { putDownSeconds: 1 } } } })],
    [
      "with a player who is called constructor",
      altered(A_JOB, {
        seats: [{ player: "constructor", part: "__proto__", profile: auditJob("a").job.profile }],
      }),
    ],
  ])("%s", (_, text) => {
    expect(faultOf(text)).toBeUndefined();
  });
});

describe("a line that is no job", () => {
  const deep = "[".repeat(1_000_000) + "]".repeat(1_000_000);
  it.each([
    ["", "is not readable as JSON"],
    ["{", "is not readable as JSON"],
    ["null", "is no JSON object"],
    ["[]", "is no JSON object"],
    ["7", "is no JSON object"],
    [Buffer.from([0x7b, 0xff, 0x7d]), "is not valid UTF-8"],
    ["{}", 'is no job: schema must be "muta.job/1" (see: muta audit --list)'],
    [altered(A_JOB, { schema: "muta.result/1" }), "is no job"],
    [altered(A_JOB, { colour: "red" }), "colour: is not a field of a job"],
    [altered(A_JOB, { path: 7 }), "path: must be a text"],
    [altered(A_JOB, { path: "" }), "path: must name a file"],
    [altered(A_JOB, { path: "a\0b" }), "path: must name a file"],
    [altered(A_JOB, { parts: "P1" }), "parts: must be a list of texts"],
    [altered(A_JOB, { parts: [7] }), "parts.0: must be a text"],
    [altered(A_JOB, { tacet: "no" }), "tacet: must be true or false"],
    [altered(A_JOB, { seats: [{}] }), "seats.0."],
    [altered(A_JOB, { profile: null }), "profile: must be a group of fields"],
    [altered(A_JOB, { wishes: { recordings: [] } }), "wishes.recordings: is not a field of a job"],
    [
      A_JOB.replace('"own":{}', '"own":{"__proto__":{"x":1}}'),
      '"__proto__" is not the name of a field',
    ],
    [
      A_JOB.replace('"own":{}', '"own":{"\\u005f_proto__":{}}'),
      '"__proto__" is not the name of a field',
    ],
    [A_JOB.replace('"own":{}', '"own":{"instruments":{"constructor":{}}}'), '"constructor" is not'],
    [A_JOB.replace('"tacet":false', `"tacet":${deep}`), "tacet: must be true or false"],
    [withProfile({ carries: ["kazoo"] }), "profile.carries.0: must be one of: "],
    [withProfile({ own: { moveMouthpieceSeconds: -1 } }), "must not be negative"],
    [withProfile({ own: { moveMouthpieceSeconds: "1" } }), "must be a number of seconds"],
    [withProfile({ limits: [1] }), "profile.limits.0: is not a field"],
    [withTempo({ beat: 0 }), "wishes.tempoSheet.0.beat: must be 1 or more"],
    [withTempo({ pass: 1.5 }), "wishes.tempoSheet.0.pass: must be a whole number"],
    [
      withTempo({ quartersPerMinute: { slow: 90, likely: 80, fast: 110 } }),
      "must not have the slow one",
    ],
    [withTempo({ quartersPerMinute: { slow: 0, likely: 80, fast: 110 } }), "is too slow"],
    [withTempo({}).replace("110", "1e999"), "is too fast"],
  ])("%#: %.60s", (text, fault) => {
    expect(faultOf(text)).toContain(fault);
  });

  it("is one that is too long, of which no more is held than allowed", async () => {
    // 1 GB in pieces of 1 MB, then a line that is short.
    // eslint-disable-next-line @typescript-eslint/require-await -- a stream that is always ready
    async function* stream() {
      const piece = Buffer.alloc(1_000_000, 0x20);
      for (let k = 0; k < 1000; k++) yield piece;
      yield Buffer.from("\nshort");
    }
    const lines: Line[] = [];
    for await (const each of linesOfStream(stream(), LONGEST_JOB)) lines.push(each);
    expect(lines).toEqual([
      { number: 1, bytes: null },
      { number: 2, bytes: Buffer.from("short") },
    ]);
    const [long] = lines;
    expect(long && readJob(long)).toEqual({ ok: false, fault: "the line is too long" });
  });

  it("is one line on standard error with its number, and the rest is done", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight"), "b.xml": "<score-partwise" });
    const [a = "", b = ""] = await jobsOf(cwd, ["."]);
    const hostile = altered(a, { "\u001b[31mred\nline": 1 });
    const run = await audit(cwd, ["--jobs", "-"], ndjson([a, "{}", "", hostile, b, `${a} x`]));
    expect(run.code).toBe(2);
    expect(linesOf(run.stderr)).toEqual([
      'muta: standard input: line 2: is no job: schema must be "muta.job/1" (see: muta audit --list)',
      "muta: standard input: line 4: [31mred line: is not a field of a job",
      "muta: standard input: line 6: is not readable as JSON",
    ]);
    const results = linesOf(run.stdout).map(
      (text) => (JSON.parse(text) as { audit: { file: string; errors: readonly object[] } }).audit,
    );
    expect(results.map(({ file, errors }) => [file, errors.length])).toEqual([
      ["a.xml", 0],
      ["b.xml", 1],
    ]);
  });
});

describe("jobs", () => {
  it("that name what is no score are results with an error", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight") });
    const [a = ""] = await jobsOf(cwd, ["."]);
    const paths = ["/dev/zero", cwd, join(cwd, "none.xml"), "-", "x".repeat(5000)];
    const jobs = paths.map((path) => altered(a, { path }));
    const run = await audit(cwd, ["--jobs", "-", "--workers", "1"], ndjson([...jobs, a]));
    expect({ code: run.code, stderr: run.stderr }).toEqual({ code: 0, stderr: "" });
    const codes = linesOf(run.stdout).map(
      (text) =>
        (JSON.parse(text) as { audit: { errors: readonly { code: string }[] } }).audit.errors[0]
          ?.code,
    );
    expect(codes).toEqual([
      "not-a-file",
      "not-a-file",
      "not-found",
      "not-found",
      "unreadable",
      undefined,
    ]);
  });

  it("are the same with one worker, with three, and without a cache", async () => {
    const cwd = temporaryFolder(
      Object.fromEntries(
        (["tight", "ample", "impossible", "workable"] as const).map((verdict) => [
          `${verdict}.xml`,
          partWithChange(verdict),
        ]),
      ),
    );
    const jobs = ndjson(await jobsOf(cwd, ["."]));
    const alone = await audit(cwd, ["--jobs", "-", "--workers", "1", "--no-cache"], jobs);
    expect(linesOf(alone.stdout)).toHaveLength(4);
    expect(await audit(cwd, ["--jobs", "-", "--workers", "3"], jobs)).toEqual(alone);
    writeFileSync(join(cwd, "jobs.ndjson"), jobs);
    const toFile = await audit(cwd, ["--jobs", "jobs.ndjson", "--out", "results.ndjson"]);
    expect(toFile).toEqual({ code: 0, stdout: "", stderr: "" });
    expect(readFileSync(join(cwd, "results.ndjson"), "utf8")).toBe(alone.stdout);
  });

  it("are read no further ahead than they are worked on", { timeout: 180_000 }, async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight") });
    let drawn = 0;
    let out = 0;
    let ahead = 0;
    const job = jobLine(auditJob(join(cwd, "a.xml")).job);
    // eslint-disable-next-line @typescript-eslint/require-await -- a stream that is always ready
    async function* lines() {
      for (drawn = 1; drawn <= 5000; drawn++) {
        ahead = Math.max(ahead, drawn - out);
        yield { number: drawn, bytes: Buffer.from(job) };
      }
    }
    const stream = new JobStream({
      ...{ workers: 1, cache: false, signal: new AbortController().signal },
      fault: (_, fault) => expect.fail(fault),
    });
    for await (const result of stream.results(lines())) {
      expect(result).toContain('"errors":[]');
      out++;
    }
    expect(out).toBe(5000);
    expect(ahead).toBeLessThanOrEqual(2);
  });

  it("that nobody sends any more are not waited for after Ctrl-C, and what is done is kept", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight") });
    const [a = ""] = await jobsOf(cwd, ["."]);
    const child = spawn(
      process.execPath,
      [MUTA, "audit", "--jobs", "-", "--workers", "1", "--out", "results.ndjson"],
      { cwd, stdio: ["pipe", "inherit", "inherit"] },
    );
    const ended = once(child, "exit");
    child.stdin.write(ndjson([a, a]));
    // Time to do both; the pipe stays open.
    await sleep(3000);
    child.kill("SIGINT");
    expect(await ended).toEqual([130, null]);
    expect(linesOf(readFileSync(join(cwd, "results.ndjson"), "utf8"))).toHaveLength(2);
  });

  it("of 50 MB pass through a heap of 32 MB", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight") });
    // A player's name of 100 kB is in the job and in its result.
    const seat = { player: "x".repeat(100_000), part: "*", profile: auditJob("a").job.profile };
    const [a = ""] = await jobsOf(cwd, ["."]);
    const job = `${altered(a, { seats: [seat] })}\n`;
    const file = createWriteStream(join(cwd, "jobs.ndjson"));
    for (let k = 0; k < 500; k++) if (!file.write(job)) await once(file, "drain");
    await new Promise((resolve) => file.end(resolve));
    const args = ["audit", "--jobs", "jobs.ndjson", "--workers", "1", "--out", "results.ndjson"];
    const run = await runMuta(args, { cwd, env: { NODE_OPTIONS: "--max-old-space-size=32" } });
    expect(run).toEqual({ code: 0, stdout: "", stderr: "" });
    const results = readFileSync(join(cwd, "results.ndjson"));
    expect(results.length).toBeGreaterThan(50_000_000);
    expect(results.subarray(results.length - 500).toString()).toMatch(/"errors":\[\]\}\}\n$/);
  });
});
