import { chmodSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { describe, expect, it } from "vitest";
import { hasParallel } from "../support/announce-parallel.js";
import { audit } from "../support/audit-shards.js";
import { linesOf, MUTA, runProgram, temporaryFolder, type Run } from "../support/run-muta.js";
import { generateSeason } from "../support/season.js";

const page = readFileSync("docs/past-one-machine.md", "utf8");

/** The commands under a heading of the page, as they stand there. */
function commandsUnder(heading: string, which = 0): string {
  const section = page.split(`\n## ${heading}\n`)[1]?.split("\n## ")[0] ?? "";
  const block = [...section.matchAll(/```sh\n([\s\S]*?)```/g)][which]?.[1];
  if (block === undefined) throw new Error(`no commands under "${heading}"`);
  return block;
}

/** A folder with so many scores in `library/`, some of them broken, and a `muta` on the path. */
function desk(scores: number, broken: number) {
  const cwd = temporaryFolder();
  symlinkSync(generateSeason(scores, broken).folder, join(cwd, "library"));
  const bin = temporaryFolder({ muta: `#!/bin/sh\nexec '${process.execPath}' '${MUTA}' "$@"\n` });
  chmodSync(join(bin, "muta"), 0o755);
  const env = { PATH: `${bin}${delimiter}${process.env["PATH"] ?? ""}`, HOME: bin };
  const run = (script: string, more: Readonly<Record<string, string>> = {}): Promise<Run> =>
    runProgram("bash", ["-c", script], { cwd, env: { ...env, ...more } });
  return { cwd, run };
}

/** What the report says of broken files. */
const FAULT = /^muta: library\/.*/;

describe("docs/past-one-machine.md", () => {
  it.skipIf(!hasParallel())("gives with GNU Parallel the workbook of one run", async () => {
    const { cwd, run } = desk(60, 3);
    const { code, stdout, stderr } = await run(commandsUnder("One machine, with GNU Parallel"));
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(linesOf(stderr)).toEqual(
      Array.from({ length: 3 }, () => expect.stringMatching(FAULT) as string),
    );
    const plain = await audit(cwd, ["library/", "--no-cache", "--out", "plain.xlsx"]);
    expect(plain).toEqual({ code, stdout, stderr });
    const book = (name: string) => readFileSync(join(cwd, name));
    expect(book("season.xlsx").equals(book("plain.xlsx"))).toBe(true);
  });

  // `split` of GNU coreutils cuts between lines.
  it.skipIf(process.platform !== "linux")(
    "gives in pieces of a job array the table of one run",
    async () => {
      const { cwd, run } = desk(12, 1);
      const [list = "", split = "", , task = "", , join_ = ""] = linesOf(
        commandsUnder("A cluster"),
      );
      const cut = await run(`set -e\n${list}\n${split}`);
      expect(cut).toEqual({ code: 0, stdout: "", stderr: "" });
      // Of the hundred pieces 88 are empty; the last tasks are done first, and two are lost.
      const tasks = Array.from({ length: 100 }, (_, k) => String(99 - k).padStart(2, "0"));
      const filled = tasks.filter(
        (name) => readFileSync(join(cwd, `piece-${name}.ndjson`)).length > 0,
      );
      expect(filled).toHaveLength(12);
      for (const [k, name] of filled.entries()) {
        if (k === 2 || k === 7) continue;
        expect(await run(task, { TASK: name })).toEqual({ code: 0, stdout: "", stderr: "" });
      }
      const rest = await run(commandsUnder("A cluster", 1));
      expect(rest).toEqual({ code: 0, stdout: "", stderr: "" });
      expect(linesOf(readFileSync(join(cwd, "result-rest.ndjson"), "utf8"))).toHaveLength(2);
      const { code, stderr } = await run(join_);
      expect(code).toBe(2);
      expect(linesOf(stderr)).toEqual([expect.stringMatching(FAULT)]);
      await audit(cwd, ["library/", "--no-cache", "--out", "plain.csv"]);
      expect(readFileSync(join(cwd, "season.csv"), "utf8")).toBe(
        readFileSync(join(cwd, "plain.csv"), "utf8"),
      );
    },
  );

  it("has a score done again, and the later result counts", async () => {
    const { cwd, run } = desk(20, 2);
    const first = await run(
      "muta audit library/ --list --format ndjson | muta audit --jobs - > results.ndjson",
    );
    expect(first.code).toBe(0);
    // Work 2/2, the first of the broken ones, is put right.
    writeFileSync(
      join(cwd, "library/Work 2/2.musicxml"),
      readFileSync(join(cwd, "library/Work 1/1.musicxml")),
    );
    const again = await run(
      commandsUnder("What may go wrong").replace("slack-water", "'Work 2/2.musicxml'"),
    );
    expect(again).toEqual({ code: 0, stdout: "", stderr: "" });
    const joined = await audit(cwd, ["library/", "--results", "results.ndjson"]);
    expect(joined).toEqual(await audit(cwd, ["library/", "--no-cache"]));
    expect(linesOf(joined.stderr)).toHaveLength(1);
  });
});
