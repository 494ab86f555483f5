import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { attributes, metronome, note, rest, scoreXml, words } from "../support/score-xml.js";
import { linesOf, runMuta, temporaryFolder } from "../support/run-muta.js";

const DEMO = resolve("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
const SHEET = resolve("fixtures/demo/tempi-of-the-season.yaml");
const RECORDING = resolve("fixtures/demo/broadcast-of-the-premiere.csv");

const FERMATA = "<notations><fermata/></notations>";
const BACK = `<barline location="right"><repeat direction="backward"/></barline>`;
/** 4/4 at quarter = 120, repeated, slowing down into bar 3, and a held rest. */
const PART = scoreXml([
  {
    bars: [
      attributes({ meter: "4/4" }) + metronome("quarter", "120") + note("C5", 4),
      rest(4) + BACK,
      words("rit.") + rest(4, FERMATA),
      metronome("quarter", "60") + note("C5", 4),
    ],
  },
]);

interface TempoDocument {
  readonly schema: string;
  readonly parts: readonly {
    readonly durationSeconds: { readonly short: number; readonly likely: number };
    readonly tempi: readonly {
      readonly from: { readonly barLabel: string; readonly pass: number };
      readonly quartersPerMinute: { readonly likely: number };
      readonly endQuartersPerMinute?: { readonly likely: number };
      readonly seconds: { readonly likely: number };
      readonly source: string;
    }[];
    readonly pauses: readonly { readonly sign: string }[];
    readonly recordings: readonly { readonly seconds: number }[];
  }[];
}

interface CheckDocument {
  readonly playedBars: number;
  readonly changes: readonly {
    readonly rest: {
      readonly seconds: { readonly short: number; readonly likely: number; readonly long: number };
      readonly tempoSource: string;
      readonly marked?: { readonly tempoSource: string; readonly seconds: { likely: number } };
      readonly recordings?: readonly { readonly recording: string; readonly seconds: number }[];
    };
  }[];
  readonly notices: readonly { readonly kind: string; readonly text: string }[];
}

async function tempoOf(args: readonly string[], stdin = PART): Promise<TempoDocument> {
  const { code, stdout, stderr } = await runMuta(["tempo", "-", "-f", "json", ...args], { stdin });
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  return JSON.parse(stdout) as TempoDocument;
}

async function checkDemo(...args: readonly string[]): Promise<CheckDocument> {
  const { code, stdout, stderr } = await runMuta(["check", DEMO, "-f", "json", ...args]);
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  return JSON.parse(stdout) as CheckDocument;
}

describe("muta tempo", () => {
  it("shows every tempo with its time and its source, and what comes on top", async () => {
    const { schema, parts } = await tempoOf([]);
    expect(schema).toBe("muta.tempo/1");
    const [part] = parts;
    expect(part?.tempi).toMatchObject([
      // 16 quarters at 120
      { from: { barLabel: "1" }, source: "metronome", seconds: { likely: 8 } },
      // From 120 to 60: 60 x 4 ln(60/120) / (60 - 120) = 4 ln 2
      {
        from: { barLabel: "3" },
        endQuartersPerMinute: { likely: 60 },
        seconds: { likely: expect.closeTo(4 * Math.LN2, 5) as number },
      },
      { from: { barLabel: "4" }, quartersPerMinute: { likely: 60 }, seconds: { likely: 4 } },
    ]);
    expect(part?.pauses).toMatchObject([{ sign: "fermata", at: { barLabel: "3" } }]);
  });

  it("as a page: tempo in the beat, seconds, mark and source", async () => {
    const { stdout } = await runMuta(["tempo", "-"], { stdin: PART, env: { COLUMNS: "100" } });
    const lines = linesOf(stdout);
    expect(lines).toContainEqual(
      expect.stringMatching(
        /^ {2}bar 1 {2,}quarter = 120 \(113–127\) .*8\.0 s .*, played 2 times$/,
      ),
    );
    expect(lines).toContainEqual(
      expect.stringMatching(/^ {2}bar 3 {2,}quarter = 120 \(113–127\) to 60 \(56–64\) .*rit\./),
    );
    expect(lines).toContain("  bar 3: fermata, perhaps 0.5–5 s");
  });

  it("as a table, safe for spreadsheets", async () => {
    const hostile = PART.replace("rit.", "=rit. 1");
    const { stdout } = await runMuta(["tempo", "-", "-f", "csv"], { stdin: hostile });
    const rows = stdout.trimEnd().split("\r\n");
    expect(rows[0]).toMatch(
      /^file,part,from_bar,from_pass,from_beat,until_bar,.*,source,assumed,mark$/,
    );
    expect(rows).toHaveLength(4);
    expect(rows[2]).toMatch(/,'=rit\. 1$/);
  });

  it("works for a part that no woodwind plays", async () => {
    const timpani = scoreXml([
      { name: "Timpani", bars: [attributes({ meter: "4/4" }) + metronome("half", "60") + rest(4)] },
    ]);
    const { parts } = await tempoOf([], timpani);
    expect(parts[0]?.durationSeconds.likely).toBeCloseTo(2, 9);
  });

  it("writes a sheet to edit: asleep it changes nothing, awake it is the player's", async () => {
    const cwd = temporaryFolder({ "part.xml": PART });
    const written = await runMuta(["tempo", "part.xml", "--write-sheet", "my.yaml"], { cwd });
    expect(written).toEqual({ code: 0, stdout: "", stderr: "" });
    const sheet = readFileSync(join(cwd, "my.yaml"), "utf8");
    expect(sheet).toMatch(/^# {3}- \{ bar: 4, beat: 1, unit: quarter, tempo: 60 \}$/m);
    const asleep = await runMuta(["tempo", "part.xml", "--tempo", "my.yaml"], { cwd });
    expect(asleep).toMatchObject({ code: 2, stdout: "" });
    expect(asleep.stderr).toMatch(/^muta: my\.yaml: there are no tempi in it/);
    const again = await runMuta(["tempo", "part.xml", "--write-sheet", "my.yaml"], { cwd });
    expect(again).toMatchObject({ code: 2, stdout: "" });
    const [head = "", rows = ""] = sheet.split(/^tempi:\n/m);
    const awake = `${head}tempi:\n${rows.replace(/^# /gm, "").replace("tempo: 120", "tempo: 100")}`;
    const own = temporaryFolder({ "part.xml": PART, "my.yaml": awake });
    const { stdout } = await runMuta(["tempo", "part.xml", "-f", "json", "--tempo", "my.yaml"], {
      cwd: own,
    });
    const { parts } = JSON.parse(stdout) as TempoDocument;
    expect(parts[0]?.tempi[0]).toMatchObject({
      source: "sheet",
      quartersPerMinute: { likely: 100 },
    });
  });

  it.each([
    [["--repeats", "sometimes"], /the bars that do .*: 2|closes no repeat|ends at/],
    [["--repeats", ""], /--repeats takes all, first-only, none/],
    [["--tempo", "nowhere.yaml"], /nowhere\.yaml: there is no such file/],
    [["--recording", "nowhere.csv"], /nowhere\.csv: there is no such file/],
  ])("says what is wrong with %j", async (args, message) => {
    const { code, stdout, stderr } = await runMuta(["tempo", "-", ...args], { stdin: PART });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toMatch(message);
  });

  it("leaves repeats out on request", async () => {
    // 16 quarters less 8: 4 s at 120
    const { parts } = await tempoOf(["--repeats", "none"]);
    expect(parts[0]?.tempi[0]?.seconds.likely).toBeCloseTo(4, 9);
    const kept = await tempoOf(["--repeats", "2"]);
    expect(kept.parts[0]?.tempi[0]?.seconds.likely).toBeCloseTo(8, 9);
  });
});

describe("muta check with the player's tempi", () => {
  it("goes by a recording, and shows the tempo marks beside it", async () => {
    const plain = await checkDemo();
    const { changes } = await checkDemo("--recording", RECORDING);
    expect(changes).toHaveLength(plain.changes.length);
    changes.forEach(({ rest: each }, k) => {
      expect(each.tempoSource).toBe("recording");
      expect(each.seconds.short).toBe(each.seconds.long);
      expect(each.recordings).toEqual([
        { recording: "broadcast-of-the-premiere.csv", seconds: each.seconds.likely },
      ]);
      expect(each.marked?.seconds).toEqual(plain.changes[k]?.rest.seconds);
    });
  });

  it("spans two recordings", async () => {
    const text = readFileSync(RECORDING, "utf8");
    // The same a tenth slower, in seconds.
    const slower = text.replace(/(\d+):(\d+\.\d)/g, (_, minutes: string, seconds: string) =>
      ((60 * Number(minutes) + Number(seconds)) * 1.1).toFixed(3),
    );
    const cwd = temporaryFolder({ "slower.csv": slower });
    const { changes } = await checkDemo(
      "--recording",
      RECORDING,
      "--recording",
      join(cwd, "slower.csv"),
    );
    for (const { rest: each } of changes) {
      expect(each.seconds.long).toBeCloseTo(each.seconds.short * 1.1, 2);
      expect(each.recordings).toHaveLength(2);
    }
  });

  it("takes the sheet for the tempi it names, each time through its own", async () => {
    const { changes } = await checkDemo("--tempo", SHEET);
    const plain = await checkDemo();
    const seconds = (document: CheckDocument, k: number) =>
      document.changes[k]?.rest.seconds.likely ?? NaN;
    // Change 3 lies in bars 35 to 46 the first time, change 5 the second: 80 printed, 86 and 90 by the sheet.
    expect(changes[2]?.rest.seconds.likely).toBeCloseTo((seconds(plain, 2) * 80) / 86, 4);
    expect(changes[4]?.rest.seconds.likely).toBeCloseTo((seconds(plain, 4) * 80) / 90, 4);
    expect(changes[4]?.rest.tempoSource).toBe("sheet");
    // What it does not name stays as printed.
    expect(changes[0]?.rest).toEqual(plain.changes[0]?.rest);
  });

  it("says which repeats were left out", async () => {
    const { playedBars, notices } = await checkDemo("--repeats", "none");
    expect(playedBars).toBe(129);
    expect(notices.find(({ kind }) => kind === "repeats-left-out")?.text).toContain("50");
  });

  it("names the bar that a sheet or a recording has and the part has not", async () => {
    const cwd = temporaryFolder({
      "far.csv": "bar,tempo\n500,120\n",
      "far-recording.csv": "bar,seconds\n1,0\n500,9\n",
    });
    const sheet = await runMuta(["check", DEMO, "--tempo", join(cwd, "far.csv")]);
    expect(sheet).toMatchObject({ code: 2, stdout: "" });
    expect(sheet.stderr).toContain("the tempo sheet names bar 500, which is not there");
    const recording = await runMuta(["check", DEMO, "--recording", join(cwd, "far-recording.csv")]);
    expect(recording).toMatchObject({ code: 2, stdout: "" });
    expect(recording.stderr).toMatch(
      /far-recording\.csv names bar 500, which is not played; the bars are 0–128/,
    );
  });

  it("never writes over a sheet or a recording", async () => {
    const cwd = temporaryFolder({ "mine.csv": "bar,tempo\n1,120\n", "part.xml": PART });
    const args = ["check", "part.xml", "--tempo", "mine.csv", "--out", "mine.csv", "--force"];
    const { code, stderr } = await runMuta(args, { cwd });
    expect(code).toBe(2);
    expect(stderr).toContain("mine.csv is one of the inputs");
    expect(readFileSync(join(cwd, "mine.csv"), "utf8")).toBe("bar,tempo\n1,120\n");
  });
});
