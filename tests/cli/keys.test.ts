import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { note, rest, scoreXml } from "../support/score-xml.js";
import { back } from "../analyses/change-cases.js";
import { inVoice, opening, run } from "../analyses/difficulty-cases.js";
import { linesOf, runMuta, temporaryFolder } from "../support/run-muta.js";

/** Sixteen tongued sixteenths at 120, 8 a second, and a long note. */
const BARS = [opening(120, { fifths: 4 }) + run("E4 F#4 G#4 A4", 0.25).repeat(4), note("B4", 4)];
const PART = scoreXml([{ bars: BARS }]);
const SCORE = scoreXml([
  { name: "Flute", bars: [opening(120, { transpose: [0, 0] }) + note("C5", 4), rest(4)] },
  { name: "Clarinet 1 in Bb", bars: BARS },
  { name: "Clarinet 2 in Bb", bars: [opening(120) + note("C5", 4), rest(4)] },
]);

interface KeysDocument {
  readonly parts: readonly {
    readonly part: { readonly name: string };
    readonly passages: readonly {
      readonly notes: number;
      readonly notesPerSecond: { readonly quickest: number } | null;
      readonly choices: readonly { readonly instrument: string }[];
    }[];
    readonly demands: readonly { readonly kind: string; readonly text: string }[];
  }[];
  readonly errors: readonly { readonly file: string; readonly code: string }[];
}

async function keys(args: readonly string[], stdin = PART, cwd?: string): Promise<KeysDocument> {
  const run = await runMuta(["keys", "-", "-f", "json", ...args], { stdin, ...(cwd && { cwd }) });
  expect({ code: run.code, stderr: run.stderr }).toEqual({ code: 0, stderr: "" });
  return JSON.parse(run.stdout) as KeysDocument;
}

describe("muta keys", () => {
  it("shows the comparison as a page", async () => {
    const { code, stdout, stderr } = await runMuta(["keys", "-"], { stdin: PART });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toMatch(/^PASSAGES$/m);
    expect(stdout).toMatch(/^WHOLE PART, mean difficulty$/m);
    expect(stdout).toMatch(/bar 1: 16 tongued notes at 8\.0 a second \(usual limit 7\.5\)/);
  });

  it("takes every clarinet, or the parts asked for", async () => {
    const names = async (...args: readonly string[]) =>
      (await keys(args, SCORE)).parts.map(({ part }) => part.name);
    expect(await names()).toEqual(["Clarinet 1 in Bb", "Clarinet 2 in Bb"]);
    expect(await names("--part", "Flute")).toEqual(["Flute"]);
    expect(await names("--part", "*2*")).toEqual(["Clarinet 2 in Bb"]);
    expect(await names("--player", "2")).toEqual(["Clarinet 2 in Bb"]);
  });

  it("rates one player of a shared staff by that player's notes", async () => {
    const upper = run("G5 A5 G5 A5", 1, inVoice(1));
    const lower = run("E5 F5", 2, inVoice(2));
    const shared = scoreXml([
      { name: "Clarinets in Bb", bars: [opening(60) + upper + back(4) + lower] },
    ]);
    const of = async (player: string) =>
      (await keys(["--player", player], shared)).parts[0]!.passages;
    expect(await of("1")).toMatchObject([{ notes: 4, notesPerSecond: { quickest: 1 } }]);
    expect(await of("2")).toMatchObject([{ notes: 2, notesPerSecond: { quickest: 0.5 } }]);
  });

  it("compares what the profile carries, against the player's own limits", async () => {
    const cwd = temporaryFolder({
      "mine.yaml": "carries: [clarinet-c, clarinet-d]\nlimits:\n  tonguingPerSecond: 7\n",
      "fast.yaml": "limits: { tonguingPerSecond: 9 }\n",
      "wrong.yaml": "limits: { tonguingPerSecond: quick }\n",
    });
    const [mine] = (await keys(["--profile", "mine.yaml"], PART, cwd)).parts;
    expect(mine!.passages[0]!.choices.map(({ instrument }) => instrument)).toEqual([
      "clarinet-bflat", "clarinet-c", "clarinet-d",
    ]); // prettier-ignore
    expect(mine!.demands[0]!.text).toContain("your limit 7)");
    expect((await keys(["--profile", "fast.yaml"], PART, cwd)).parts[0]!.demands).toEqual([]);
    const wrong = await runMuta(["keys", "-", "--profile", "wrong.yaml"], { stdin: PART, cwd });
    expect(wrong).toMatchObject({ code: 2, stdout: "" });
    expect(wrong.stderr).toContain("limits.tonguingPerSecond: must be a number");
  });

  it("goes by the player's tempi", async () => {
    const cwd = temporaryFolder({ "slow.csv": "bar,tempo\n1,60\n" });
    const [slow] = (await keys(["--tempo", "slow.csv"], PART, cwd)).parts;
    expect(slow!.demands).toEqual([]);
    // Sixteen sixteenths at 60.
    expect(slow!.passages[0]!.notesPerSecond!.quickest).toBeCloseTo(4, 6);
  });

  it.each([
    ["keys.csv", /^file,title,movement,part,passage,/],
    ["keys.json", /^\{\s*"schema": "muta\.keys\/1"/],
    ["keys.txt", /PASSAGES/],
  ])("writes %s by its ending, once", async (name, content) => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const args = ["keys", "part.xml", "--out", name];
    expect(await runMuta(args, { cwd })).toEqual({ code: 0, stdout: "", stderr: "" });
    expect(readFileSync(join(cwd, name), "utf8")).toMatch(content);
    expect(await runMuta(args, { cwd })).toMatchObject({ code: 2, stdout: "" });
    expect(await runMuta([...args, "--force"], { cwd })).toMatchObject({ code: 0 });
  });

  it("never writes over an input", async () => {
    const cwd = temporaryFolder({ "part.xml": PART, "mine.yaml": "name: me\n" });
    for (const out of ["part.xml", "mine.yaml"]) {
      const args = ["keys", "part.xml", "--profile", "mine.yaml", "--out", out, "--force"];
      const { code, stderr } = await runMuta(args, { cwd });
      expect({ code, stderr }).toMatchObject({
        code: 2,
        stderr: expect.stringContaining("one of the inputs") as string,
      });
    }
    expect(readFileSync(join(cwd, "part.xml"), "utf8")).toBe(PART);
  });

  it("keeps hostile titles from spreadsheets and terminals", async () => {
    const hostile = scoreXml(
      [{ name: "Clarinet &#x202e;=2+2", bars: BARS }],
      "<work><work-title>=1+1</work-title></work>",
    );
    const csv = await runMuta(["keys", "-", "-f", "csv"], { stdin: hostile });
    expect(csv.stdout.split("\r\n")[1]).toMatch(/^-?[^,]*,'=1\+1,/);
    const page = await runMuta(["keys", "-"], { stdin: hostile });
    expect(page.stdout).toContain("=1+1");
    expect(page.stdout).not.toContain("\u202e");
  });

  it("reports the good file of two, and the fault of the other", async () => {
    const cwd = temporaryFolder({ "good.xml": PART, "bad.xml": PART.slice(0, 400) });
    const run = await runMuta(["keys", "bad.xml", "good.xml", "-f", "json"], { cwd });
    expect(run.code).toBe(2);
    expect(linesOf(run.stderr)).toEqual([expect.stringMatching(/^muta: bad\.xml/)]);
    const { parts, errors } = JSON.parse(run.stdout) as KeysDocument;
    expect(parts).toHaveLength(1);
    expect(errors).toMatchObject([{ file: "bad.xml" }]);
  });

  it("writes nothing where nothing could be read", async () => {
    const cwd = temporaryFolder({ "bad.xml": "<score-partwise>" });
    const run = await runMuta(["keys", "bad.xml", "--out", "keys.csv"], { cwd });
    expect(run).toMatchObject({ code: 2, stdout: "" });
    expect(existsSync(join(cwd, "keys.csv"))).toBe(false);
  });

  it.each([
    ["standard input twice", ["-", "-"], /can be read only once/],
    ["a format of another command", ["-", "-f", "ndjson"], /Allowed choices are text, json, csv/],
    ["no file", [], /missing required argument/],
    ["no player 0", ["-", "--player", "0"], /number of the player/],
  ])("refuses %s", async (_, args, message) => {
    const run = await runMuta(["keys", ...args], { stdin: PART });
    expect(run).toMatchObject({ code: 2, stdout: "" });
    expect(run.stderr).toMatch(message);
  });
});
