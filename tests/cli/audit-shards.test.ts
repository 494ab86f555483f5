import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { audit, altered, jobsOf, ndjson, resultsOf } from "../support/audit-shards.js";
import { linesOf, partWithChange, temporaryFolder } from "../support/run-muta.js";
import { generateSeason } from "../support/season.js";

const SEASON = resolve("fixtures/season/season.yaml");

describe.each([
  // Profiles, a tempo sheet, and a piece that comes twice.
  ["the example season", () => ({ cwd: process.cwd(), season: [SEASON] })],
  ["60 files, three of them broken", () => ({ cwd: generateSeason(60, 3).folder, season: ["."] })],
])("%s, in three pieces done in any order", (_, make) => {
  it("gives the report of one run, to the byte", async () => {
    const { cwd, season } = make();
    const folder = temporaryFolder();
    const jobs = await jobsOf(cwd, season);
    const files: string[] = [];
    for (const piece of [2, 0, 1]) {
      const results = await resultsOf(cwd, jobs.filter((_, k) => k % 3 === piece).toReversed());
      const file = join(folder, `results-${piece}.ndjson`);
      writeFileSync(file, ndjson(results));
      files.push(file);
    }
    for (const options of [
      [],
      ["--format", "csv", "--sort", "worst", "--only", "tight,impossible"],
      ["--format", "json", "--fail-on", "tight"],
      ["--format", "ndjson"],
    ]) {
      // Not from what the pieces left in the cache.
      const plain = await audit(cwd, [...season, ...options, "--no-cache"]);
      expect(plain.stdout).not.toBe("");
      expect(await audit(cwd, [...season, ...options, "--results", ...files])).toEqual(plain);
    }
    const book = async (name: string, ...args: readonly string[]) => {
      const { stdout } = await audit(cwd, [...season, "--out", join(folder, name), ...args]);
      expect(stdout).toBe("");
      return readFileSync(join(folder, name));
    };
    const joined = await book("joined.xlsx", "--results", ...files);
    expect(joined.equals(await book("plain.xlsx", "--no-cache"))).toBe(true);
  });
});

describe("the jobs of a season", () => {
  it("are distinct, name their files by whole paths, and are done from any folder", async () => {
    const jobs = await jobsOf(process.cwd(), ["fixtures/season/season.yaml"]);
    // Eight movements: three come twice, and one twice with another conductor's tempi.
    expect(jobs).toHaveLength(5);
    const read = jobs.map((line) => JSON.parse(line) as { path: string; file: string });
    for (const { path, file } of read) expect(path).toBe(resolve(file));
    const elsewhere = await resultsOf(temporaryFolder(), jobs);
    expect(elsewhere).toEqual(await resultsOf(process.cwd(), jobs));
  });

  it("are written whole or not at all, and never over an input", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("tight"), "old.ndjson": "kept" });
    const list = ["a.xml", "--list", "--format", "ndjson", "--out"];
    expect(await audit(cwd, [...list, "jobs.ndjson"])).toEqual({ code: 0, stdout: "", stderr: "" });
    expect(linesOf(readFileSync(join(cwd, "jobs.ndjson"), "utf8"))).toEqual(
      await jobsOf(cwd, ["a.xml"]),
    );
    const taken = await audit(cwd, [...list, "old.ndjson"]);
    expect(taken).toMatchObject({
      code: 2,
      stderr: "muta: old.ndjson exists; give --force to replace it\n",
    });
    for (const [args, input] of [
      [[...list, "a.xml"], "a.xml"],
      [["--jobs", "jobs.ndjson", "--out", "jobs.ndjson"], "jobs.ndjson"],
      [["--jobs", "jobs.ndjson", "--out", "a.xml"], "a.xml"],
      [
        ["a.xml", "--results", "old.ndjson", "--format", "csv", "--out", "old.ndjson"],
        "old.ndjson",
      ],
    ] as const) {
      const before = readFileSync(join(cwd, input));
      const { code, stderr } = await audit(cwd, [...args, "--force"]);
      expect(code).toBe(2);
      expect(stderr).toContain(`${input} is one of the inputs and is not written to`);
      expect(readFileSync(join(cwd, input)).equals(before)).toBe(true);
    }
  });

  it("that are still to be done are listed on the grounds of the results there are", async () => {
    const { folder } = generateSeason(12, 1);
    const jobs = await jobsOf(folder, ["."]);
    const results = await resultsOf(folder, jobs.slice(3));
    writeFileSync(join(folder, "some.ndjson"), ndjson(results));
    const left = await audit(folder, [
      ".",
      "--list",
      "--format",
      "ndjson",
      "--results",
      "some.ndjson",
    ]);
    expect(left).toEqual({ code: 0, stdout: ndjson(jobs.slice(0, 3)), stderr: "" });
  });
});

describe("results", () => {
  const setUp = async () => {
    const cwd = temporaryFolder({
      "1.xml": partWithChange("ample"),
      "2.xml": partWithChange("tight"),
    });
    const [first = "", second = ""] = await resultsOf(cwd, await jobsOf(cwd, ["."]));
    return { cwd, first, second };
  };
  const report = (cwd: string, lines: readonly string[], ...args: readonly string[]) =>
    audit(
      cwd,
      [".", "--format", "csv", "--columns", "movement,verdict,error", "--results", "-", ...args],
      ndjson(lines),
    );

  it("that are missing are errors of their files", async () => {
    const { cwd, first } = await setUp();
    const { code, stdout, stderr } = await report(cwd, [first]);
    expect(code).toBe(2);
    expect(stdout).toBe(
      "movement,verdict,error\r\n1,ample,\r\n2,,no result of this file in standard input\r\n",
    );
    expect(stderr).toBe("muta: 2.xml: no result of this file in standard input\n");
  });

  it("of another version are refused", async () => {
    const { cwd, first, second } = await setUp();
    const { code, stderr } = await report(cwd, [first, altered(second, { muta: "0.0.9+x" })]);
    expect({ code, stderr }).toEqual({
      code: 2,
      stderr:
        "muta: 2.xml: its result is of another version of muta: do its job again with this one\n",
    });
  });

  it("of other options are refused", async () => {
    const { cwd, first } = await setUp();
    const [, other = ""] = await resultsOf(cwd, await jobsOf(cwd, [".", "--part", "P1"]));
    const { code, stderr } = await report(cwd, [first, other]);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^muta: 2\.xml: its result is of other options .*\n$/);
  });

  it("of no job are told of once, by their number", async () => {
    const { cwd, first, second } = await setUp();
    const elsewhere = temporaryFolder({
      "1.xml": partWithChange("impossible"),
      "3.xml": partWithChange("impossible"),
    });
    // The same name in another folder is another file.
    const strangers = await resultsOf(elsewhere, await jobsOf(elsewhere, ["."]));
    const { code, stdout, stderr } = await report(cwd, [first, ...strangers, second]);
    expect({ code, stderr }).toEqual({
      code: 0,
      stderr: "muta: 2 results are of no job of this season, and not in the report\n",
    });
    expect(stdout).not.toContain("impossible");
  });

  it("that come twice: the later counts", async () => {
    const { cwd, first, second } = await setUp();
    const broken = altered(first, {
      audit: {
        ...{ file: "1.xml", title: "", movement: "", seats: [], durationSeconds: null },
        errors: [{ file: "1.xml", code: "unreadable", message: "the disk was away" }],
      },
    });
    expect((await report(cwd, [broken, first, second])).code).toBe(0);
    expect((await report(cwd, [first, second, broken])).stderr).toBe(
      "muta: 1.xml: the disk was away\n",
    );
  });

  it("with a line that is none are used for the rest", async () => {
    const { cwd, first, second } = await setUp();
    const { code, stdout, stderr } = await report(cwd, [first, "{", second]);
    expect({ code, stderr }).toEqual({
      code: 2,
      stderr: "muta: standard input: line 2: is not readable as JSON\n",
    });
    expect(stdout).toContain("2,tight,");
  });
});

describe("options that make no sense together", () => {
  it.each([
    [[], /name a folder, scores or a season file \(see: muta audit --help\)/],
    [["--results", "r.ndjson", "."], /season file before --results/],
    [["--jobs", "-", "."], /--jobs takes the files that the jobs name, and not \. as well/],
    [["--jobs", "-", "--list"], /--list does nothing with --jobs/],
    [["--jobs", "-", "--results", "r"], /--results does nothing with --jobs/],
    [["--jobs", "-", "--profile", "p"], /--profile does nothing with --jobs/],
    [["--jobs", "-", "--only", "tight"], /--only does nothing with --jobs/],
    [["--jobs", "-", "--format", "csv"], /--jobs gives ndjson, not csv/],
    [["--jobs", "-", "--jobs", "-"], /Give it once only/],
    [[".", "--list", "--format", "csv"], /--list gives the names .* not csv/],
    [[".", "--list", "--sort", "worst"], /--sort does nothing with --list/],
    [[".", "--list", "--workers", "2"], /--workers does nothing with --list/],
    [[".", "--results", "r", "--no-cache"], /--no-cache does nothing with --results/],
    [[".", "--results", "-", "-"], /standard input \(-\) can be read only once/],
    [[".", "--results", "none.ndjson"], /none\.ndjson: there is no such file/],
    [[".", "--results", "."], /\.: cannot be read \(EISDIR\)/],
    [["--jobs", "none.ndjson"], /none\.ndjson: there is no such file/],
  ] as const)("%j", async (args, message) => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("ample") });
    const { code, stdout, stderr } = await audit(cwd, args);
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toMatch(message);
    expect(stderr).not.toMatch(/fault of the program/);
  });
});
