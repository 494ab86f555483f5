import { parse } from "csv-parse/sync";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { generateSeason, plainMovement, writeNested } from "../support/season.js";
import { linesOf, partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";
import { A, B_FLAT } from "../support/score-xml.js";

const SEASON = "fixtures/season/season.yaml";

type Row = Readonly<Record<string, string>>;

async function audit(args: readonly string[], cwd?: string) {
  return runMuta(["audit", ...args], cwd === undefined ? {} : { cwd });
}

/** The rows of the table, read by another program than wrote it. */
async function table(args: readonly string[], cwd?: string): Promise<readonly Row[]> {
  const { stdout } = await audit([...args, "-f", "csv"], cwd);
  return parse(stdout, { columns: true });
}

describe("muta audit on a generated season of 40 movements, 3 of them broken", () => {
  it("has every change, in the order of the season, and a row for each broken file", async () => {
    const { folder, changes, broken } = generateSeason(40, 3);
    const run = await audit([".", "-f", "csv"], folder);
    expect(run.code).toBe(2);
    const rows: readonly Row[] = parse(run.stdout, { columns: true });
    const found = rows
      .filter(({ kind }) => kind !== "error")
      .map(({ work, movement, kind, from, to, verdict }) => ({
        work,
        movement,
        kind,
        from,
        to,
        verdict,
      }));
    expect(found).toEqual(changes);
    expect(changes.length).toBeGreaterThan(20);
    const errors = rows.filter(({ kind }) => kind === "error");
    expect(errors.map(({ file }) => file)).toEqual(broken);
    expect(errors.map(({ error }) => error)).toEqual([
      expect.stringContaining("empty"),
      expect.stringContaining("PDF"),
      expect.stringContaining("ends inside"),
    ]);
    expect(linesOf(run.stderr)).toHaveLength(3);
    // The same again, to the byte.
    expect((await audit([".", "-f", "csv"], folder)).stdout).toBe(run.stdout);
  });

  it("lists the files and nothing else, in natural order", async () => {
    const { folder } = generateSeason(44, 1);
    const { stdout, stderr, code } = await audit([".", "--list"], folder);
    expect({ stderr, code }).toEqual({ stderr: "", code: 0 });
    const files = linesOf(stdout);
    expect(files).toHaveLength(44);
    expect(files[4]).toBe("Work 2/1.musicxml");
    expect(files.at(-1)).toBe("Work 11/4.musicxml");
  });

  it("is quiet when its reader goes away", async () => {
    const { folder } = generateSeason(40, 0);
    // More than a pipe holds, so that some of it is still to be written.
    const { stdout } = await audit([".", "-f", "json"], folder);
    expect(stdout.length).toBeGreaterThan(66_000);
    const run = await runMuta(["audit", ".", "-f", "json"], { cwd: folder, hangUp: true });
    expect({ stderr: run.stderr, code: run.code }).toEqual({ stderr: "", code: 0 });
  });
});

describe("folders and files", () => {
  it("makes programmes of folders of folders, and single works of files beside folders", async () => {
    const folder = temporaryFolder();
    writeNested(folder, "Gala/1 Overture/part.musicxml", plainMovement(B_FLAT));
    writeNested(folder, "Gala/2 Suite/1.musicxml", plainMovement(A));
    writeNested(folder, "Gala/2 Suite/2.musicxml", plainMovement(B_FLAT));
    writeNested(folder, "alone.musicxml", plainMovement(A, "Alone at Last"));
    writeNested(folder, "notes.txt", "no score");
    const rows = await table(["."], folder);
    expect(
      rows.map(({ programme, work, kind, to_work: into }) => [programme, work, kind, into]),
    ).toEqual([
      ["Gala", "1 Overture", "between-works", "2 Suite"],
      ["Gala", "2 Suite", "between-movements", "2 Suite"],
    ]);
    const { parts } = JSON.parse((await audit([".", "-f", "json"], folder)).stdout) as {
      parts: readonly { work: string; programme: string }[];
    };
    expect(parts.map(({ programme, work }) => [programme, work])).toContainEqual([
      "",
      "Alone at Last",
    ]);
  });

  it("has the works of a programme in the order of their names, folders or not", async () => {
    const folder = temporaryFolder();
    writeNested(folder, "Gala/10 Finale/1.musicxml", plainMovement(A));
    writeNested(folder, "Gala/1 Overture/1.musicxml", plainMovement(B_FLAT));
    writeNested(folder, "Gala/2 concerto.musicxml", plainMovement(A, "Concerto"));
    const { stdout } = await audit([".", "--list"], folder);
    expect(stdout.trim().split("\n")).toEqual([
      "Gala/1 Overture/1.musicxml",
      "Gala/2 concerto.musicxml",
      "Gala/10 Finale/1.musicxml",
    ]);
    const rows = await table(["."], folder);
    expect(rows.map(({ work, to_work: into }) => [work, into])).toEqual([
      ["1 Overture", "Concerto"],
    ]);
  });

  it("says that works in no programme have no order", async () => {
    const folder = temporaryFolder();
    writeNested(folder, "Gala/1/1.musicxml", plainMovement(A));
    writeNested(folder, "Gala/2/1.musicxml", plainMovement(B_FLAT));
    const says = /works in no programme have no order/;
    expect((await audit(["."], folder)).stdout).not.toMatch(says);
    expect((await audit(["Gala"], folder)).stdout).toMatch(says);
  });

  it("takes files of one folder as the movements of one work", async () => {
    const folder = temporaryFolder({ "1.xml": plainMovement(B_FLAT), "2.xml": plainMovement(A) });
    expect(await table(["1.xml", "2.xml"], folder)).toHaveLength(1);
  });

  it("tells of what cannot be used", async () => {
    const folder = temporaryFolder({ "a.xml": plainMovement(A) });
    writeNested(folder, "empty/readme.txt", "");
    const missing = await audit(["no.xml", "a.xml"], folder);
    expect(missing.code).toBe(2);
    expect(missing.stderr).toMatch(/^muta: no\.xml: .*no such file/);
    for (const [args, message] of [
      [["empty"], /empty: there are no scores in this folder/],
      [["-"], /standard input/],
      [["s.yaml", "a.xml"], /stands alone/],
      [["a.xml", "--columns", "work,wurst", "-f", "csv"], /"wurst" is not a column/],
      [["a.xml", "--columns", "work"], /--columns is for csv and tsv, not text/],
      [["a.xml", "--only", "tight,bad"], /Allowed are ample/],
    ] as const) {
      const { code, stderr, stdout } = await audit([...args], folder);
      expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
      expect(stderr).toMatch(message);
    }
  });
});

describe("choosing rows", () => {
  it("keeps only some verdicts, but every fault", async () => {
    const { folder, changes } = generateSeason(40, 2);
    const rows = await table([".", "--only", "tight,impossible"], folder);
    const wanted = changes.filter(({ verdict }) => verdict === "tight" || verdict === "impossible");
    expect(rows.filter(({ kind }) => kind !== "error")).toHaveLength(wanted.length);
    expect(rows.filter(({ kind }) => kind === "error")).toHaveLength(2);
  });

  it("sorts and takes columns by their names", async () => {
    const { folder } = generateSeason(40, 1);
    const { stdout } = await audit(
      [".", "-f", "tsv", "--sort", "worst", "--columns", "verdict,work,lookup_seconds"],
      folder,
    );
    const [header, ...rows] = stdout
      .trimEnd()
      .split("\r\n")
      .map((line) => line.split("\t"));
    expect(header).toEqual(["verdict", "work", "lookup_seconds"]);
    const rank = ["", "impossible", "tight", "workable", "ample"];
    const ranks = rows.map(([verdict]) => rank.indexOf(verdict ?? "?"));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    expect(new Set(ranks)).toEqual(new Set([0, 1, 2, 3, 4]));
  });

  it.each([
    ["impossible", 1, "impossible"],
    ["tight", 0, "workable"],
    ["tight", 1, "tight"],
    ["workable", 0, "ample"],
  ] as const)("--fail-on %s gives %i for one change that is %s", async (limit, code, verdict) => {
    const folder = temporaryFolder({ "a.xml": partWithChange(verdict) });
    expect((await audit(["a.xml", "--fail-on", limit], folder)).code).toBe(code);
  });
});

describe("the example season", () => {
  it("is one page that has the worst first", async () => {
    const { code, stdout, stderr } = await audit([SEASON]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toMatch(
      /^Spring at Saltmere Vale\n2 programmes · 4 works · 8 movements · 2 players\n/,
    );
    // Twice the ten changes of the demo piece (scripts/demo-piece/write.js), and those between.
    expect(stdout).toMatch(
      /^28 changes: 4 impossible, 6 tight, 4 workable, 14 ample; 2 may be misprinted\.$/m,
    );
    const verdicts = [...stdout.matchAll(/ {3}(IMPOSSIBLE|TIGHT|workable|ample)$/gm)].map(
      ([, word]) => word,
    );
    expect(verdicts).toEqual([
      ...Array.from({ length: 4 }, () => "IMPOSSIBLE"),
      ...Array.from({ length: 6 }, () => "TIGHT"),
      "ample",
      "ample",
    ]);
    expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
  });

  it("times the attacca by the table in scripts/season-piece/write.js", async () => {
    const rows = await table([SEASON]);
    const row = rows.find(
      ({ player, movement, kind }) =>
        kind === "between-movements" && player === "Ida Quill" && movement === "II. Slack Water",
    );
    // 1 x 60/92 + 6 x 60/104; her hands 0.6 + 1.2 + 0.7 + 0.6.
    expect(Number(row?.rest_seconds_likely)).toBeCloseTo(60 / 92 + 360 / 104, 2);
    expect(row).toMatchObject({
      needed_seconds: "3.1",
      pause_seconds: "0",
      verdict: "tight",
      to_movement: "III. Flood",
      hazards: expect.stringContaining("meter changes from 3/4 to 6/8 at bar 1") as string,
    });
  });

  it("has documents for programs", async () => {
    const json = JSON.parse((await audit([SEASON, "-f", "json"])).stdout) as {
      schema: string;
      rows: readonly { kind: string }[];
      parts: readonly unknown[];
      kits: readonly {
        player: string;
        instruments: readonly { instrument: string }[];
        stands: number;
      }[];
    };
    expect(json.schema).toBe("muta.audit/1");
    expect(json.rows).toHaveLength(28);
    expect(json.kits.map(({ player, stands }) => [player, stands])).toEqual([
      ["Ida Quill", 1],
      ["Bo Tarn", 2],
      ["Ida Quill", 1],
      ["Bo Tarn", 2],
    ]);
    const lines = linesOf((await audit([SEASON, "-f", "ndjson"])).stdout).map(
      (line) => JSON.parse(line) as { schema: string; kind: string },
    );
    expect(new Set(lines.map(({ schema }) => schema))).toEqual(new Set(["muta.audit/1"]));
    const count = (kind: string) => lines.filter((line) => line.kind === kind).length;
    expect([count("change"), count("part"), count("kit")]).toEqual([28, json.parts.length, 4]);
  });

  it("writes by the ending of --out, and never over an input", async () => {
    const folder = temporaryFolder({ "1.xml": plainMovement(B_FLAT), "2.xml": plainMovement(A) });
    expect((await audit([".", "--out", "season.csv"], folder)).code).toBe(0);
    expect(await table(["."], folder)).toHaveLength(1);
    const over = await audit([".", "-f", "csv", "--out", "1.xml", "--force"], folder);
    expect(over).toMatchObject({ code: 2, stdout: "" });
  });
});

describe("hostile titles", () => {
  const TITLES = ["=1+1", 'one, "two"', "two\nlines", "🎼 Tänze", "שיר", "-", "@SUM(A1)"];

  it("come through the table as text", async () => {
    const yaml = JSON.stringify({
      season: "S",
      works: TITLES.map((title) => ({ title, movements: ["1.xml", "2.xml"] })),
    });
    const folder = temporaryFolder({
      "1.xml": plainMovement(B_FLAT),
      "2.xml": plainMovement(A),
      "season.yaml": yaml,
    });
    const rows = await table(["season.yaml"], folder);
    // A leading = + - @ gets an apostrophe, by which a spreadsheet takes it for text.
    expect(rows.map(({ work }) => work)).toEqual(
      TITLES.map((title) => (/^[=\-@]/.test(title) ? `'${title}` : title)),
    );
    const page = await audit(["season.yaml", "--only", "tight"], folder);
    expect(page.stdout).toContain("=1+1");
    expect(page.stdout).toContain("two lines, mvt 1");
  });

  it("do not steer a terminal", async () => {
    const folder = temporaryFolder({
      "season.json": JSON.stringify({
        works: [
          { title: "\u202eevil\u001b[31m", movements: ["1.xml", "2.xml", join("no", "3.xml")] },
        ],
      }),
      "1.xml": plainMovement(B_FLAT),
      "2.xml": plainMovement(A),
    });
    for (const format of ["text", "csv", "json", "ndjson"]) {
      const { stdout, stderr } = await audit(["season.json", "-f", format], folder);
      expect(stdout + stderr).not.toMatch(/\u001b/);
    }
    expect((await audit(["season.json"], folder)).stdout).not.toContain("\u202e");
  });
});
