import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { VERDICTS, type Verdict } from "../../src/model/finding.js";
import { attributes, B_FLAT, note, scoreXml } from "../support/score-xml.js";
import {
  changeBars,
  linesOf,
  partWithChange,
  runMuta,
  temporaryFolder,
} from "../support/run-muta.js";
import { container, zip } from "../support/zip.js";

// Exit codes: design contract, "0 clean, 1 findings at or above --fail-on, 2 bad input or usage".

const AMPLE = partWithChange("ample");

describe("muta check", () => {
  it("reports on standard output, exits with 0, and says nothing else", async () => {
    const cwd = temporaryFolder({ "part.musicxml": AMPLE });
    const { code, stdout, stderr } = await runMuta(["check", "part.musicxml"], { cwd });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toMatch(/^Clarinet in Bb\n/);
    expect(stdout).toMatch(/B♭ → A\s+ample/);
  });

  const table = VERDICTS.flatMap((verdict) =>
    VERDICTS.map((failOn): [Verdict, Verdict, number] => [
      verdict,
      failOn,
      VERDICTS.indexOf(verdict) >= VERDICTS.indexOf(failOn) ? 1 : 0,
    ]),
  );
  it.each(table)("with a change that is %s, --fail-on %s exits with %d", async (...row) => {
    const [verdict, failOn, code] = row;
    const stdin = partWithChange(verdict);
    const run = await runMuta(["check", "-", "--fail-on", failOn], { stdin });
    expect({ code: run.code, stderr: run.stderr }).toEqual({ code, stderr: "" });
    expect(run.stdout).toContain(`1 ${verdict}`);
  });

  it("exits with 0 whatever it finds when no limit is given", async () => {
    const run = await runMuta(["check", "-"], { stdin: partWithChange("impossible") });
    expect(run.code).toBe(0);
  });

  it.each<[Verdict, number]>([
    ["workable", 1],
    ["tight", 1],
    ["impossible", 0],
  ])("counts a misprint as tight: --fail-on %s exits with %d", async (failOn, code) => {
    // "muta in La", but the transposition stays that of the B-flat clarinet.
    const stdin = scoreXml([{ bars: changeBars(6, B_FLAT) }]);
    const run = await runMuta(["check", "-", "--fail-on", failOn], { stdin });
    expect(run.stdout).toContain("misprint?");
    expect(run.code).toBe(code);
  });

  it("is clean for a part without a change", async () => {
    const bars = [attributes({ meter: "4/4", transpose: B_FLAT }) + note("C5", 4)];
    const stdin = scoreXml([{ bars }]);
    const { code, stdout } = await runMuta(["check", "-", "--fail-on", "ample"], { stdin });
    expect(code).toBe(0);
    expect(stdout).toContain("No change of instrument.");
  });
});

describe("standard input", () => {
  it.each<[string, string | Uint8Array]>([
    ["plain", AMPLE],
    ["compressed", zip([container('full-path="s.xml"'), { name: "s.xml", data: AMPLE }])],
  ])("is read for -, %s", async (_, stdin) => {
    const { code, stdout } = await runMuta(["check", "-"], { stdin });
    expect(code).toBe(0);
    expect(stdout).toContain("1 change: 1 ample.");
  });

  it("is named when it cannot be read", async () => {
    const { code, stdout, stderr } = await runMuta(["check", "-"], { stdin: "" });
    expect({ code, stdout, stderr }).toEqual({
      code: 2,
      stdout: "",
      stderr: "muta: standard input: the file is empty\n",
    });
  });
});

describe("bad input", () => {
  const FILES = {
    "empty.xml": "",
    "notes.txt": "X:1\nK:A",
    "scan.pdf": "%PDF-1.7",
    "cut.musicxml": AMPLE.slice(0, AMPLE.indexOf("</measure>") - 10),
    "page.html": "<html></html>",
    "violin.musicxml": scoreXml([{ name: "Violin", bars: [note("C5", 4)] }]),
    "listed.musicxml": "<score-partwise><part-list/></score-partwise>",
    "esc\u001b[31m.xml": "",
  };
  it.each([
    ["missing.xml", /no such file/],
    [".", /a folder/],
    ["", /no such file/],
    ["empty.xml", /is empty/],
    ["notes.txt", /text, but not MusicXML/],
    ["scan.pdf", /a PDF/],
    ["cut.musicxml", /part P1, bar 1: the file ends inside/],
    ["page.html", /<html>/],
    ["violin.musicxml", /no part is for a woodwind player; there are: P1 Violin/],
    ["listed.musicxml", /no part/],
    ["esc\u001b[31m.xml", /is empty/],
  ])("%j exits with 2, one line on standard error and no output", async (file, reason) => {
    const cwd = temporaryFolder(FILES);
    const { code, stdout, stderr } = await runMuta(["check", file], { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(reason);
    expect(stderr).toMatch(/^muta: /);
    expect(stderr).not.toContain("\u001b");
  });

  it.each(["text", "json", "ndjson", "csv"])(
    "among good files is told of, and the others are reported: %s",
    async (format) => {
      const cwd = temporaryFolder({ "a.xml": AMPLE, "bad.xml": "<x/>", "c.xml": AMPLE });
      const files = ["a.xml", "bad.xml", "missing.xml", "c.xml"];
      const { code, stdout, stderr } = await runMuta(["check", "-f", format, ...files], { cwd });
      expect(code).toBe(2);
      expect(linesOf(stderr)).toEqual([
        "muta: bad.xml: the root element is <x>, not a MusicXML score",
        "muta: missing.xml: no such file",
      ]);
      expect(stdout).toContain("a.xml");
      expect(stdout).toContain("c.xml");
    },
  );

  it("outweighs findings", async () => {
    const cwd = temporaryFolder({ "a.xml": partWithChange("impossible") });
    const args = ["check", "a.xml", "missing.xml", "--fail-on", "ample"];
    expect((await runMuta(args, { cwd })).code).toBe(2);
  });

  it("in one part does not stop the others", async () => {
    const bars = changeBars(6);
    const damaged = [...bars.slice(0, 3), '<note a="1" a="2"/>'];
    const stdin = scoreXml([{ bars: damaged }, { bars }]);
    const { code, stdout, stderr } = await runMuta(["check", "-"], { stdin });
    expect(code).toBe(2);
    expect(stderr).toMatch(/^muta: standard input: part P1, bar 4: [^\n]+\n$/);
    expect(stdout).toContain("1 change: 1 ample.");
  });
});

describe("wrong use", () => {
  it.each([
    [["check"], "missing required argument 'files'"],
    [["check", "--nope", "a.xml"], "unknown option '--nope'"],
    [["frobnicate"], "unknown command 'frobnicate'"],
    [["check", "a.xml", "--format", "pdf"], "argument 'pdf' is invalid"],
    [["check", "a.xml", "--fail-on", "bad"], "argument 'bad' is invalid"],
    [["check", "a.xml", "--part"], "argument missing"],
    [["check", "a.xml", "--delimiter", "ab"], "argument 'ab' is invalid"],
    [["check", "a.xml", "--delimiter", '"'], "is invalid"],
    [["check", "-", "-"], "standard input (-) can be read only once"],
    [["parts"], "missing required argument 'files'"],
    [["profile", "too-many"], "too many arguments"],
  ])("%j exits with 2 and says why", async (args, reason) => {
    const cwd = temporaryFolder({ "a.xml": AMPLE });
    const { code, stdout, stderr } = await runMuta(args, { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    const [first, ...more] = linesOf(stderr);
    expect(first).toMatch(/^muta: /);
    expect(first).toContain(reason);
    // At most the way to the help follows.
    expect(more.filter((line) => line !== "(muta --help shows how it is used)")).toEqual([]);
  });

  it("without a command shows the help and exits with 2", async () => {
    const { code, stdout, stderr } = await runMuta([]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toMatch(/^Usage: muta /);
  });
});

describe("help and version", () => {
  it("prints the version of the package", async () => {
    const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };
    for (const option of ["--version", "-V"]) {
      expect(await runMuta([option])).toEqual({ code: 0, stdout: `${version}\n`, stderr: "" });
    }
  });

  it.each([
    [["--help"], ["check", "parts", "profile"]],
    [
      ["check", "--help"],
      ["--part", "--format", "--out", "--force", "--profile", "--fail-on", "--entries"],
    ],
    [["parts", "--help"], ["--format"]],
    [
      ["profile", "--help"],
      ["--out", "--force"],
    ],
    [
      ["help", "check"],
      ["--delimiter", "--bom", "--no-color"],
    ],
  ])("%j names what there is", async (args, named) => {
    const { code, stdout, stderr } = await runMuta(args);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    for (const each of named) expect(stdout).toContain(each);
  });
});
