import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import readSheets from "read-excel-file/node";
import { expect, it } from "vitest";
import { partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

const FILES = {
  "a/1.musicxml": partWithChange("tight"),
  "a/2.musicxml": partWithChange("ample"),
  "b/1.musicxml": "<score-partwise",
  "b/2.musicxml": partWithChange("impossible"),
};

it("gives the same table with one worker, with three, and from the results that were kept", async () => {
  const cwd = temporaryFolder(FILES);
  const cache = temporaryFolder();
  const run = (...args: readonly string[]) =>
    runMuta(["audit", ".", "--format", "csv", ...args], { cwd, env: { MUTA_CACHE: cache } });
  const alone = await run("--workers", "1", "--no-cache");
  expect(alone.code).toBe(2);
  // Three changes inside a file, one between the movements of the first work, one fault.
  expect(alone.stdout.trim().split("\r\n")).toHaveLength(1 + 5);
  expect(readdirSync(cache)).toEqual([]);
  const three = await run("--workers", "3");
  expect(three).toEqual(alone);
  expect(readdirSync(cache).length).toBeGreaterThan(1);
  expect(await run("--workers", "1")).toEqual(alone);
  // Then nothing is found that was kept.
  writeFileSync(join(cache, "secret"), "damaged");
  expect(await run("--workers", "2")).toEqual(alone);
});

it("works without a cache where none can be kept", async () => {
  const cwd = temporaryFolder(FILES);
  const args = ["audit", "a", "--format", "csv"];
  const kept = await runMuta(args, { cwd, env: { MUTA_CACHE: join(cwd, "a/1.musicxml/no") } });
  expect(kept).toEqual(await runMuta([...args, "--no-cache"], { cwd }));
  expect(kept.code).toBe(0);
});

it("writes a workbook: changes, parts and kit, numbers as numbers, titles as text", async () => {
  const cwd = temporaryFolder({
    "=1+1/1.musicxml": partWithChange("tight"),
    "b/1.musicxml": partWithChange("ample"),
  });
  const run = await runMuta(["audit", ".", "--out", "season.xlsx"], { cwd });
  expect(run).toEqual({ code: 0, stdout: "", stderr: "" });
  const sheets = await readSheets(readFileSync(join(cwd, "season.xlsx")));
  expect(sheets.map(({ sheet }) => sheet)).toEqual(["changes", "parts", "kit"]);
  const [header = [], ...rows] = sheets[0]?.data ?? [];
  const column = (name: string) => rows.map((row) => row[header.indexOf(name)]);
  expect(column("verdict")).toEqual(["tight", "ample"]);
  expect(column("work")).toEqual(["=1+1", "b"]);
  expect(column("needed_seconds")).toEqual([3.5, 3.5]);
});

it.each([
  [["--workers", "0"], "Give how many"],
  [["--workers", "two"], "Give how many"],
])("refuses %j", async (args, message) => {
  const cwd = temporaryFolder(FILES);
  const run = await runMuta(["audit", ".", ...args, "--out", "x.csv"], { cwd });
  expect(run.code).toBe(2);
  expect(run.stderr).toContain(message);
  expect(existsSync(join(cwd, "x.csv"))).toBe(false);
});
