import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { basename, join, relative } from "node:path";
import readSheets from "read-excel-file/node";
import { expect, it } from "vitest";
import { seeded } from "../corpus/renotate-random.js";
import { killMuta, type EndedRun, type Moment } from "../support/kill-run.js";
import { table, type Row } from "../support/season/compare.js";
import { filesBelow } from "../support/season/files.js";
import { planSeason } from "../support/season/plan.js";
import { writeSeason } from "../support/season/write.js";
import { runMuta, temporaryFolder } from "../support/run-muta.js";

const SEED = 31;
const MOVEMENTS = 24;
/** Half of them by the clock, half by how many results are kept, so that a busy machine does not shift them all. */
const RANDOM_KILLS = 50;
/** Besides, some that come while the table is being written, which takes a moment only. */
const KILLS_WHILE_WRITING = 6;
const OLD = "the table of last year\r\n";
/** As a run leaves it that had no time to tidy up: nobody takes it for a table, and folders are read without it. */
const DRAFT = /^\.muta-[0-9a-f-]{36}$/;
const CACHE_DRAFT = /^\.draft-[0-9a-f-]{36}$/;
const SECRET = "secret";
const STOPPED = "not looked at: the run was stopped before its turn";

/** What a round does; `kept` is what stands in the place of the table before. */
interface Round {
  readonly signal: NodeJS.Signals;
  /** A share of the time of a run, a number of results, or the moment in which the table is begun. */
  readonly at: { readonly share: number } | { readonly results: number } | "writing";
  readonly ending: "csv" | "xlsx";
  readonly kept: boolean;
}

/** What all rounds are held against. */
interface Reference {
  readonly folder: string;
  readonly csv: string;
  readonly sheets: unknown;
  /** With which the names of the entries are made. */
  readonly secret: Buffer;
  /** Every entry of a cache that a whole run made, by its name. */
  readonly entries: ReadonlyMap<string, Buffer>;
  readonly runMs: number;
}

/** How far a run had come when it was ended, by what it left. */
type Phase = "no result" | "some results" | "all results" | "table begun" | "table written";

it("leaves nothing half-done, killed at 50 moments of a run and while it writes", async () => {
  const reference = await makeReference();
  const { folder } = reference;
  const inputs = snapshot(folder);
  const phases: Phase[] = [];
  const signals: (string | null)[] = [];
  let runMs = reference.runMs;
  let following = Promise.resolve();
  for (const round of planRounds()) {
    const { phase, ended, cache } = await killOnce(reference, round, runMs);
    await following;
    // Beside the next round, to save time.
    following = checkFollowingRun(reference, cache);
    phases.push(phase);
    signals.push(ended.signal);
    // Came to its own end: so long takes a run while the machine is as busy as now.
    if (ended.code === 0) runMs = ended.ms;
  }
  await following;
  expect(snapshot(folder)).toEqual(inputs);
  // Or the test has never met a moment that matters.
  const count = (...wanted: readonly Phase[]) =>
    phases.filter((phase) => wanted.includes(phase)).length;
  expect(count("no result"), phases.join()).toBeGreaterThan(4);
  expect(count("some results"), phases.join()).toBeGreaterThan(9);
  expect(count("table begun"), phases.join()).toBeGreaterThan(0);
  expect(count("all results", "table begun", "table written"), phases.join()).toBeGreaterThan(4);
  expect(signals.filter((signal) => signal === "SIGKILL").length).toBeGreaterThan(19);
}, 600_000);

function planRounds(): readonly Round[] {
  const random = seeded(SEED);
  const half = RANDOM_KILLS / 2;
  return Array.from({ length: RANDOM_KILLS + KILLS_WHILE_WRITING }, (_, k): Round => ({
    // Four of five have no time to do anything; the others ask politely.
    signal: k % 10 === 4 ? "SIGINT" : k % 10 === 9 ? "SIGTERM" : "SIGKILL",
    // Spread evenly, each somewhere in its part of the run.
    at:
      k < half
        ? { share: (k + random.next()) / half }
        : k < RANDOM_KILLS
          ? { results: Math.floor((MOVEMENTS * (k - half + random.next())) / half) }
          : "writing",
    ending: k % 2 === 0 ? "csv" : "xlsx",
    kept: k % 4 < 2,
  }));
}

async function makeReference(): Promise<Reference> {
  const folder = temporaryFolder();
  writeSeason(folder, planSeason(SEED, MOVEMENTS, 0));
  const run = async (out: string) => {
    const cache = temporaryFolder();
    const start = performance.now();
    const { code } = await runMuta(auditArgs(out), { cwd: folder, env: { MUTA_CACHE: cache } });
    expect(code).toBe(0);
    return { cache, ms: performance.now() - start };
  };
  const outs = temporaryFolder();
  const first = await run(join(outs, "season.csv"));
  const second = await run(join(outs, "season.xlsx"));
  const entries = resultsIn(first.cache).map(
    (path) => [relative(first.cache, path), readFileSync(path)] as const,
  );
  expect(entries).toHaveLength(MOVEMENTS);
  return {
    ...{ folder, csv: readFileSync(join(outs, "season.csv"), "utf8") },
    sheets: await readSheets(readFileSync(join(outs, "season.xlsx"))),
    ...{ secret: readFileSync(join(first.cache, SECRET)), entries: new Map(entries) },
    runMs: Math.max(first.ms, second.ms),
  };
}

function auditArgs(out: string, ...args: readonly string[]) {
  return ["audit", "season.yaml", "--workers", "2", "--out", out, ...args];
}

async function killOnce(
  reference: Reference,
  { signal, at, ending, kept }: Round,
  runMs: number,
): Promise<{ readonly phase: Phase; readonly ended: EndedRun; readonly cache: string }> {
  const { folder, entries, secret } = reference;
  const [outs, cache] = [temporaryFolder(), temporaryFolder()];
  writeFileSync(join(cache, SECRET), secret);
  const out = join(outs, `season.${ending}`);
  if (kept) writeFileSync(out, OLD);
  const moment: Moment =
    at === "writing"
      ? { when: () => readdirSync(outs).some((name) => DRAFT.test(name)) }
      : "share" in at
        ? { afterMs: at.share * runMs }
        : { when: () => resultsIn(cache).length >= at.results };
  const env = { MUTA_CACHE: cache };
  const args = auditArgs(out, ...(kept ? ["--force"] : []));
  const ended = await killMuta(args, { cwd: folder, env }, signal, moment);
  const isWritten = existsSync(out) && readFileSync(out, "latin1") !== OLD;
  if (kept) expect(existsSync(out)).toBe(true);
  if (isWritten) await checkTable(reference, out, ended);
  const litter = readdirSync(outs).filter((name) => name !== basename(out));
  for (const name of litter) expect(name).toMatch(DRAFT);
  // Whoever may tidy up does.
  if (ended.signal === null) expect(litter).toEqual([]);
  const left = resultsIn(cache);
  for (const path of left) {
    expect(entries.get(relative(cache, path))?.equals(readFileSync(path)), path).toBe(true);
  }
  if (isWritten) return { phase: "table written", ended, cache };
  if (litter.length > 0) return { phase: "table begun", ended, cache };
  const results = left.length === entries.size ? "all" : left.length > 0 ? "some" : "no";
  return { phase: results === "no" ? "no result" : `${results} results`, ended, cache };
}

/** From what a killed run kept the next one makes the table of a run that had nothing. */
async function checkFollowingRun({ folder, csv }: Reference, cache: string): Promise<void> {
  // A cache without results or drafts is that of a first run.
  if (filesBelow(cache).length === 1) return;
  const next = await runMuta(["audit", "season.yaml", "-f", "csv", "--workers", "1"], {
    ...{ cwd: folder, env: { MUTA_CACHE: cache } },
  });
  expect(next).toEqual({ code: 0, stdout: csv, stderr: "" });
}

/** The entries of a cache without its secret and those that are being written. */
function resultsIn(cache: string): readonly string[] {
  return filesBelow(cache).filter(
    (path) => basename(path) !== SECRET && !CACHE_DRAFT.test(basename(path)),
  );
}

/** A whole table; after a polite signal it says of every file what is done, or that it was not looked at. */
async function checkTable(
  { csv, sheets }: Reference,
  out: string,
  { code }: EndedRun,
): Promise<void> {
  const written = readFileSync(out);
  if (out.endsWith(".xlsx")) {
    const found = await readSheets(written);
    if (code === 130) expect(found.map(({ sheet }) => sheet)).toEqual(["changes", "parts", "kit"]);
    else expect(found).toEqual(sheets);
    return;
  }
  const text = written.toString("utf8");
  if (code !== 130) {
    expect(text).toBe(csv);
    return;
  }
  expect(text.endsWith("\r\n")).toBe(true);
  const [rows, whole] = [table(text), table(csv)];
  const open = rows.filter(({ kind }) => kind === "error");
  for (const { error } of open) expect(error).toBe(STOPPED);
  const missing = new Set(open.map(({ file }) => file));
  // What was not looked at has no change in it, nor one into it.
  const isDone = ({ file, kind }: Row) => kind === "change" && !missing.has(file);
  expect(rows.filter(({ kind }) => kind === "change")).toEqual(whole.filter(isDone));
}

/** All files of a folder with their bytes and times. */
function snapshot(folder: string): readonly (readonly [string, string, number])[] {
  return filesBelow(folder).map((path) => {
    const sum = createHash("sha256").update(readFileSync(path)).digest("hex");
    return [path, sum, statSync(path).mtimeMs];
  });
}
