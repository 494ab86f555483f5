import {
  chmodSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  symlinkSync,
} from "node:fs";
import { join } from "node:path";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import {
  changeBars,
  linesOf,
  MUTA,
  partWithChange,
  runMuta,
  runProgram,
  temporaryFolder,
} from "../support/run-muta.js";
import { attributes, B_FLAT, note, rest, scoreXml } from "../support/score-xml.js";

const PART = partWithChange("tight");
const OLD = "what was there before\n";

/** Everything in a folder with its content: nothing may be left over or changed. */
function contents(folder: string): Readonly<Record<string, string>> {
  return Object.fromEntries(
    readdirSync(folder, { withFileTypes: true })
      .filter((each) => each.isFile())
      .map(({ name }) => [name, readFileSync(join(folder, name), "utf8")]),
  );
}

describe("--out", () => {
  it("writes what standard output would have had, and nothing to standard output", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const plain = await runMuta(["check", "part.xml"], { cwd });
    const run = await runMuta(["check", "part.xml", "--out", "page.txt"], { cwd });
    expect(run).toEqual({ code: 0, stdout: "", stderr: "" });
    expect(contents(cwd)).toEqual({ "part.xml": PART, "page.txt": plain.stdout });
  });

  it("takes - for standard output", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const run = await runMuta(["check", "part.xml", "--out", "-"], { cwd });
    expect(run.stdout).toContain("1 change: 1 tight.");
    expect(Object.keys(contents(cwd))).toEqual(["part.xml"]);
  });

  it("keeps the exit code of the findings", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const args = ["check", "part.xml", "--out", "page.txt", "--fail-on", "tight"];
    expect(await runMuta(args, { cwd })).toEqual({ code: 1, stdout: "", stderr: "" });
    expect(contents(cwd)["page.txt"]).toContain("1 change: 1 tight.");
  });

  it("does not replace a file, unless --force is given", async () => {
    const cwd = temporaryFolder({ "part.xml": PART, "page.txt": OLD });
    const args = ["check", "part.xml", "--out", "page.txt"];
    expect(await runMuta(args, { cwd })).toEqual({
      code: 2,
      stdout: "",
      stderr: "muta: page.txt exists; give --force to replace it\n",
    });
    expect(contents(cwd)).toEqual({ "part.xml": PART, "page.txt": OLD });
    expect((await runMuta([...args, "--force"], { cwd })).code).toBe(0);
    expect(Object.keys(contents(cwd))).toEqual(["page.txt", "part.xml"]);
    expect(contents(cwd)["page.txt"]).toContain("1 change: 1 tight.");
  });

  it("writes nothing when nothing could be read", async () => {
    const cwd = temporaryFolder({ "page.txt": OLD });
    const run = await runMuta(["check", "missing.xml", "--out", "page.txt", "--force"], { cwd });
    expect(run.code).toBe(2);
    expect(contents(cwd)).toEqual({ "page.txt": OLD });
  });
});

describe("an input", () => {
  const FORCED = ["--format", "csv", "--force"];

  it.each([
    ["by its name", "part.xml"],
    ["by another path", "./sub/../part.xml"],
    ["through a symbolic link", "link.xml"],
    ["through a linked folder", "folder/part.xml"],
  ])("is never written to, %s", async (_, out) => {
    const cwd = temporaryFolder({ "other.xml": PART, "part.xml": PART });
    mkdirSync(join(cwd, "sub"));
    symlinkSync("part.xml", join(cwd, "link.xml"));
    symlinkSync(".", join(cwd, "folder"));
    const args = ["check", "other.xml", "part.xml", "--out", out, ...FORCED];
    const { code, stdout, stderr } = await runMuta(args, { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toBe(`muta: ${out} is one of the inputs and is not written to\n`);
    expect(contents(cwd)).toEqual({ "other.xml": PART, "part.xml": PART });
  });

  it("given as a link is not written to either", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    symlinkSync("part.xml", join(cwd, "link.xml"));
    const run = await runMuta(["check", "link.xml", "--out", "part.xml", ...FORCED], { cwd });
    expect(run.code).toBe(2);
    expect(contents(cwd)).toEqual({ "part.xml": PART });
  });

  it("keeps its content when another name of the same file is replaced", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    linkSync(join(cwd, "part.xml"), join(cwd, "twin.xml"));
    await runMuta(["check", "part.xml", "--out", "twin.xml", ...FORCED], { cwd });
    expect(contents(cwd)["part.xml"]).toBe(PART);
  });

  it("is the profile, too, when there is one", async () => {
    const profile = "pageTurnSeconds: 2\n";
    const cwd = temporaryFolder({ "part.xml": PART, "hands.yaml": profile });
    const args = ["check", "part.xml", "--profile", "hands.yaml", "--out", "hands.yaml"];
    expect((await runMuta([...args, "--force"], { cwd })).code).toBe(2);
    expect(contents(cwd)["hands.yaml"]).toBe(profile);
  });
});

describe("what cannot be written", () => {
  it.each<[string, readonly string[]]>([
    ["no/such/folder.txt", []],
    ["folder", []],
    ["folder", ["--force"]],
    ["", []],
    ["part.xml/page.txt", []],
    ["loop", ["--force"]],
    ["n".repeat(300), []],
    ["n".repeat(240), []],
  ])("is refused in one line, with nothing left over: %s %j", async (out, more) => {
    const cwd = temporaryFolder({ "part.xml": PART });
    mkdirSync(join(cwd, "folder"));
    symlinkSync("loop", join(cwd, "loop"));
    const run = await runMuta(["check", "part.xml", "--out", out, ...more], { cwd });
    // A name that the system takes, though longer than our draft's could be, may as well be written.
    if (run.code === 0) expect(contents(cwd)[out]).toContain("1 change: 1 tight.");
    else {
      expect(run.code).toBe(2);
      expect(linesOf(run.stderr)).toHaveLength(1);
      expect(contents(cwd)).toEqual({ "part.xml": PART });
    }
    expect(readdirSync(join(cwd, "folder"))).toEqual([]);
  });

  // The system lets its administrator write anywhere.
  it.skipIf(process.getuid?.() === 0)("a folder without permission is left alone", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    mkdirSync(join(cwd, "locked"), { mode: 0o555 });
    const run = await runMuta(["check", "part.xml", "--out", "locked/page.txt"], { cwd });
    expect(run.code).toBe(2);
    expect(run.stderr).toBe("muta: cannot write locked/page.txt: EACCES\n");
    expect(readdirSync(join(cwd, "locked"))).toEqual([]);
    chmodSync(join(cwd, "locked"), 0o755);
  });

  // Not with exit code 1, which would mean findings.
  it.runIf(process.platform === "linux")("a full disk is told of in one line", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const command = `"${process.execPath}" "${MUTA}" check part.xml > /dev/full`;
    const { code, stderr } = await runProgram("sh", ["-c", command], { cwd });
    expect(code).toBe(2);
    expect(linesOf(stderr)).toHaveLength(1);
  });
});

describe("a reader that goes away", () => {
  it("ends the output quietly", async () => {
    // More than any pipe holds, so that the rest is refused.
    const bars = Array.from({ length: 400 }, () => rest(4) + note("C5", 4));
    const stdin = scoreXml([{ bars: [attributes({ transpose: B_FLAT }), ...bars] }]);
    const whole = await runMuta(["check", "-", "--format", "json"], { stdin });
    const cut = await runMuta(["check", "-", "--format", "json"], { stdin, hangUp: true });
    expect(cut.stdout.length).toBeLessThan(whole.stdout.length);
    expect(cut).toMatchObject({ code: 0, stderr: "" });
  });
});

describe("colours", () => {
  const ESCAPE = "\u001b[";

  it.each(["text", "json", "csv"])("never go into a pipe or a file: %s", async (format) => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const args = ["check", "part.xml", "--format", format];
    const env = { TERM: "xterm-256color", FORCE_COLOR: "1", COLORTERM: "truecolor" };
    expect((await runMuta(args, { cwd, env })).stdout).not.toContain("\u001b");
    await runMuta([...args, "--out", "page"], { cwd, env });
    expect(contents(cwd)["page"]).not.toContain("\u001b");
  });

  // A terminal to run in, from util-linux; elsewhere the command of that name takes other options.
  const hasTerminal = process.platform === "linux" && existsSync("/usr/bin/script");
  it.runIf(hasTerminal).each<[string, Readonly<Record<string, string>>, string, boolean]>([
    ["nothing else", {}, "", true],
    ["an empty NO_COLOR", { NO_COLOR: "" }, "", true],
    ["NO_COLOR", { NO_COLOR: "1" }, "", false],
    ["--no-color", {}, "--no-color", false],
    ["TERM=dumb", { TERM: "dumb" }, "", false],
  ])("on a terminal with %s", async (_, env, option, coloured) => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const command = `"${process.execPath}" "${MUTA}" check part.xml ${option}`;
    const run = await runProgram("script", ["-qec", command, "/dev/null"], {
      cwd,
      env: { TERM: "xterm", ...env },
    });
    expect(run.stdout).toContain("TIGHT");
    expect(run.stdout.includes(ESCAPE)).toBe(coloured);
  });
});

describe("the width of the page", () => {
  const NAME = "Clarinet in Bb, doubling A, with a name that goes on for quite some time";
  const TITLE =
    "<work><work-title>Ein Titel, 很长的标题, that no narrow stand holds</work-title></work>";
  const PAGE = scoreXml(
    [{ name: NAME, bars: [...changeBars(1), ...changeBars(2), ...changeBars(3, B_FLAT)] }],
    TITLE,
  );

  /** Lines that are too wide although they could have been broken between two words. */
  function tooWide(text: string, width: number): readonly string[] {
    return linesOf(text).filter((line) => stringWidth(line) > width && line.trim().includes(" "));
  }

  it.each([40, 60, 80, 120])("is that of COLUMNS, %d", async (columns) => {
    const { stdout } = await runMuta(["check", "-"], {
      stdin: PAGE,
      env: { COLUMNS: String(columns) },
    });
    expect(stdout).toMatch(/5\s+changes/);
    expect(tooWide(stdout, columns)).toEqual([]);
  });

  it.each([40, 60, 80, 120])("is kept by the list of entries, too: %d", async (columns) => {
    const { stdout } = await runMuta(["check", "-", "--entries"], {
      stdin: PAGE,
      env: { COLUMNS: String(columns) },
    });
    expect(stdout).toContain("ENTRIES");
    expect(tooWide(stdout, columns)).toEqual([]);
  });

  it.each(["", "0", "-5", "wide", "1e9", "3"])("is a sensible one for COLUMNS=%j", async (text) => {
    const { code, stdout } = await runMuta(["check", "-"], { stdin: PAGE, env: { COLUMNS: text } });
    expect(code).toBe(0);
    expect(tooWide(stdout, 140)).toEqual([]);
    expect(Math.max(...linesOf(stdout).map((line) => stringWidth(line)))).toBeGreaterThan(36);
  });
});
