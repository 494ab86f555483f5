import { describe, expect, it } from "vitest";
import { linesOf, runMuta, temporaryFolder } from "../support/run-muta.js";
import { A, attributes, B_FLAT, metronome, note, scoreXml } from "../support/score-xml.js";

/** 60 bars of 4 s on the B-flat clarinet, then the A, which has lain for 240 s. */
const PART = scoreXml([
  {
    bars: [
      attributes({ meter: "4/4", transpose: B_FLAT }) + metronome("quarter", "60") + note("C5", 4),
      ...Array.from({ length: 59 }, () => note("C5", 4)),
      attributes({ transpose: A }) + note("E5", 4),
    ],
  },
]);

/** The page on one line, so that no line break is in the way of a sentence. */
async function pageWith(args: readonly string[], profile = ""): Promise<string> {
  const cwd = temporaryFolder({ "mine.yaml": profile });
  const run = await runMuta(["check", "-", ...args], { stdin: PART, cwd });
  expect({ code: run.code, stderr: run.stderr }).toEqual({ code: 0, stderr: "" });
  return run.stdout.replace(/\s+/g, " ");
}

const MINE = ["--profile", "mine.yaml"];

// 27 °C and 600 s are the usual figures; the cents by 600·log2 of the absolute temperatures after 240 s:
// hall 20: 24.692 °C, -6.681; hall 14: 22.714 °C, -12.449; hall 35: 29.637 °C, +7.573 (worked out apart).
describe("the line of an instrument that has lain", () => {
  it.each<[string, readonly string[], string, string]>([
    [
      "by the usual figures",
      [],
      "",
      "A has lain since the beginning, 4 min 00 s: about 7 cents flat at first (hall 20 °C, assumed); blow it warm if you can",
    ],
    [
      "in the hall of the option",
      ["--hall", "14"],
      "",
      "about 12 cents flat at first (hall 14 °C); blow it warm if you can",
    ],
    [
      "in the hall of the profile",
      MINE,
      "temperature: {hallCelsius: 14}",
      "about 12 cents flat at first (hall 14 °C); blow it warm if you can",
    ],
    [
      "by the option before the profile",
      ["--hall", "14", ...MINE],
      "temperature: {hallCelsius: 24}",
      "about 12 cents flat at first (hall 14 °C); blow it warm if you can",
    ],
    [
      "sharp out of doors, where blowing helps nothing",
      ["--hall", "35.0"],
      "",
      "about 8 cents sharp at first (hall 35 °C) →",
    ],
  ])("%s", async (_, args, profile, sentence) => {
    expect(await pageWith(args, profile)).toContain(sentence);
  });

  it.each<[string, readonly string[], string]>([
    ["in a warm hall", ["--hall", "25"], ""],
    ["of an instrument that cools slowly", MINE, "temperature: {coolingSeconds: 3600}"],
    ["of one that is hardly warmed", MINE, "temperature: {playingCelsius: 22}"],
  ])("is not there %s", async (_, args, profile) => {
    expect(await pageWith(args, profile)).not.toMatch(/has lain/);
  });

  it("comes with one caution, which says what is assumed and how to give it", async () => {
    const usual = await pageWith([]);
    expect(usual).toContain(
      "estimate (assumed: hall 20 °C, 27 °C when warm, two thirds cooled in 10 min 00 s)",
    );
    expect(usual).toContain("your ear and your teacher decide; give your figures with --hall or");
    expect(usual.match(/your ear and your teacher/g)).toHaveLength(1);
    const known = await pageWith(["--hall", "16"], "");
    expect(known).toContain("(hall 16 °C; assumed: 27 °C when warm,");
    expect(known).toContain("give your figures with --profile");
    const own = "temperature: {hallCelsius: 16, playingCelsius: 28, coolingSeconds: 300}";
    const all = await pageWith(MINE, own);
    expect(all).toContain("(hall 16 °C, 28 °C when warm, two thirds cooled in 5 min 00 s)");
    expect(all).not.toContain("give your figures");
  });

  it("is of muta check alone", async () => {
    for (const command of ["keys", "plan"]) {
      for (const format of ["text", "json"]) {
        const run = await runMuta([command, "-", "--format", format], { stdin: PART });
        expect(run.code).toBe(0);
        expect(run.stdout).not.toMatch(/has lain|pitch-after-lying/);
      }
    }
  });

  it("has its figures in JSON", async () => {
    const run = await runMuta(["check", "-", "--hall", "14", "-f", "json"], { stdin: PART });
    const { changes } = JSON.parse(run.stdout) as { changes: unknown[] };
    expect(changes).toMatchObject([
      {
        lying: {
          since: null,
          seconds: { likely: 240 },
          cents: { likely: expect.closeTo(-12.449, 3) as number },
          matters: true,
          temperature: { hallCelsius: 14, assumed: ["playingCelsius", "coolingSeconds"] },
        },
      },
    ]);
  });
});

describe("a --hall that is refused", () => {
  it.each<[readonly string[], string]>([
    [["--hall", "-400"], "must be between -20 and 50 °C"],
    [["--hall", "51"], "must be between -20 and 50 °C"],
    [["--hall=-20.5"], "must be between -20 and 50 °C"],
    [["--hall", "293.15"], "must be between -20 and 50 °C"],
    [["--hall", "18,5"], "with a point: 18.5"],
    [["--hall", "cold"], "with a point: 18.5"],
    [["--hall", "64F"], "with a point: 18.5"],
    [["--hall", "1e1"], "with a point: 18.5"],
    [["--hall", ""], "with a point: 18.5"],
    [["--hall", "Infinity"], "with a point: 18.5"],
    [["--hall"], "argument missing"],
    [["--hall", "18", "--hall", "19"], "once only"],
    [["--hall", "18", "--format", "csv"], "csv has no column"],
    [["--hall", "18", "--format", "tsv"], "tsv has no column"],
  ])("%j", async (args, reason) => {
    const { code, stdout, stderr } = await runMuta(["check", "-", ...args], { stdin: PART });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    const [first, ...more] = linesOf(stderr);
    expect(first).toMatch(/^muta: /);
    expect(first).toContain(reason);
    expect(more.filter((line) => line !== "(muta --help shows how it is used)")).toEqual([]);
  });
});
