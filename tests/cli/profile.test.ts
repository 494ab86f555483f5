import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { INSTRUMENT_IDS } from "../../src/model/instrument.js";
import { linesOf, partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

const PART = partWithChange("workable");

interface CheckedPart {
  readonly changes: readonly {
    readonly needed: {
      readonly seconds: number;
      readonly steps: readonly { readonly action: string; readonly seconds: number }[];
    };
    readonly verdict: string;
  }[];
  readonly notices: readonly { readonly kind: string }[];
}

/** `muta check` with a profile of that text, as a run and as what it reports. */
async function checkWith(profile: string, name = "hands.yaml") {
  const cwd = temporaryFolder({ [name]: profile });
  const args = ["check", "-", "--format", "json", "--profile", name];
  return runMuta(args, { stdin: PART, cwd });
}

async function reportWith(profile: string): Promise<CheckedPart> {
  const { code, stdout, stderr } = await checkWith(profile);
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  return JSON.parse(stdout) as CheckedPart;
}

describe("muta profile", () => {
  it("writes what --profile accepts, with the same result until a figure is filled in", async () => {
    const cwd = temporaryFolder();
    const written = await runMuta(["profile", "--out", "hands.yaml"], { cwd });
    expect(written).toEqual({ code: 0, stdout: "", stderr: "" });
    const usual = await runMuta(["check", "-", "--format", "json"], { stdin: PART });
    const assumed = JSON.parse(usual.stdout) as CheckedPart;
    const own = await reportWith(readFileSync(join(cwd, "hands.yaml"), "utf8"));
    expect(assumed.notices.map(({ kind }) => kind)).toEqual([
      "profile-assumed",
      "listen-with-score",
    ]);
    expect(own).toEqual(assumed);
    const filled = readFileSync(join(cwd, "hands.yaml"), "utf8").replace(
      "# moveMouthpieceSeconds: 1.5",
      "moveMouthpieceSeconds: 2",
    );
    const { changes } = await reportWith(filled);
    expect(changes[0]?.needed.seconds).toBe(4);
  });

  it("writes the same to standard output, and says that the figures are assumed", async () => {
    const cwd = temporaryFolder();
    const { code, stdout, stderr } = await runMuta(["profile"]);
    await runMuta(["profile", "--out", "hands.yaml"], { cwd });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(readFileSync(join(cwd, "hands.yaml"), "utf8")).toBe(stdout);
    expect(stdout).toMatch(/^# [^\n]+\n# /);
    expect(linesOf(stdout)[0]).toContain("assumptions");
  });

  it("does not replace a profile, unless --force is given", async () => {
    const cwd = temporaryFolder({ "hands.yaml": "name: mine\n" });
    const args = ["profile", "--out", "hands.yaml"];
    const refused = await runMuta(args, { cwd });
    expect(refused.code).toBe(2);
    expect(linesOf(refused.stderr)).toHaveLength(1);
    expect(readFileSync(join(cwd, "hands.yaml"), "utf8")).toBe("name: mine\n");
    expect((await runMuta([...args, "--force"], { cwd })).code).toBe(0);
    expect(readFileSync(join(cwd, "hands.yaml"), "utf8")).toContain("putDownSeconds");
  });
});

describe("a profile", () => {
  // Usual figures for B-flat to A: down 0.7, mouthpiece 1.5, up 0.7, settle 0.6 (`USUAL_PROFILE`).
  it.each<[string, string, number, string, "all" | "some" | "none"]>([
    [
      "YAML",
      "pairSeconds:\n  clarinet-bflat>clarinet-a: 2.5 # timed on Monday\n",
      2.5,
      "workable",
      "none",
    ],
    ["JSON", '{"pairSeconds": {"clarinet-bflat > clarinet-a": 2.5}}', 2.5, "workable", "none"],
    [
      "the other direction",
      'pairSeconds: {"clarinet-a>clarinet-bflat": 1}',
      3.5,
      "workable",
      "all",
    ],
    ["two mouthpieces", "sharedMouthpiece: []", 2, "workable", "all"],
    ["a slow mouthpiece", "moveMouthpieceSeconds: 4", 6, "impossible", "some"],
    ["one instrument", "instruments: {clarinet-a: {settleSeconds: 2.1}}", 5, "tight", "some"],
    ["no time at all", 'pairSeconds: {"clarinet-bflat>clarinet-a": 0}', 0, "ample", "none"],
    ["only a name", "name: Anna", 3.5, "workable", "all"],
  ])("replaces the usual figures: %s", async (_, profile, seconds, verdict, usual) => {
    const { changes, notices } = await reportWith(profile);
    expect(changes).toHaveLength(1);
    expect(changes[0]?.needed.seconds).toBeCloseTo(seconds, 9);
    expect(changes[0]?.verdict).toBe(verdict);
    const assumed = usual === "none" ? [] : [{ kind: "profile-assumed", all: usual === "all" }];
    const ofHands = notices.filter(({ kind }) => kind !== "listen-with-score");
    expect(ofHands).toMatchObject(assumed);
    expect(ofHands).toHaveLength(assumed.length);
  });

  it("takes the player's figure for any instrument before a usual one for the instrument", async () => {
    const own = "instruments: {clarinet-bflat: {putDownSeconds: 0}}\nusual: {settleSeconds: 9}";
    const { changes } = await reportWith(own);
    expect(changes[0]?.needed.steps).toEqual([
      { action: "put-down", seconds: 0, assumed: false },
      { action: "move-mouthpiece", seconds: 1.5, assumed: true },
      { action: "pick-up", seconds: 0.7, assumed: true },
      { action: "settle", seconds: 9, assumed: false },
    ]);
  });

  // "What you leave out keeps its usual figure", says the head of the profile.
  it.each(["", "# name: Anna\n", "---\n"])("may leave everything out: %j", async (profile) => {
    expect((await reportWith(profile)).changes).toHaveLength(1);
  });

  it("decides the exit code", async () => {
    const cwd = temporaryFolder({ "hands.json": '{"moveMouthpieceSeconds": 4}' });
    const args = ["check", "-", "--fail-on", "impossible"];
    expect((await runMuta(args, { stdin: PART })).code).toBe(0);
    const slow = await runMuta([...args, "--profile", "hands.json"], { stdin: PART, cwd });
    expect(slow.code).toBe(1);
  });
});

describe("a mistake in a profile", () => {
  const KNOWN = `must be one of: ${INSTRUMENT_IDS.join(", ")}`;
  const PAIR = "must be two instruments";
  it.each([
    ["an unknown field", "handTimes: 3", "handTimes: is not a field of a profile"],
    ["a misspelt field", "usual: {putdown: 1}", "usual.putdown: is not a field of a profile"],
    [
      "a text for a number",
      "usual: {putDownSeconds: fast}",
      "usual.putDownSeconds: must be a number",
    ],
    ["a number in quotes", 'pageTurnSeconds: "2"', "pageTurnSeconds: must be a number"],
    ["nothing for a number", "moveMouthpieceSeconds:", "moveMouthpieceSeconds: must be a number"],
    ["no number", "usual: {settleSeconds: .nan}", "usual.settleSeconds: must be a number"],
    ["a negative time", "usual: {pickUpSeconds: -1}", "usual.pickUpSeconds: must not be negative"],
    ["an endless time", "pageTurnSeconds: .inf", "pageTurnSeconds: must be at most 600 seconds"],
    ["a number for a group", "usual: 5", "usual: "],
    ["a number for an instrument", "instruments: {clarinet-a: 5}", "instruments.clarinet-a: "],
    ["an unknown instrument", "instruments: {clarinet: {}}", `instruments.clarinet: ${KNOWN}`],
    ["an unknown instrument carried", "carries: [flute, viola]", `carries.1: ${KNOWN}`],
    ["a text for a list", "carries: flute", "carries: "],
    ["a list for a list of lists", "sharedMouthpiece: [clarinet-a]", "sharedMouthpiece.0: "],
    ["an unknown sharer", "sharedMouthpiece: [[flute, x]]", `sharedMouthpiece.0.1: ${KNOWN}`],
    ["a pair of one", "pairSeconds: {flute: 3}", `pairSeconds.flute: ${PAIR}`],
    [
      "a pair of three",
      'pairSeconds: {"flute>oboe>flute": 3}',
      `pairSeconds.flute>oboe>flute: ${PAIR}`,
    ],
    ["a pair with a stranger", 'pairSeconds: {"flute>x": 3}', `pairSeconds.flute>x: ${PAIR}`],
    [
      "a negative pair",
      'pairSeconds: {"flute>oboe": -3}',
      "pairSeconds.flute>oboe: must not be negative",
    ],
    [
      "a hall below absolute zero",
      "temperature: {hallCelsius: -400}",
      "temperature.hallCelsius: must be between -20 and 50 °C",
    ],
    [
      "a bore in kelvin",
      "temperature: {playingCelsius: 300}",
      "temperature.playingCelsius: must be between -20 and 50 °C",
    ],
    [
      "a hall in words",
      "temperature: {hallCelsius: cold}",
      "temperature.hallCelsius: must be a number of °C",
    ],
    [
      "no time to cool",
      "temperature: {coolingSeconds: 0}",
      "temperature.coolingSeconds: must be at least 1 second",
    ],
    ["an endless cooling", "temperature: {coolingSeconds: .inf}", "temperature.coolingSeconds: "],
    ["a stray temperature", "temperature: {hall: 18}", "temperature.hall: is not a field"],
    ["a number for temperatures", "temperature: 18", "temperature: must be a group of fields"],
    ["a number for a name", "name: 3", "name: must be a text"],
    ["broken YAML", "usual: {settleSeconds: 1", "not readable as YAML or JSON: "],
    ["broken JSON", '{"name": "x"', "not readable as YAML or JSON: "],
    ["a field given twice", "name: a\nname: b", "not readable as YAML or JSON: "],
    ["an alias of nothing", "name: *nobody", "not readable as YAML or JSON: "],
    [
      "aliases that unfold",
      `a: &a [1]\nb: [${"*a, ".repeat(40)}*a]`,
      "not readable as YAML or JSON: ",
    ],
    ["a list", "- 1", ""],
    ["a text", "fast hands", ""],
    ["too much of it", `name: ${"x".repeat(200_000)}`, "the profile is too large"],
    ["a prototype for an instrument", "instruments: {__proto__: {}}", "instruments.__proto__: "],
    ["a constructor", "instruments: {constructor: {}}", "instruments.constructor: "],
    ["a prototype for a pair", "pairSeconds: {__proto__: 3}", `pairSeconds.__proto__: ${PAIR}`],
  ])("names the field: %s", async (_, profile, message) => {
    const { code, stdout, stderr } = await checkWith(profile);
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toContain(`muta: hands.yaml: ${message}`);
  });

  it.each([
    ["missing.yaml", "there is no such file"],
    [".", "cannot be read"],
  ])("is told of when it is in the name of the file: %s", async (name, reason) => {
    const args = ["check", "-", "--profile", name];
    const { code, stdout, stderr } = await runMuta(args, { stdin: PART, cwd: temporaryFolder() });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toContain(`${name}: ${reason}`);
  });

  // The YAML parser has warnings of its own, several lines each.
  it.each(["name: !who Anna", "%YAML 9.9\n---\nname: Anna"])(
    "is told of in one line or not at all: %j",
    async (profile) => {
      const { stderr } = await checkWith(profile);
      expect(stderr).toMatch(/^(?:muta: [^\n]+\n)?$/);
    },
  );

  // Not in those of the schema or of the parser's programming interface.
  it.each(["usual: 5", "carries: flute", "name: a\n---\nname: b"])(
    "is told of in plain words: %j",
    async (profile) => {
      const { stderr } = await checkWith(profile);
      expect(stderr).not.toMatch(/Object|Array|null|YAML\.\w+/);
    },
  );
});
