import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { linkSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { performance } from "node:perf_hooks";
import { createInterface } from "node:readline";
import { median, peakKilobytes, time } from "./bench-figures.js";
import { generatedScore } from "./bench-score.js";

/** As many as the season of one orchestra has. */
const MOVEMENTS = 200;
/** A library, and how much of it each worker does before it has compiled what it needs: the rest is its speed. */
const LIBRARY = 400;
const WARM_EACH = 100;
const ROUNDS = 2;
/** Two after one, then one after two, and so on: a machine that gets slower or faster favours neither. */
const TURNS = [
  [1, 2],
  [2, 1],
  [1, 2],
  [2, 1],
];
const CACHED_ROUNDS = 3;
/** A reading swings by some 5 MB. */
const MEMORY_ROUNDS = 5;
/** Movements of a work, each in a file of its own. */
const PER_WORK = 4;

/**
 * Whole runs of `muta audit` over many full scores: against a bare parser that passes over the same files in
 * a process of its own, two workers against one, again from the cache, and the peak memory of few and many.
 *
 * @param folder an empty folder for the seasons
 * @param scores UTF-8 documents that are repeated until there are enough; none for a generated one
 * @param line `(name, mine, other, ratio, limit)` prints one result
 */
export async function benchAudit(folder, scores, line) {
  const sources = writeSources(folder, scores);
  const season = writeSeason(join(folder, "season"), sources, MOVEMENTS);
  againstBarePass(season, line);
  await twoAgainstOne(writeSeason(join(folder, "library"), sources, LIBRARY), line);
  fromCache(season, join(folder, "cache"), line);
  memory(folder, sources, line);
}

function againstBarePass(season, line) {
  const seconds = { bare: [], muta: [] };
  for (let round = 0; round < ROUNDS; round++) {
    seconds.bare.push(secondsOf(() => run(["scripts/bare-pass.js", season])));
    seconds.muta.push(secondsOf(() => run(auditArgs(season, 1))));
  }
  const [bare, muta] = [mean(seconds.bare), mean(seconds.muta)];
  const mine = `${(MOVEMENTS / muta).toFixed(1)} a second`;
  line(
    `audit of ${MOVEMENTS} full scores`,
    mine,
    `bare pass ${(MOVEMENTS / bare).toFixed(1)} a second`,
    muta / bare,
    1,
  );
}

/** By the results as they come: a season of 200 is over before two workers have each compiled what they need. */
async function twoAgainstOne(library, line) {
  const jobs = run(["bin/muta.js", "audit", library, "--list", "--format", "ndjson"]);
  const speeds = { 1: [], 2: [] };
  const whole = { 1: [], 2: [] };
  for (const workers of TURNS.flat()) {
    const { results, perSecond, seconds } = await workOff(jobs, workers);
    if (results !== LIBRARY) throw new Error(`${results} results instead of ${LIBRARY}`);
    speeds[workers].push(perSecond);
    whole[workers].push(seconds);
  }
  const [one, two] = [mean(speeds[1]), mean(speeds[2])];
  line(
    "two workers, once warm",
    `${two.toFixed(1)} a second`,
    `one ${one.toFixed(1)} a second`,
    one / two,
    1 / 1.7,
  );
  const [alone, both] = [mean(whole[1]), mean(whole[2])];
  line(
    `the same, all ${LIBRARY} from the start`,
    `${both.toFixed(1)} s`,
    `one ${alone.toFixed(1)} s`,
    both / alone,
    0.8,
  );
}

/** Has jobs done by `--jobs`, and takes the time from where all workers are warm to the last result. */
async function workOff(jobs, workers) {
  const args = ["bin/muta.js", "audit", "--jobs", "-", "--no-cache", "--workers", `${workers}`];
  const warmResults = WARM_EACH * workers;
  const start = performance.now();
  const child = spawn(process.execPath, args, { stdio: ["pipe", "pipe", "inherit"] });
  child.stdin.end(jobs);
  let results = 0;
  let warm = start;
  const lines = createInterface({ input: child.stdout });
  lines.on("line", () => {
    if (++results === warmResults) warm = performance.now();
  });
  await once(lines, "close");
  const end = performance.now();
  return {
    results,
    perSecond: (results - warmResults) / ((end - warm) / 1000),
    seconds: (end - start) / 1000,
  };
}

/** A run that fills an empty cache, and runs that take all from it; every file is read and hashed all the same. */
function fromCache(season, cache, line) {
  const tables = new Set();
  const seconds = Array.from({ length: 1 + CACHED_ROUNDS }, () =>
    secondsOf(() =>
      tables.add(
        run(
          auditArgs(season, 1).filter((each) => each !== "--no-cache"),
          cache,
        ),
      ),
    ),
  );
  if (tables.size !== 1) throw new Error("the table from the cache is another");
  const [first, again] = [seconds[0], median(seconds.slice(1))];
  const told = `first run ${first.toFixed(1)} s`;
  line("the same from the cache", `${again.toFixed(1)} s`, told, again / first, 0.1);
}

/** Peak resident memory of 400 movements against that of 50: what is kept of each must not be felt. */
function memory(folder, sources, line) {
  const seasons = [50, 400].map((count) =>
    writeSeason(join(folder, `season-${count}`), sources, count),
  );
  const peaks = seasons.map(() => []);
  for (let round = 0; round < MEMORY_ROUNDS; round++) {
    for (const [k, season] of seasons.entries()) {
      peaks[k].push(peakKilobytes(auditArgs(season, 2)) / 1000);
    }
  }
  const [few, many] = peaks.map(mean);
  const told = (value) => `${value.toFixed(0)} MB`;
  line("peak memory, 400 movements", told(many), `50 movements ${told(few)}`, many / few, 1.1);
}

function writeSources(folder, scores) {
  mkdirSync(join(folder, "sources"));
  return (scores.length > 0 ? scores : [generatedScore()]).map((score, k) => {
    const file = join(folder, "sources", `${k}.musicxml`);
    writeFileSync(file, score);
    return file;
  });
}

/** Links, so that two hundred scores take the room of a few. */
function writeSeason(folder, sources, count) {
  for (let k = 0; k < count; k++) {
    const work = join(folder, `work-${Math.floor(k / PER_WORK)}`);
    mkdirSync(work, { recursive: true });
    linkSync(sources[k % sources.length], join(work, `${readdirSync(work).length + 1}.musicxml`));
  }
  return folder;
}

function auditArgs(season, workers) {
  return [
    "bin/muta.js",
    "audit",
    season,
    "--no-cache",
    "--workers",
    `${workers}`,
    "--format",
    "csv",
  ];
}

function run(args, cache = "") {
  const env = { ...process.env, MUTA_CACHE: cache };
  return execFileSync(process.execPath, args, { encoding: "utf8", maxBuffer: 1e8, env });
}

function secondsOf(work) {
  return time(work) / 1000;
}

function mean(values) {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
