import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { attributes, B_FLAT, note, rest, scoreXml } from "../support/score-xml.js";
import { runMuta, temporaryFolder } from "../support/run-muta.js";
import { container, zip } from "../support/zip.js";

const DEMO = resolve("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");

const BARS = [
  attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + note("C5", 4),
  rest(4),
  note("C5", 4),
  rest(4),
  note("E3", 4),
];
const PART = scoreXml([{ bars: BARS }]);

function rewrite(args: readonly string[], stdin: string | Uint8Array = PART) {
  return runMuta(["rewrite", "-", ...args], { stdin });
}

describe("muta rewrite", () => {
  it("writes the document to standard output, with the bars for the other instrument", async () => {
    const { code, stdout, stderr } = await rewrite(["--bars", "3", "--for", "clarinet-a"]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toContain(`<measure number="3"><attributes><key><fifths>-5</fifths></key>`);
    expect(stdout).toContain("<words>to A clarinet</words>");
    expect(stdout).toContain("<words>to B-flat clarinet</words>");
  });

  it("makes a part that the other commands read as meant", async () => {
    const cwd = temporaryFolder();
    const args = ["--bars", "46-59", "--for", "clarinet-bflat", "--out", "new.musicxml"];
    const run = await runMuta(["rewrite", DEMO, ...args], { cwd });
    expect(run).toEqual({ code: 0, stdout: "", stderr: "" });
    // Without the A clarinet in bars 46 to 59 the repeat makes no change any more.
    const check = await runMuta(["check", "new.musicxml"], { cwd });
    expect(check.stdout).toContain("6 changes: 2 tight, 4 ample; 1");
  });

  it("writes out a plan, which then has nothing more to gain", async () => {
    const cwd = temporaryFolder();
    const args = ["--plan", "best", "--out", "new.musicxml"];
    const run = await runMuta(["rewrite", DEMO, ...args], { cwd });
    expect(run).toEqual({ code: 0, stdout: "", stderr: "" });
    const check = await runMuta(["check", "new.musicxml"], { cwd });
    // The four changes that `muta plan` promises (see the README).
    expect(check.stdout).toContain("4 changes: 4 ample; 1 may be misprinted");
    const plan = await runMuta(["plan", "new.musicxml"], { cwd });
    expect(plan.stdout).toContain("nothing: the printed plan is the best by these prices");
    const again = await runMuta(["rewrite", "new.musicxml", "--plan", "best"], { cwd });
    expect(again.stderr).toBe("muta: nothing to rewrite: the part is printed as the plan has it\n");
    expect(again.stdout).toBe(readFileSync(join(cwd, "new.musicxml"), "utf8"));
  });

  it("heeds the wishes of a plan, and tells of words that it took for right", async () => {
    const args = ["--plan", "fewest-changes", "--fix", "122-128=clarinet-bflat"];
    const { code, stderr, stdout } = await runMuta(["rewrite", DEMO, ...args], {});
    expect(code).toBe(0);
    expect(stderr).toBe(
      "muta: words and transposition disagreed over bars 122–128: they are written as if the words were right; ask the librarian\n",
    );
    expect(stdout).not.toContain("muta in La");
  });

  it("takes several ranges, an en dash, and a compressed file", async () => {
    const archive = zip([container('full-path="score.xml"'), { name: "score.xml", data: PART }]);
    const args = ["--bars", "1–1", "--bars", "3-4", "--for", "clarinet-a"];
    const { code, stdout } = await rewrite(args, archive);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^<\?xml/);
    expect(stdout.match(/<step>D<\/step><alter>-1/g)).toHaveLength(2);
  });

  it("warns of notes that the instrument does not have, and writes all the same", async () => {
    const { code, stdout, stderr } = await rewrite(["--bars", "3-5", "--for", "clarinet-c"]);
    expect(code).toBe(0);
    expect(stderr).toBe("muta: clarinet-c does not have all the notes of bar 5\n");
    expect(stdout).toContain("<octave>3</octave>");
  });

  it.each([
    [["--bars", "3", "--for", "kazoo"], 'muta: --for knows no instrument "kazoo"; it takes '],
    [["--bars", "3-9", "--for", "clarinet-a"], "muta: standard input: bar 9 is not there; "],
    [
      ["--bars", "3", "--for", "clarinet-a", "--out", "x.mxl"],
      "muta: the result is not compressed",
    ],
    [["--for", "clarinet-a"], "muta: say what to rewrite: --bars is missing"],
    [["--bars", "3"], "muta: say what to rewrite: --for is missing"],
    [[], "muta: say what to rewrite: --bars with --for, or --plan is missing"],
    [["--plan", "best", "--bars", "3"], "muta: --bars means nothing with --plan"],
    [["--plan", "best", "--for", "clarinet-a"], "muta: --for means nothing with --plan"],
    [["--bars", "3", "--for", "clarinet-a", "--keep", "clarinet-a"], "muta: --keep means nothing"],
    [["--plan", "quickest"], "Allowed choices are best, balanced"],
    [["--plan", "best", "--fix", "9=clarinet-a"], "--fix names bar 9, which is not there"],
  ])("refuses %j", async (args, message) => {
    const { code, stdout, stderr } = await rewrite(args);
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toContain(message);
  });

  it("asks for one part where the file has several", async () => {
    const two = scoreXml([{ bars: BARS }, { bars: BARS }]);
    const args = ["--bars", "3", "--for", "clarinet-a"];
    const { code, stderr } = await rewrite(args, two);
    expect(code).toBe(2);
    expect(stderr).toContain("choose with --part from P1 Clarinet in Bb, P2 Clarinet in Bb");
    expect((await rewrite([...args, "--part", "P2"], two)).code).toBe(0);
  });

  it("never writes to its input, nor over a file unless --force is given", async () => {
    const cwd = temporaryFolder({ "part.xml": PART, "old.xml": "old" });
    const run = (out: string, ...more: string[]) =>
      runMuta(
        ["rewrite", "part.xml", "--bars", "3", "--for", "clarinet-a", "--out", out, ...more],
        { cwd },
      );
    expect((await run("part.xml", "--force")).code).toBe(2);
    expect((await run("old.xml")).code).toBe(2);
    expect(readFileSync(join(cwd, "part.xml"), "utf8")).toBe(PART);
    expect(readFileSync(join(cwd, "old.xml"), "utf8")).toBe("old");
    expect((await run("old.xml", "--force")).code).toBe(0);
    expect(readFileSync(join(cwd, "old.xml"), "utf8")).toContain("to A clarinet");
  });
});
