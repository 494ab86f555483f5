import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

/** One change with six bars' rest, at 2 s a bar. */
const PART = partWithChange("ample");

describe("muta count", () => {
  it("shows the page", async () => {
    const { code, stdout, stderr } = await runMuta(["count", "-"], { stdin: PART });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toMatch(/^RESTS of 4 bars or more, and every change$/m);
    expect(stdout).toMatch(/^ {6}2–7 +1–6 +6 × 4\/4 +12\.0$/m);
    expect(stdout).toMatch(/^ {6}8 +ENTER +beat 1 of 4\/4 +on A$/m);
  });

  it("goes by the player's hands and tempi", async () => {
    const cwd = temporaryFolder({ "slow.csv": "bar,tempo\n1,60\n", "part.xml": PART });
    const args = ["count", "part.xml", "--tempo", "slow.csv", "-f", "json"];
    const { stdout } = await runMuta(args, { cwd });
    const document = JSON.parse(stdout) as {
      parts: { rests: { rest: { seconds: { likely: number } } }[] }[];
    };
    // Six bars of four quarters.
    expect(document.parts[0]!.rests[0]!.rest.seconds.likely).toBeCloseTo(24, 6);
  });

  it.each([
    ["count.csv", /^file,title,movement,part,rest,change,/],
    ["count.json", /^\{\s*"schema": "muta\.count\/1"/],
    ["count.txt", /RESTS of 9 bars or more/],
  ])("writes %s by its ending", async (name, content) => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const args = ["count", "part.xml", "--from-bars", "9", "--out", name];
    expect(await runMuta(args, { cwd })).toEqual({ code: 0, stdout: "", stderr: "" });
    expect(readFileSync(join(cwd, name), "utf8")).toMatch(content);
  });

  it.each(["-1", "2.5", "many"])("refuses --from-bars %s", async (bars) => {
    const run = await runMuta(["count", "-", `--from-bars=${bars}`], { stdin: PART });
    expect(run).toMatchObject({ code: 2, stdout: "" });
    expect(run.stderr).toMatch(/whole number of bars/);
  });
});
