import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { jobsOf, ndjson } from "../support/audit-shards.js";
import { linesOf, MUTA, runProgram, type Run } from "../support/run-muta.js";
import { generateSeason } from "../support/season.js";

/**
 * Runs a pipeline of bash in a folder; `muta` in it is the command.
 * @returns what it printed, and the exit code of its last `muta` (not of the last program)
 */
async function pipeline(cwd: string, line: string): Promise<Run> {
  const script = `muta() { '${process.execPath}' '${MUTA}' "$@"; }
${line}
codes=("\${PIPESTATUS[@]}")
exit "\${codes[\${#codes[@]}-2]}"`;
  return runProgram("bash", ["-c", script], { cwd, env: { LC_ALL: "C" } });
}

describe("a reader that goes away", () => {
  it.each([
    ["the table", "muta audit . --format csv | head -1", 1],
    ["the page", "muta audit . | head -2", 2],
    ["the documents", "muta audit . --format ndjson | head -1", 1],
    ["the list of files", "muta audit . --list | head -3", 3],
    ["the jobs", "muta audit . --list --format ndjson | head -1", 1],
    ["the results", "muta audit --jobs jobs.ndjson | head -1", 1],
    ["the results of one worker", "muta audit --jobs jobs.ndjson --workers 1 | head -1", 1],
    ["the results of jobs from a pipe", "cat jobs.ndjson | muta audit --jobs - | head -1", 1],
    // The writer of the jobs never ends of itself.
    [
      "results of jobs without end",
      "(while cat jobs.ndjson; do :; done) 2>&- | muta audit --jobs - | head -1",
      1,
    ],
  ] as const)("ends %s quietly: %s", async (_, line, count) => {
    const { folder } = generateSeason(48, 0);
    writeFileSync(join(folder, "jobs.ndjson"), ndjson(await jobsOf(folder, ["."])));
    const { code, stdout, stderr } = await pipeline(folder, line);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(linesOf(stdout)).toHaveLength(count);
  });

  it("ends the results at once, though more jobs may still come", async () => {
    const { folder } = generateSeason(12, 0);
    const jobs = ndjson(await jobsOf(folder, ["."]));
    const child = spawn(process.execPath, [MUTA, "audit", "--jobs", "-"], {
      cwd: folder,
      stdio: ["pipe", "pipe", "inherit"],
    });
    const ended = once(child, "exit");
    child.stdout.once("data", () => child.stdout.destroy());
    // More than is begun ahead, so that results come; the pipe stays open.
    for (let k = 0; k < 20; k++) child.stdin.write(jobs);
    child.stdin.on("error", () => undefined);
    expect(await ended).toEqual([0, null]);
  });

  it("behind another program is none of its business", async () => {
    const { folder } = generateSeason(48, 0);
    const { code, stdout, stderr } = await runProgram(
      "bash",
      [
        "-c",
        `'${process.execPath}' '${MUTA}' audit . --format csv | sort | head -1; exit "\${PIPESTATUS[0]}"`,
      ],
      { cwd: folder, env: { LC_ALL: "C" } },
    );
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(linesOf(stdout)).toHaveLength(1);
  });
});

describe("a pipeline of all three steps", () => {
  it("is the plain run", async () => {
    const { folder } = generateSeason(20, 3);
    const steps =
      "muta audit . --list --format ndjson | muta audit --jobs - | muta audit . --results - --format csv | cat";
    const joined = await pipeline(folder, steps);
    expect(joined.code).toBe(2);
    expect(joined).toEqual(await pipeline(folder, "muta audit . --format csv --no-cache | cat"));
  });

  it("has no results where there are no jobs", async () => {
    const { folder } = generateSeason(4, 0);
    const { code, stdout } = await pipeline(folder, "true | muta audit --jobs - | cat");
    expect({ code, stdout }).toEqual({ code: 0, stdout: "" });
  });
});
