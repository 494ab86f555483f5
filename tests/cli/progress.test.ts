import { existsSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import stringWidth from "string-width";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { barLine, showProgress, type ProgressStream } from "../../src/cli/progress.js";
import { bundlePrograms, type Programs } from "../support/bundle.js";
import { runProgram } from "../support/run-muta.js";

/** A terminal that keeps what is on it; it knows the few sequences that the bar uses. */
function screen(columns = 60) {
  const lines = [""];
  let raw = "";
  let column = 0;
  const stream: ProgressStream = {
    isTTY: true,
    columns,
    write: (piece: string | Uint8Array) => {
      const text = typeof piece === "string" ? piece : Buffer.from(piece).toString();
      raw += text;

      for (const [token] of text.matchAll(/\u001b\[(\d*)([A-Za-z])|[^]/gu)) {
        const at = lines.length - 1;
        const line = lines[at]!;
        if (token === "\n") {
          lines.push("");
          column = 0;
        } else if (token === "\r" || token === "\u001b[1G") column = 0;
        else if (token === "\u001b[K" || token === "\u001b[0K") lines[at] = line.slice(0, column);
        else if (token === "\u001b[2K") lines[at] = "";
        else if (token.startsWith("\u001b")) throw new Error(`sequence ${JSON.stringify(token)}`);
        else {
          lines[at] =
            line.padEnd(column).slice(0, column) + token + line.slice(column + token.length);
          column += token.length;
        }
      }
      return true;
    },
  };
  return { stream, lines: () => lines.map((line) => line.trimEnd()), raw: () => raw };
}

describe("on a terminal", () => {
  it("counts only, where nobody knows how many there are to do", async () => {
    const { stream, lines } = screen();
    const progress = await showProgress(null, stream);
    for (const name of ["one.mxl", "two.mxl"]) progress.advance(name);
    await sleep(250);
    expect(lines()).toEqual(["2 done  two.mxl"]);
    progress.stop();
    expect(lines()).toEqual([""]);
  });

  it("shows how far the run is, and takes the bar away", async () => {
    const { stream, lines } = screen();
    const progress = await showProgress(4, stream);
    expect(lines()).toEqual(["[------------------------] 0 of 4"]);
    progress.advance("one.mxl");
    progress.advance("two.mxl");
    await sleep(250);
    expect(lines()).toEqual(["[############------------] 2 of 4  two.mxl"]);
    progress.stop();
    expect(lines()).toEqual([""]);
    await sleep(250);
    expect(lines()).toEqual([""]);
  });

  it("keeps notes, with the bar below them", async () => {
    const { stream, lines } = screen();
    const progress = await showProgress(2, stream);
    progress.advance("a");
    await sleep(150);
    progress.note("muta: b.mxl: no such file");
    progress.note("muta: c.mxl: no such file");
    await sleep(250);
    const notes = ["muta: b.mxl: no such file", "muta: c.mxl: no such file"];
    expect(lines()).toEqual([...notes, "[############------------] 1 of 2  a"]);
    progress.stop();
    expect(lines()).toEqual([...notes, ""]);
  });

  it("has no colours and changes nothing that a sudden end could leave changed", async () => {
    const { stream, raw } = screen();
    const progress = await showProgress(2, stream);
    progress.advance("\u001b[31mred\u0007\u202e");
    await sleep(250);
    progress.stop();
    expect(raw()).toContain("[31mred");

    expect(raw()).not.toMatch(/\u001b\[[\d;]*m|\u001b\[\?|\u001b[78]|\u0007|\u202e/);
  });

  it.each([20, 34, 40, 80])("is a line of a terminal of %i columns", (columns) => {
    for (const name of [
      "",
      "x".repeat(500),
      "組曲第二番".repeat(30),
      "👩‍🎤".repeat(60),
      "a\nb\rc\td",
    ]) {
      const line = barLine(3, 60, name, columns);
      expect(stringWidth(line)).toBeLessThan(columns);
      expect(line).toContain("3 of 60");
      expect(line).not.toMatch(/\p{Cc}/u);
    }
  });
});

describe("elsewhere", () => {
  it.each([
    ["a pipe", { isTTY: false }, {}],
    ["a terminal that cannot", { isTTY: true }, { TERM: "dumb" }],
  ])("%s gets notes only", async (_, kind, env) => {
    const before = process.env["TERM"];
    Object.assign(process.env, env);
    try {
      const { stream, lines } = screen();
      const progress = await showProgress(2, { ...stream, ...kind });
      progress.advance("a");
      progress.note("a note");
      progress.advance("b");
      progress.stop();
      expect(lines()).toEqual(["a note", ""]);
    } finally {
      if (before === undefined) delete process.env["TERM"];
      else process.env["TERM"] = before;
    }
  });
});

describe("in a process of its own", () => {
  let programs: Programs;

  beforeAll(async () => {
    programs = await bundlePrograms({ progress: "tests/support/progress-program.ts" });
  });

  afterAll(() => {
    programs.remove();
  });

  it("is silent through a pipe", async () => {
    const run = await runProgram(process.execPath, [programs.path("progress")]);
    expect(run).toEqual({ code: 0, stdout: "result\n", stderr: "muta: a note\n" });
  });

  // util-linux `script` gives its program a terminal.
  it.skipIf(!existsSync("/usr/bin/script"))("draws on a terminal, NO_COLOR or not", async () => {
    for (const NO_COLOR of ["", "1"]) {
      const command = `"${process.execPath}" "${programs.path("progress")}" 2>&1 >/dev/null`;
      const env = { NO_COLOR, TERM: "xterm" };
      const run = await runProgram("/usr/bin/script", ["-qec", command, "/dev/null"], { env });
      expect(run.stdout).toContain("1 of 3  first");
      expect(run.stdout).toContain("muta: a note\r\n");
      expect(run.stdout).not.toContain("result");
    }
  });
});
