import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { parse } from "csv-parse/sync";
import { expect, it } from "vitest";
import { fromCsv, NASTY_NAMES } from "../support/nasty-names.js";
import { runMuta, temporaryFolder } from "../support/run-muta.js";
import { plainMovement } from "../support/season.js";
import { A, B_FLAT } from "../support/score-xml.js";
import {
  convertInOffice,
  csvImport,
  describeOffice,
  EVERY_SHEET_TO_CSV,
  OFFICE_TIMEOUT,
} from "../support/soffice.js";

type Row = Readonly<Record<string, string>>;

const EXAMPLE = resolve("fixtures/season/season.yaml");

/** What the office program may show otherwise than it stands in the csv: figures, by the decimals of the workbook. */
const FIGURES =
  /^(?:rest_quarters|lookup_bars|(?:rest|pause|needed|lookup)_seconds.*|(?:leave|enter)_(?:pass|beat))$/;

const rowsOf = (csv: string | undefined): readonly Row[] =>
  parse(csv ?? "", { columns: true, bom: true });

async function auditFile(season: string, file: string, cwd: string): Promise<string> {
  const run = await runMuta(["audit", season, "--out", file, "--force"], { cwd });
  expect(run.code).toBe(0);
  return join(cwd, file);
}

/** A season of two-movement works with names that look like something else. */
function nastyFolder(): string {
  const works = NASTY_NAMES.map((title) => ({ title, movements: ["1.musicxml", "2.musicxml"] }));
  const season = {
    players: [{ name: "=1+1", part: "P1" }],
    programmes: [{ name: "@x", date: "2027-04-10", works }],
  };
  return temporaryFolder({
    "1.musicxml": plainMovement(B_FLAT),
    "2.musicxml": plainMovement(A),
    "season.json": JSON.stringify(season),
  });
}

describeOffice("the workbook of the example season, opened in an office program", () => {
  it(
    "has the rows and cells that the csv has, and the sheets of parts and kit",
    async () => {
      const cwd = temporaryFolder();
      const csv = rowsOf(readFileSync(await auditFile(EXAMPLE, "season.csv", cwd), "utf8"));
      const files = convertInOffice(
        await auditFile(EXAMPLE, "season.xlsx", cwd),
        EVERY_SHEET_TO_CSV,
      );
      expect([...files.keys()].sort()).toEqual(
        ["changes", "kit", "parts"].map((name) => `season-${name}.csv`),
      );
      const sheet = rowsOf(files.get("season-changes.csv"));
      expect(sheet).toHaveLength(28);
      const names = Object.keys(csv[0] ?? {});
      expect(Object.keys(sheet[0] ?? {}).sort()).toEqual([...names].sort());
      for (const [k, row] of sheet.entries()) {
        for (const name of names) {
          const [shown, written] = [row[name] ?? "", fromCsv(csv[k]?.[name] ?? "")];
          if (!FIGURES.test(name) || written === "")
            expect([k, name, shown]).toEqual([k, name, written]);
          // One decimal is shown of what has several.
          else
            expect(Math.abs(Number(shown) - Number(written)), `${k} ${name} ${shown}`).toBeLessThan(
              0.0501,
            );
        }
      }
      const parts = rowsOf(files.get("season-parts.csv"));
      // Two programmes with four movements for each of two players.
      expect(parts).toHaveLength(16);
      expect(
        parts.find(({ player, changes }) => player === "Bo Tarn" && changes === "10"),
      ).toMatchObject({
        ...{ instruments: "B♭, A, bass", impossible: "2", tightest: "impossible", minutes: "4.7" },
        date: "2027-04-10",
      });
      const kit = rowsOf(files.get("season-kit.csv"));
      expect(kit.map(({ player, instruments, stands }) => [player, instruments, stands])).toEqual([
        ["Ida Quill", "B♭, A", "1"],
        ["Bo Tarn", "B♭, A, bass", "2"],
        ["Ida Quill", "B♭, A", "1"],
        ["Bo Tarn", "B♭, A, bass", "2"],
      ]);
      expect(kit[1]).toMatchObject({
        "only for": "bass: Lanterns on the Weir",
        "keep warm":
          "B♭ during Three Tide Pools, I. Ebb, for II. Slack Water\nA, bass during Three Tide Pools, III. Flood, for Lanterns on the Weir",
      });
    },
    OFFICE_TIMEOUT,
  );

  it(
    "has numbers, days, filters, frozen headers, fills, and pages that can be printed",
    async () => {
      const book = await auditFile(EXAMPLE, "season.xlsx", temporaryFolder());
      const fods = convertInOffice(book, "fods").get("season.fods") ?? "";
      expect(fods).not.toContain("table:formula");
      const tables = [...fods.matchAll(/<table:table table:name="(\w+)"[\s\S]*?<\/table:table>/g)];
      expect(tables.map(([, name]) => name)).toEqual(["changes", "parts", "kit"]);
      const [changes = "", parts = "", kit = ""] = tables.map(([table]) => table);
      const count = (text: string, what: string) => text.split(what).length - 1;
      // Equal cells side by side are written once, with their number.
      const cells = (table: string, kind: string) =>
        [...table.matchAll(/<table:table-cell ([^>]*)>/g)]
          .filter(([, attributes = ""]) => attributes.includes(`office:value-type="${kind}"`))
          .map(([, attributes = ""]) => /columns-repeated="(\d+)"/.exec(attributes)?.[1] ?? "1")
          .reduce((sum, times) => sum + Number(times), 0);
      // 28 changes: a day, two bars, and the twelve figures of each.
      expect(count(changes, 'office:value-type="date" office:date-value="2027-04-1')).toBe(28);
      expect(cells(changes, "float")).toBe(28 * 14);
      // For each of 16 parts the five counts and the minutes, and the time left for the 10 that have a change.
      expect(cells(parts, "float")).toBe(16 * 6 + 10);
      expect(cells(kit, "float")).toBe(4);
      for (const [name, end] of [
        ["changes", "AH29"],
        ["parts", "P17"],
        ["kit", "G5"],
      ] as const) {
        expect(fods).toContain(`table:target-range-address="${name}.A1:${name}.${end}"`);
      }
      expect(count(fods, 'table:display-filter-buttons="true"')).toBe(3);
      // The header on every page. (A conversion without a window does not tell of what is frozen.)
      expect(count(fods, "<table:table-header-rows>")).toBe(3);
      expect(changes).toMatch(/table:print-ranges="changes\.A1:changes\.Q29"/);
      expect(fods).toContain('style:print-orientation="landscape"');
      expect(fods).toContain('style:scale-to-X="1"');
      for (const fill of ["#f3f6f4", "#bfd3df", "#d9963a", "#4a2350"]) {
        expect(fods).toContain(`fo:background-color="${fill}"`);
      }
    },
    OFFICE_TIMEOUT,
  );
});

describeOffice("names that look like something else, in an office program", () => {
  it(
    "are text in the workbook, to the letter",
    async () => {
      const cwd = nastyFolder();
      const files = convertInOffice(
        await auditFile("season.json", "book.xlsx", cwd),
        EVERY_SHEET_TO_CSV,
      );
      const rows = rowsOf(files.get("book-changes.csv")).filter(
        ({ kind }) => kind === "between-movements",
      );
      expect(rows.map(({ work }) => work)).toEqual(NASTY_NAMES);
      expect(
        new Set(rows.map(({ player, programme, date }) => `${player} ${programme} ${date}`)),
      ).toEqual(new Set(["=1+1 @x 2027-04-10"]));
    },
    OFFICE_TIMEOUT,
  );

  it.each([false, true])(
    "are text in the csv, opened as the page in docs says, with formulas worked out: %s",
    async (evaluate) => {
      const cwd = nastyFolder();
      const path = await auditFile("season.json", "table.csv", cwd);
      const ours = rowsOf(readFileSync(path, "utf8"));
      const shown = convertInOffice(path, EVERY_SHEET_TO_CSV, csvImport(evaluate));
      const rows = rowsOf([...shown.values()][0]);
      expect(rows).toHaveLength(ours.length);
      // Every cell as it stands in the file, the apostrophe before a formula sign included.
      expect(rows).toEqual(ours);
      const fods = convertInOffice(path, "fods", csvImport(evaluate)).get("table.fods") ?? "";
      expect(fods).not.toContain("table:formula");
      const seconds = [...fods.matchAll(/office:value-type="float" office:value="([\d.-]+)"/g)];
      expect(seconds.length).toBeGreaterThan(ours.length * 10);
    },
    OFFICE_TIMEOUT,
  );

  it(
    "would be worked out by it without what guards them",
    () => {
      const path = join(temporaryFolder(), "bare.csv");
      writeFileSync(path, "a,b\r\n=1+1,00123\r\n");
      const shown = convertInOffice(path, EVERY_SHEET_TO_CSV, csvImport(true));
      expect([...shown.values()][0]).toContain("2,123");
    },
    OFFICE_TIMEOUT,
  );
});
