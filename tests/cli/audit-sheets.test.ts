import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import readSheets from "read-excel-file/node";
import { describe, expect, it } from "vitest";
import { csvText, guard } from "../../src/reporters/csv.js";
import { xlsxBytes } from "../../src/reporters/xlsx.js";
import { fromCsv, inCsv, inWorkbook, NASTY_NAMES } from "../support/nasty-names.js";
import { changeBars, runMuta, temporaryFolder } from "../support/run-muta.js";
import { plainMovement } from "../support/season.js";
import { A, B_FLAT, scoreXml } from "../support/score-xml.js";
import { unzip } from "../support/unzip.js";

type Row = Readonly<Record<string, unknown>>;

/** The season as three programs read it: the rows of the JSON document, of the csv, and of the workbook's first sheet. */
async function threeWays(args: readonly string[], cwd: string) {
  const json = await runMuta(["audit", ...args, "-f", "json"], { cwd });
  const { rows } = JSON.parse(json.stdout) as { rows: readonly Row[] };
  const csv = await runMuta(["audit", ...args, "-f", "csv"], { cwd });
  const table: readonly Record<string, string>[] = parse(csv.stdout, { columns: true });
  const book = await runMuta(["audit", ...args, "--out", "book.xlsx", "--force"], { cwd });
  expect([json, csv, book].map(({ code }) => code)).toEqual([0, 0, 0]);
  const sheets = await readSheets(readFileSync(join(cwd, "book.xlsx")), { trim: false });
  const [header = [], ...cells] = sheets[0]?.data ?? [];
  const sheet = cells.map((row): Row =>
    Object.fromEntries(header.map((name, k) => [String(name), row[k] ?? ""])),
  );
  return { rows, table, sheet, sheets };
}

/** One score with every name in it: title of the work, of the movement, name of the part. */
function titledScore(name: string): string {
  const text = [...name].map((each) => `&#${each.codePointAt(0)};`).join("");
  const header = `<work><work-title>${text}</work-title></work><movement-title>${text}</movement-title>`;
  return scoreXml([{ name: text, bars: changeBars(2) }], header);
}

const FIRST_OF_LINE = ["\t=1+1", "\r=1+1", "\n=1+1", " =1+1"];

describe("names that look like something else", () => {
  const MOVEMENTS = { "1.musicxml": plainMovement(B_FLAT), "2.musicxml": plainMovement(A) };

  it("of works and movements in a season file come back as they were", async () => {
    const works = NASTY_NAMES.map((title) => ({
      title,
      movements: [
        { title, file: "1.musicxml" },
        { title: `${title}!`, file: "2.musicxml" },
      ],
    }));
    const cwd = temporaryFolder({ ...MOVEMENTS, "season.json": JSON.stringify({ works }) });
    const { rows, table, sheet } = await threeWays(["season.json"], cwd);
    const after = NASTY_NAMES.map((name) => `${name}!`);
    for (const [column, expected] of [
      ["work", NASTY_NAMES],
      ["movement", NASTY_NAMES],
      ["to_work", NASTY_NAMES],
      ["to_movement", after],
    ] as const) {
      expect(table.map((row) => fromCsv(row[column] ?? ""))).toEqual(expected);
      expect(sheet.map((row) => row[column])).toEqual(expected);
    }
    expect(rows.map(({ work }) => work)).toEqual(NASTY_NAMES);
    // The numbers beside them are numbers.
    expect(new Set(sheet.map((row) => typeof row["lookup_seconds"]))).toEqual(new Set(["number"]));
  });

  it("of players and programmes come back as they were, on every sheet", async () => {
    const season = {
      players: NASTY_NAMES.map((name) => ({ name, part: "P1" })),
      programmes: [
        {
          name: "=1+1",
          date: "2027-04-10",
          works: [{ title: "-3", movements: Object.keys(MOVEMENTS) }],
        },
      ],
    };
    const cwd = temporaryFolder({ ...MOVEMENTS, "season.json": JSON.stringify(season) });
    const { table, sheet, sheets } = await threeWays(["season.json"], cwd);
    expect(table.map(({ player = "" }) => fromCsv(player))).toEqual(NASTY_NAMES);
    expect(sheet.map(({ player }) => player)).toEqual(NASTY_NAMES);
    for (const [name, column, times] of [
      ["parts", 4, 2],
      ["kit", 2, 1],
    ] as const) {
      const data = sheets.find((each) => each.sheet === name)?.data ?? [];
      expect(data[0]?.slice(0, 2)).toEqual(["programme", "date"]);
      const [, ...rows] = data;
      expect(new Set(rows.map((row) => row[column]))).toEqual(new Set(NASTY_NAMES));
      expect(rows).toHaveLength(times * NASTY_NAMES.length);
      for (const [programme] of rows) expect(programme).toBe("=1+1");
    }
  });

  it("of folders and files come back as they were", async () => {
    // What a file may be called here: no slash, no NUL.
    const names = [...NASTY_NAMES, ...FIRST_OF_LINE].filter((name) => !name.includes("/"));
    const cwd = temporaryFolder();
    for (const name of names) {
      const path = join(cwd, name, `${name}.musicxml`);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, scoreXml([{ bars: changeBars(2) }]));
    }
    const { rows, table, sheet } = await threeWays(["."], cwd);
    const works = rows.map(({ work }) => work);
    expect([...works].sort()).toEqual([...names].sort());
    const files = works.map((work) => `${String(work)}/${String(work)}.musicxml`);
    expect(table.map(({ work = "" }) => fromCsv(work))).toEqual(works);
    expect(table.map(({ file = "" }) => fromCsv(file))).toEqual(files);
    expect(sheet.map(({ work }) => work)).toEqual(works.map((work) => inWorkbook(String(work))));
    expect(sheet.map(({ file }) => file)).toEqual(files.map(inWorkbook));
  });

  it("of works, movements and parts in MusicXML come back as they were read", async () => {
    const names = [...NASTY_NAMES, ...FIRST_OF_LINE, "a\tb", "a\u0085b", "\u009b31m", "\ufffd"];
    const cwd = temporaryFolder(
      Object.fromEntries(names.map((name, k) => [`${k + 10}/a.musicxml`, titledScore(name)])),
    );
    const files = names.map((_, k) => `${k + 10}/a.musicxml`);
    const works = files.map((file) => ({ file, part: "P1" }));
    writeFileSync(join(cwd, "season.json"), JSON.stringify({ works }));
    const { rows, table, sheet } = await threeWays(["season.json"], cwd);
    // A title in a score is one line; white space at its ends is not part of it.
    const oneLine = names.map((name) => name.trim().replace(/\s+/g, " "));
    expect(rows.map(({ work }) => work)).toEqual(oneLine);
    for (const column of ["work", "movement", "part"] as const) {
      const texts = rows.map((row) => String(row[column]));
      expect(table.map((row) => fromCsv(row[column] ?? ""))).toEqual(texts.map(inCsv));
      expect(sheet.map((row) => row[column])).toEqual(texts.map(inWorkbook));
    }
  });

  it("of any length, with control characters and halves of characters, make no cell another", async () => {
    const titles = [
      "x".repeat(40_000),
      `${"=".repeat(33_000)}🎼`,
      "nul\u0000in it",
      "bell\u0007 and escape\u001b[31m",
      "\u001b[31m",
      "half \ud83c of one",
      "no character \uffff \u{1fffe} here",
      "\u202egnp.exe",
    ];
    const cwd = temporaryFolder({
      ...MOVEMENTS,
      "season.json": JSON.stringify({
        works: titles.map((title) => ({ title, movements: ["1.musicxml", "2.musicxml"] })),
      }),
    });
    const { rows, table, sheet } = await threeWays(["season.json"], cwd);
    const works = rows.map(({ work }) => String(work));
    expect(works).toEqual(titles);
    // UTF-8 has no half of a character: the encoder writes U+FFFD.
    expect(table.map(({ work = "" }) => fromCsv(work))).toEqual(works.map((work) => inCsv(work)));
    expect(sheet.map(({ work }) => work)).toEqual(works.map(inWorkbook));
  });
});

it("freezes the header of every sheet of the workbook, and filters by it", async () => {
  const cwd = temporaryFolder({ "1.musicxml": scoreXml([{ bars: changeBars(2) }]) });
  await runMuta(["audit", ".", "--out", "book.xlsx"], { cwd });
  const files = unzip(readFileSync(join(cwd, "book.xlsx")));
  const sheets = [...files].filter(([name]) => name.startsWith("xl/worksheets/sheet"));
  expect(sheets).toHaveLength(3);
  for (const [name, xml] of sheets) {
    expect(xml, name).toMatch(/<pane ySplit="1" topLeftCell="A2" [^>]*state="frozen"/);
    expect(xml, name).toContain('<autoFilter ref="A1:');
  }
});

describe("any text", () => {
  /** Made of what matters: signs, quotes, separators, ends of lines, digits, escapes, and anything else. */
  const text = fc.oneof(
    fc.string({ unit: "binary", maxLength: 12 }),
    fc.string({
      unit: fc.constantFrom(
        ..."='+-@＝\"',;\t\r\n 01e.x_A\u001b\u0085\u202e\ufffd\ud83c🎼ש".split(""),
      ),
      maxLength: 8,
    }),
    fc.string({
      unit: fc.constantFrom("_x0041_", "_x005F_", "_", "x", "'", "=", " "),
      maxLength: 6,
    }),
  );

  it("comes back from a csv by the way that is described", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(text, text), { minLength: 1 }),
        fc.constantFrom(",", ";", "\t"),
        (rows, delimiter) => {
          const csv = csvText([["a", "b"], ...rows.map((row) => row.map(guard))], delimiter, false);
          const [, ...cells]: string[][] = parse(csv, {
            delimiter,
            record_delimiter: "\r\n",
            skip_empty_lines: false,
          });
          expect(cells.map((row) => row.map(fromCsv))).toEqual(rows.map((row) => row.map(inCsv)));
          for (const cell of cells.flat()) expect(cell).not.toMatch(/^\s*[=+\-@＝＋－＠]/);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it("comes back from a workbook", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(text, { minLength: 1, maxLength: 100 }), async (texts) => {
        const columns = ["text", "after"].map((name) => ({ name, kind: "text" as const }));
        const rows = texts.map((each) => [each, "end"]);
        const [sheet] = await readSheets(await xlsxBytes([{ name: "s", columns, rows }]), {
          trim: false,
        });
        expect(sheet?.data.slice(1)).toEqual(
          texts.map((each) => [inWorkbook(each) === "" ? null : inWorkbook(each), "end"]),
        );
      }),
      { numRuns: 60 },
    );
  });
});
