import { spawnSync } from "node:child_process";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { expect, it } from "vitest";
import { MUTA, runMuta, temporaryFolder } from "../support/run-muta.js";

const page = readFileSync("docs/from-the-folder-to-the-spreadsheet.md", "utf8");

/** The blocks of a page in their order: how they are marked, and their text. */
const blocks = [...page.matchAll(/```(sh|console|yaml)\n([\s\S]*?)```/g)].map(
  ([, kind = "", text = ""]) => ({ kind, text }),
);

/** A folder with the example in it, as the page has it made, and the command by its name. */
function exampleFolder() {
  const cwd = temporaryFolder();
  for (const name of ["season", "demo"]) {
    cpSync(join("fixtures", name), join(cwd, name), { recursive: true });
  }
  const bin = temporaryFolder();
  const script = `#!/bin/sh\nexec '${process.execPath}' '${MUTA}' "$@"\n`;
  writeFileSync(join(bin, "muta"), script, { mode: 0o755 });
  const path = [bin, process.env["PATH"]].join(delimiter);
  const env = { ...process.env, PATH: path, COLUMNS: "100", NO_COLOR: "1" };
  return { cwd, env };
}

it("does, in an empty folder, all that it says, and prints what it shows", () => {
  const { cwd, env } = exampleFolder();
  const commands = blocks.filter(({ kind }) => kind !== "yaml");
  expect(commands.length).toBeGreaterThan(5);
  for (const { kind, text } of commands) {
    const [, command, shown = ""] =
      kind === "console" ? (/^\$ (.*)\n([\s\S]*)$/.exec(text) ?? []) : ["", text];
    expect(command, text).toBeDefined();
    const run = spawnSync("sh", ["-ec", command ?? ""], { cwd, env, encoding: "utf8" });
    expect({ command, status: run.status, stderr: run.stderr }).toEqual({
      ...{ command, status: 0, stderr: "" },
    });
    // A block with nothing shown prints nothing; "…" alone on a line stands for lines left out.
    if (kind === "sh") expect(run.stdout).toBe("");
    const stdout = run.stdout.replaceAll("\r\n", "\n");
    for (const piece of shown.split(/^…\n/m)) expect(stdout).toContain(piece.trimEnd());
  }
});

it("has a season file that can be used as it stands", async () => {
  const { cwd } = exampleFolder();
  const [yaml] = blocks.filter(({ kind }) => kind === "yaml");
  writeFileSync(join(cwd, "season", "shown.yaml"), yaml?.text ?? "");
  const { code, stdout, stderr } = await runMuta(["audit", "season/shown.yaml"], { cwd });
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  expect(stdout).toMatch(
    /^Spring at Saltmere Vale\n1 programme · 2 works · 4 movements · 2 players\n/,
  );
});
