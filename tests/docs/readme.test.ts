import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { VERDICTS } from "../../src/model/finding.js";

const readme = readFileSync("README.md", "utf8");

/** The console blocks of the README: the command, and what it is said to print. */
const examples = [...readme.matchAll(/```console\n\$ muta (.*)\n([\s\S]*?)```/g)].map(
  ([, command = "", output = ""]) => ({ command, output }),
);

describe("README.md", () => {
  it("opens with one paragraph that states the job", () => {
    const [title, job] = readme.split("\n\n");
    expect(title).toBe("# muta");
    expect(job).toMatch(/every change of instrument/);
  });

  it("has worked examples", () => {
    expect(examples.length).toBeGreaterThan(0);
  });

  it.each(examples)("prints what it shows for: muta $command", ({ command, output }) => {
    const run = spawnSync(process.execPath, ["bin/muta.js", ...command.split(" ")], {
      encoding: "utf8",
      env: { ...process.env, COLUMNS: "100", NO_COLOR: "1" },
    });
    expect(run.status).toBe(0);
    // "…" alone on a line stands for lines left out.
    for (const shown of output.split("\n…\n")) expect(run.stdout).toContain(shown.trimEnd());
  });

  it("names every verdict and the CSV header as they are", () => {
    for (const verdict of VERDICTS) expect(readme).toContain(`\`${verdict}\``);
    const run = spawnSync(
      process.execPath,
      [
        "bin/muta.js",
        "check",
        "--format",
        "csv",
        "fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml",
      ],
      { encoding: "utf8" },
    );
    expect(readme).toContain(run.stdout.split("\r\n")[0]);
  });
});
