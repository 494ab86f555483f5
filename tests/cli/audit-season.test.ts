import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, realpathSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, relative, sep } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { BROKEN_FILES } from "../support/season/broken.js";
import { faults, table, type Row } from "../support/season/compare.js";
import { expectedRows } from "../support/season/expect.js";
import { filesBelow } from "../support/season/files.js";
import { planSeason, type SeasonPlan } from "../support/season/plan.js";
import { piecesOf } from "../support/season/times.js";
import { writeSeason } from "../support/season/write.js";
import { linesOf, runMuta, temporaryFolder, type Run } from "../support/run-muta.js";

// The expected rows are worked out from the plan of the season, in exact fractions, without anything of src/.

const SEED = 8;
const MOVEMENTS = 200;

const folders: string[] = [];
let sound: WrittenSeason;
let torn: WrittenSeason;
/** What the command gives of both by their season files, with nothing from a cache: the torn one with one worker. */
let soundRun: Run;
let tornRun: Run;

interface WrittenSeason {
  readonly plan: SeasonPlan;
  readonly folder: string;
}

beforeAll(async () => {
  sound = written(0);
  torn = written(BROKEN_FILES.length);
  soundRun = await audit(sound, "season.yaml", "--no-cache");
  tornRun = await audit(torn, "season.yaml", "--no-cache", "--workers", "1");
}, 120_000);

afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function written(broken: number): WrittenSeason {
  const plan = planSeason(SEED, MOVEMENTS, broken);
  const folder = realpathSync(mkdtempSync(join(tmpdir(), "muta-season-")));
  folders.push(folder);
  writeSeason(folder, plan);
  return { plan, folder };
}

function audit({ folder }: WrittenSeason, what: string, ...args: readonly string[]) {
  return runMuta(["audit", what, "-f", "csv", ...args], { cwd: folder });
}

describe("the plan of the generated season", () => {
  it("has what a season has", () => {
    const movements = torn.plan.programmes.flatMap(({ works }) =>
      works.flatMap((work) => work.movements),
    );
    expect(movements.filter(({ music }) => music)).toHaveLength(MOVEMENTS);
    expect(movements.filter(({ music }) => !music)).toHaveLength(10);
    const works = sound.plan.programmes.flatMap((programme) => programme.works);
    expect(new Set(works.map((work) => work.movements.length))).toEqual(new Set([1, 2, 3, 4, 5]));
    expect(sound.plan.programmes.length).toBeGreaterThan(4);
    const rows = expectedRows(sound.plan, "season-file");
    for (const kind of ["change", "between-movements", "between-works"]) {
      expect(rows.filter((row) => row["kind"] === kind).length, kind).toBeGreaterThan(20);
    }
    for (const verdict of ["impossible", "tight", "workable", "ample"]) {
      expect(rows.filter((row) => row["verdict"] === verdict).length, verdict).toBeGreaterThan(20);
    }
    for (const ending of ["musicxml", "xml", "mxl"]) {
      expect(movements.filter(({ file }) => file.endsWith(`.${ending}`)).length).toBeGreaterThan(
        20,
      );
    }
    for (const kind of ["part", "score", "tacet"]) {
      expect(movements.filter(({ music }) => music?.kind === kind).length).toBeGreaterThan(20);
    }
    for (const after of ["attacca", undefined]) {
      expect(movements.filter((each) => each.after === after).length).toBeGreaterThan(20);
    }
  });

  it("has rests with several meters and tempi, 5/8, 7/8, 3/2 and 2/4 in one of them", () => {
    const rests = restsOf(sound.plan);
    expect(rests.filter(({ meters }) => meters.size > 1).length).toBeGreaterThan(50);
    expect(rests.filter(({ tempi }) => tempi > 1).length).toBeGreaterThan(20);
    const mixed = ["5/8", "7/8", "3/2", "2/4"];
    const most = Math.max(
      ...rests.map(({ meters }) => mixed.filter((each) => meters.has(each)).length),
    );
    expect(most).toBe(4);
    const meters = new Set(rests.flatMap((each) => [...each.meters]));
    expect(meters.size).toBe(12);
  });
});

describe(`muta audit on ${MOVEMENTS} movements with known changes, meters and tempi`, () => {
  it("has every row and every figure by the season file, none too many", () => {
    const run = soundRun;
    const expected = expectedRows(sound.plan, "season-file");
    expect(faults(table(run.stdout), expected)).toEqual([]);
    expect(expected.length).toBeGreaterThan(400);
    expect({ code: run.code, stderr: run.stderr }).toEqual({ code: 0, stderr: "" });
  });

  it("has every row and every figure by the folders alone", async () => {
    const run = await audit(sound, ".", "--no-cache");
    const expected = expectedRows(sound.plan, "folders");
    expect(faults(table(run.stdout), expected)).toEqual([]);
    // Nobody says that the section has nothing to play in some of them.
    const missed = expected.filter(({ kind }) => kind === "error").length;
    expect(missed).toBeGreaterThan(20);
    expect(linesOf(run.stderr)).toHaveLength(missed);
  });
});

describe("the same with ten broken files among them, each in its own way", () => {
  it("has a row for each, and all others as they were, whatever the number of workers", async () => {
    const rows = table(tornRun.stdout);
    expect(faults(rows, expectedRows(torn.plan, "season-file"))).toEqual([]);
    const errors = rows.filter(({ kind }) => kind === "error");
    expect(errors.map(({ file }) => file?.split("/").at(-1))).toEqual(
      BROKEN_FILES.map(({ name }) => name),
    );
    expect(linesOf(tornRun.stderr)).toHaveLength(BROKEN_FILES.length);
    linesOf(tornRun.stderr).forEach((line, k) => {
      expect(line.startsWith(`muta: ${errors[k]?.["file"] ?? "?"}: `)).toBe(true);
    });
    expect(tornRun.code).toBe(2);
    // A movement that only its number names has another one now.
    const inside = (all: readonly Row[]) =>
      all.filter(({ kind }) => kind === "change").map((row) => ({ ...row, movement: "" }));
    expect(inside(rows)).toEqual(inside(table(soundRun.stdout)));
    // With two in the tests of the cache.
    expect(await audit(torn, "season.yaml", "--no-cache", "--workers", "3")).toEqual(tornRun);
  });
});

describe("a second run", () => {
  /** All results of a cache and what tells a rewritten one. */
  const entriesOf = (cache: string) =>
    filesBelow(cache)
      .filter((path) => basename(path) !== "secret")
      .map((path) => {
        const { ino, ctimeMs, mtimeMs, size } = statSync(path);
        return { path, ino, ctimeMs, mtimeMs, size };
      });

  it("works nothing out, since it would be kept, and tells what is in the cache", async () => {
    const cache = temporaryFolder();
    const run = (workers: string) =>
      runMuta(["audit", "season.yaml", "-f", "csv", "--workers", workers], {
        ...{ cwd: torn.folder, env: { MUTA_CACHE: cache } },
      });
    expect(await run("2")).toEqual(tornRun);
    const entries = entriesOf(cache);
    // The missing file and the folder have no bytes that a result could be kept for.
    expect(entries).toHaveLength(MOVEMENTS + BROKEN_FILES.length - 2);
    for (const workers of ["1", "2", "3"]) expect(await run(workers)).toEqual(tornRun);
    expect(entriesOf(cache)).toEqual(entries);

    for (const { path } of entries) plant(cache, path);
    const planted = table((await run("2")).stdout);
    // Without its beginning and end no movement has a change into another.
    const kept = table(tornRun.stdout).filter(({ kind }) => kind === "change" || kind === "error");
    expect(kept.length).toBeGreaterThan(200);
    expect(planted).toEqual(
      kept.map((row) => (row["kind"] === "change" ? { ...row, needed_seconds: "9.25" } : row)),
    );
  });
});

/** Puts other figures into an entry: a good sum over the name and the text (see "Cache entries" in DEVELOPERS.md). */
function plant(cache: string, path: string): void {
  const [, text = ""] = readFileSync(path, "utf8").split("\n");
  const planted = JSON.stringify(JSON.parse(text), (name, value: unknown) =>
    name === "neededSeconds" ? 9.25 : name === "edges" ? null : value,
  );
  const key = relative(cache, path).split(sep).join("");
  const sum = createHash("sha256").update(key).update(planted).digest("hex");
  writeFileSync(path, `${sum}\n${planted}`);
}

/** The meters and tempi in every rest in which an instrument is changed inside a file. */
function restsOf({ programmes }: SeasonPlan) {
  const musics = programmes.flatMap(({ works }) =>
    works.flatMap(({ movements }) => movements.flatMap(({ music }) => music ?? [])),
  );
  return musics.flatMap((music) =>
    music.seats.flatMap(({ stays }) =>
      stays.flatMap((stay, k) => {
        const before = stays[k - 1];
        if (!before || before.instrument === stay.instrument) return [];
        const meters = new Set(
          music.bars
            .filter((bar) => piecesOf({ ...music, bars: [bar] }, before.to, stay.from).length > 0)
            .map(({ beats, beatType }) => `${beats}/${beatType}`),
        );
        const inside = music.tempi.filter(
          ({ at }) => at.compare(before.to) > 0 && at.compare(stay.from) < 0,
        );
        return [{ meters, tempi: inside.length + 1 }];
      }),
    ),
  );
}
