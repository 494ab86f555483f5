import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { parse } from "csv-parse/sync";
import readWorkbook from "read-excel-file/node";
import { describe, expect, it } from "vitest";
import { VERDICTS } from "../../src/model/finding.js";
import { serialDay } from "../../src/reporters/util/serial-day.js";
import { cellText, sheetName } from "../../src/reporters/util/sheet-text.js";
import { VERDICT_FILLS, xlsxBytes, type Sheet } from "../../src/reporters/xlsx.js";
import { temporaryFolder } from "../support/run-muta.js";
import {
  convertInOffice,
  describeOffice,
  EVERY_SHEET_TO_CSV,
  OFFICE_TIMEOUT,
} from "../support/soffice.js";
import { unzip } from "../support/unzip.js";

/** Text that programs like to take for something else. */
const TITLES = [
  "=1+1",
  "+49 30",
  "-5",
  "@SUM(A1)",
  "\t=1+1",
  "'=1+1",
  '=HYPERLINK("http://example.invalid","x")',
  "=cmd|' /C calc'!A0",
  "007",
  "1/2",
  "1e5",
  "2026-11-26",
  "TRUE",
  "#REF!",
  "http://example.invalid/",
  "Lantern, river, weir",
  'The "Little" One',
  "two\nlines",
  " spaces around  ",
  "Étude 🎼👩‍🎤 𝄞",
  "ליל כוכבים (א)",
  "ليلة النجوم",
  "夜の組曲",
  "<c r='A1'>&amp;]]>",
  "_x0041_ and _x000D_",
  "constructor",
  "__proto__",
  "toString",
];

const SHEET: Sheet = {
  name: "Season",
  columns: [
    { name: "title", kind: "text" },
    { name: "changes", kind: "number" },
    { name: "seconds", kind: "number", decimals: 1 },
    { name: "first night", kind: "date" },
    { name: "verdict", kind: "verdict", width: 14 },
  ],
  rows: TITLES.map((title, k) => [
    title,
    k - 3,
    k / 8,
    `2026-${String(1 + (k % 12)).padStart(2, "0")}-28`,
    VERDICTS[k % 4]!,
  ]),
};

describe("a workbook, read by another program", () => {
  it("has every text as it was, and numbers as numbers", async () => {
    const [page] = await readWorkbook(await xlsxBytes([SHEET]), { trim: false });
    expect(page!.sheet).toBe("Season");
    const [header, ...rows] = page!.data;
    expect(header).toEqual(SHEET.columns.map(({ name }) => name));
    expect(rows.map(([title]) => title)).toEqual(TITLES);
    expect(rows.map(([, changes]) => changes)).toEqual(SHEET.rows.map(([, changes]) => changes));
    expect(rows.map(([, , seconds]) => seconds)).toEqual(
      SHEET.rows.map(([, , seconds]) => seconds),
    );
    expect(rows.map(([, , , day]) => (day as unknown as Date).toISOString().slice(0, 10))).toEqual(
      SHEET.rows.map(([, , , day]) => day),
    );
    expect(rows.map((row) => row[4])).toEqual(SHEET.rows.map((row) => row[4]));
  });

  it("has the sheets in order, with names as the format wants them", async () => {
    const names = [
      "a/b",
      "A:B",
      "History",
      "'quoted'",
      "",
      "x".repeat(40),
      `${"x".repeat(40)}y`,
      "[]:*?/\\",
    ];
    const pages = await readWorkbook(await xlsxBytes(names.map((name) => ({ ...SHEET, name }))));
    expect(pages.map(({ sheet }) => sheet)).toEqual([
      "a b",
      "A B (2)",
      "Sheet History",
      "quoted",
      "Sheet",
      "x".repeat(31),
      `${"x".repeat(27)} (2)`,
      "Sheet (2)",
    ]);
  });

  it("keeps what is not of its column's kind", async () => {
    const { columns } = SHEET;
    const rows = [
      [null, Number.NaN, Number.POSITIVE_INFINITY, "2026-02-30", "no change"],
      ["", "many", 2, "soon", ""],
      [7, -0.5],
    ];
    const [page] = await readWorkbook(await xlsxBytes([{ name: "odd", columns, rows }]));
    expect(page!.data.slice(1)).toEqual([
      [null, "NaN", "Infinity", "2026-02-30", "no change"],
      [null, "many", 2, "soon", null],
      ["7", -0.5, null, null, null],
    ]);
  });

  it("has a long table whole", async () => {
    const columns = SHEET.columns.slice(0, 2);
    const rows = Array.from({ length: 20_000 }, (_, k) => [`Work ${k}`, k]);
    const [page] = await readWorkbook(await xlsxBytes([{ name: "long", columns, rows }]));
    expect(page!.data.slice(1)).toEqual(rows);
  });
});

describe("the parts of a workbook", () => {
  it("freeze the header row and put filters on it", async () => {
    const files = unzip(await xlsxBytes([SHEET, { ...SHEET, name: "it's <empty>", rows: [] }]));
    const book = files.get("xl/workbook.xml")!;
    expect(book).toContain(`>'Season'!$A$1:$E$${TITLES.length + 1}</definedName>`);
    expect(book).toContain(">'it''s &lt;empty&gt;'!$A$1:$E$1</definedName>");
    expect(book.indexOf("<definedNames")).toBeGreaterThan(book.indexOf("</sheets>"));
    // ECMA-376 part 1, 18.2.27: one list of names at most.
    expect(book.match(/<definedNames/g)).toHaveLength(1);
    const [first, second] = [1, 2].map((k) => files.get(`xl/worksheets/sheet${k}.xml`)!);
    expect(first).toContain(`<autoFilter ref="A1:E${TITLES.length + 1}"/>`);
    expect(second).toContain('<autoFilter ref="A1:E1"/>');
    for (const xml of [first!, second!]) {
      const [pane] = /<pane [^>]*>/.exec(xml) ?? [];
      expect(pane).toContain('ySplit="1"');
      expect(pane).toContain('topLeftCell="A2"');
      expect(pane).toContain('activePane="bottomLeft"');
      expect(pane).toContain('state="frozen"');
      // ECMA-376 part 1, 18.3.1.99: the order of the elements of a sheet.
      const tags = ["sheetPr", "sheetViews", "cols", "sheetData", "autoFilter", "pageMargins"];
      const last = ["pageSetup", "headerFooter", "ignoredErrors"];
      const order = [...tags, ...last].map((tag) => xml.indexOf(`<${tag}`));
      expect(order.every((at) => at > 0)).toBe(true);
      expect(order).toEqual([...order].sort((a, b) => a - b));
    }
  });

  it("have no formula, no link, and no control character", async () => {
    const hostile = [
      ...TITLES,
      "a\u0000b\u0007c\u001b[31m",
      "\u202Egnp.exe",
      "\ud83c half \udfbc",
      "\ufffd",
    ];
    const rows = hostile.map((title) => [title, title, title, title, title]);
    for (const [name, xml] of unzip(await xlsxBytes([{ ...SHEET, name: "=1+1", rows }]))) {
      expect(xml, name).not.toMatch(/<f[ >]|<hyperlink|[^\P{Cc}\t\n\r]|\u202e|\p{Surrogate}/u);
    }
  });

  it("are the same bytes at another time", async () => {
    const before = await xlsxBytes([SHEET]);
    // Zip files count in steps of two seconds.
    await sleep(2100);
    expect((await xlsxBytes([SHEET])).equals(before)).toBe(true);
  });

  it("are refused where the format has no room for them", async () => {
    await expect(xlsxBytes([])).rejects.toThrow(RangeError);
    await expect(xlsxBytes([{ ...SHEET, columns: [], rows: [] }])).rejects.toThrow(RangeError);
    await expect(xlsxBytes([{ ...SHEET, rows: [["a", 1, 2, "", "", "more"]] }])).rejects.toThrow(
      RangeError,
    );
  });
});

describe("texts of a cell", () => {
  it("end where the format ends them, between characters", () => {
    expect(cellText("x".repeat(32_767))).toHaveLength(32_767);
    expect(cellText("x".repeat(32_768))).toBe(`${"x".repeat(32_766)}…`);
    expect(cellText(`${"x".repeat(32_765)}🎼x`)).toBe(`${"x".repeat(32_765)}…`);
    expect(cellText("x".repeat(32_760) + "_x0041_")).not.toMatch(/\p{Surrogate}/u);
  });

  it("have line feeds for every end of a line", () => {
    expect(cellText("a\r\nb\rc\nd\u2028e\tf")).toBe("a\nb\nc\nd\ne\tf");
  });

  it("name sheets without halves of characters", () => {
    expect(sheetName(`${"x".repeat(30)}🎼`, new Set())).toBe("x".repeat(30));
  });
});

describe("days", () => {
  // ECMA-376 part 1, 18.17.4.1: 1 March 1900 is 61; 1 January 2000 is 36526, 1 January 2008 is 39448.
  it.each([
    ["1900-03-01", 61],
    ["1900-12-31", 366],
    ["2000-01-01", 36_526],
    ["2008-01-01", 39_448],
    ["2000-02-29", 36_585],
    ["9999-12-31", 2_958_465],
  ])("%s is %i", (date, serial) => {
    expect(serialDay(date)).toBe(serial);
  });

  it("go on one by one, as the calendar of the engine has them", () => {
    for (let k = 0; k < 110_000; k += 1) {
      const date = new Date(Date.UTC(1900, 2, 1 + k)).toISOString().slice(0, 10);
      if (serialDay(date) !== 61 + k) expect(`${date}: ${serialDay(date)}`).toBe(61 + k);
    }
  });

  it.each([
    "1900-02-28",
    "1899-12-31",
    "2026-02-29",
    "2100-02-29",
    "2026-13-01",
    "2026-00-01",
    "2026-1-1",
    "",
  ])("%s is none", (date) => {
    expect(serialDay(date)).toBeUndefined();
  });
});

describe("the colours of verdicts", () => {
  /** Relative luminance and contrast (WCAG 2.1). */
  function luminance(colour: string): number {
    const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
      const part = parseInt(colour.slice(at, at + 2), 16) / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  }

  function contrast(one: string, other: string): number {
    const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (light! + 0.05) / (dark! + 0.05);
  }

  it("can be read, and told apart in grey", () => {
    const fills = VERDICTS.map((verdict) => VERDICT_FILLS[verdict]);
    for (const { fill, ink } of fills) expect(contrast(fill, ink)).toBeGreaterThan(4.5);
    for (const [k, { fill }] of fills.entries()) {
      if (k > 0) {
        expect(luminance(fill)).toBeLessThan(luminance(fills[k - 1]!.fill));
        expect(contrast(fill, fills[k - 1]!.fill)).toBeGreaterThan(1.4);
      }
    }
  });
});

describeOffice("a workbook, opened in an office program", () => {
  async function opened(filter: string, name: string): Promise<string> {
    const path = join(temporaryFolder(), "season.xlsx");
    writeFileSync(path, await xlsxBytes([SHEET]));
    const files = convertInOffice(path, filter);
    return files.get(name) ?? "";
  }

  it(
    "shows every text as it was, and its numbers",
    async () => {
      const csv = await opened(EVERY_SHEET_TO_CSV, "season-Season.csv");
      const [header, ...rows] = parse(csv, { relax_column_count: false });
      expect(header).toEqual(SHEET.columns.map(({ name }) => name));
      expect(rows.map(([title]) => title)).toEqual(TITLES);
      expect(rows.map(([, changes]) => Number(changes))).toEqual(
        SHEET.rows.map(([, changes]) => changes),
      );
      expect(rows.map((row) => row[3])).toEqual(SHEET.rows.map((row) => row[3]));
      expect(rows.map((row) => row[4])).toEqual(SHEET.rows.map((row) => row[4]));
      // One decimal is shown.
      expect(rows[9]![2]).toMatch(/^1[.,]1$/);
    },
    OFFICE_TIMEOUT,
  );

  it(
    "has text in text cells, numbers in number cells, and filters",
    async () => {
      const fods = await opened("fods", "season.fods");
      expect(fods).not.toContain("table:formula");
      const kinds = [...fods.matchAll(/office:value-type="(\w+)"/g)].map(([, kind]) => kind);
      const count = (kind: string) => kinds.filter((each) => each === kind).length;
      expect(count("float")).toBe(2 * TITLES.length);
      expect(count("date")).toBe(TITLES.length);
      expect(count("string")).toBe(2 * TITLES.length + SHEET.columns.length);
      const range = `table:target-range-address="Season.A1:Season.E${TITLES.length + 1}"`;
      expect(fods.includes(range) && fods.includes('table:display-filter-buttons="true"')).toBe(
        true,
      );
      for (const { fill } of Object.values(VERDICT_FILLS)) {
        expect(fods).toContain(`fo:background-color="${fill.toLowerCase()}"`);
      }
    },
    OFFICE_TIMEOUT,
  );
});
