import writeSheets, { type CellObject, type SheetData } from "write-excel-file/node";
import type { Verdict } from "../model/finding.js";
import { widthOf as columnsOf, wrap } from "./util/layout.js";
import { serialDay } from "./util/serial-day.js";
import { cellText, sheetName } from "./util/sheet-text.js";
import { withoutTimes } from "./util/zip-times.js";
import { sheetSettings } from "./xlsx-settings.js";

/** A column of a sheet. */
export interface Column {
  readonly name: string;
  /** Dates are given as "2026-11-26"; verdicts by their names. */
  readonly kind: "text" | "number" | "date" | "verdict";
  /** In characters. Default: by the kind and the name. */
  readonly width?: number;
  /** Texts stay on one line, however long: for what is looked up, not read. */
  readonly oneLine?: boolean;
  /** Decimals that a number is shown with; its cell holds all of them. Default: as many as there are. */
  readonly decimals?: number;
}

/** What stands in a cell; null for nothing. */
export type CellContent = string | number | null;

/** A table with a header row. */
export interface Sheet {
  readonly name: string;
  /** How many columns go on paper, from the left; all without it. */
  readonly printedColumns?: number;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly CellContent[])[];
}

/**
 * The fill behind a verdict, always with its name in the cell. Each is darker than the one before, so
 * that they are told apart without colours as well.
 */
export const VERDICT_FILLS: Readonly<Record<Verdict, { fill: string; ink: string }>> = {
  ample: { fill: "#F3F6F4", ink: "#1B1B1B" },
  workable: { fill: "#BFD3DF", ink: "#1B1B1B" },
  tight: { fill: "#D9963A", ink: "#1B1B1B" },
  impossible: { fill: "#4A2350", ink: "#FFFFFF" },
};

/** What a sheet can hold, the header among it. */
const MOST_ROWS = 1_048_576;

const WIDTHS = { text: 24, number: 12, date: 12, verdict: 12 } as const;
const LEAST_WIDTH_PAST_NAME = 3;

/** Of a line of text, and of the air under the last; and the most that a row is given. In points. */
const LINE_HEIGHT = 14;
const AIR = 4;
const MOST_LINES = 28;

/** What the edges of a cell take of its width, in characters. */
const CELL_MARGIN = 1;

/** The font of all cells; a program that does not have it takes one of the same widths. */
const FONT = { fontFamily: "Calibri", fontSize: 11 } as const;

/**
 * A workbook (Office Open XML): one sheet for each table, its header row frozen and with filters. Texts
 * are texts, whatever they look like: never formulas, links or numbers. On paper a sheet is as wide as a
 * page, with its header on each. The same sheets make the same bytes. A table that is too long for a sheet goes on in another one with the same header.
 * @throws RangeError for no sheet, a sheet without columns, or a row with more cells than columns
 */
export async function xlsxBytes(sheets: readonly Sheet[]): Promise<Buffer> {
  if (sheets.length === 0) throw new RangeError("a workbook has a sheet at least");
  const taken = new Set<string>();
  const pages = sheets.flatMap(pagesOf).map((sheet) => {
    const name = sheetName(sheet.name, taken);
    taken.add(name.toLowerCase());
    return { ...sheet, name };
  });
  const { toBuffer } = writeSheets(
    pages.map(({ name, columns, rows }) => ({
      sheet: name,
      data: [columns.map(headerCell), ...rows.map((row) => rowCells(columns, row))],
      columns: columns.map((column) => ({ width: widthOf(column) })),
      stickyRowsCount: 1,
    })),
    { ...FONT, features: [sheetSettings(pages)] },
  );
  return withoutTimes(await toBuffer());
}

function pagesOf(sheet: Sheet): readonly Sheet[] {
  const { columns, rows } = sheet;
  if (columns.length === 0) throw new RangeError(`sheet ${sheet.name} has no columns`);
  const pages: Sheet[] = [];
  for (let from = 0; from === 0 || from < rows.length; from += MOST_ROWS - 1) {
    pages.push({ ...sheet, rows: rows.slice(from, from + MOST_ROWS - 1) });
  }
  return pages;
}

function headerCell({ name }: Column): CellObject {
  return {
    value: asOwnKey(cellText(name)),
    type: String,
    format: "@",
    fontWeight: "bold",
    bottomBorderStyle: "thin",
    alignVertical: "top",
    wrap: true,
  };
}

function rowCells(columns: readonly Column[], row: readonly CellContent[]): SheetData[number] {
  if (row.length > columns.length) throw new RangeError("a row has more cells than columns");
  const cells = columns.map((column, k) => {
    const cell = contentCell(column, row[k] ?? null);
    // A text that is longer than its column would run into the next one, or be cut off by it.
    return { ...cell, ...RULE, wrap: cell.type === String && column.oneLine !== true };
  });
  const lines = Math.max(...columns.map((column, k) => linesIn(column, row[k] ?? null)));
  const height = Math.min(lines, MOST_LINES) * LINE_HEIGHT + AIR;
  return cells.map((cell) => ({ ...cell, height }));
}

/** Lines that a text takes in its column. The format leaves the height of a row to the program, and some give it one line. */
function linesIn(column: Column, content: CellContent): number {
  if (typeof content !== "string" || column.oneLine === true) return 1;
  const width = widthOf(column);
  // No character is wider than two digits; what is past the highest row is not counted.
  if (2 * content.length <= width && !content.includes("\n")) return 1;
  const lines = cellText(content)
    .slice(0, MOST_LINES * width)
    .split("\n")
    .flatMap((line) => wrap(line, width - CELL_MARGIN, ""));
  // A word that is longer than the column is broken.
  return lines.reduce((sum, line) => sum + Math.max(1, Math.ceil(columnsOf(line) / width)), 0);
}

function contentCell({ kind, decimals }: Column, content: CellContent): CellObject {
  if (content === null || content === "") return {};
  switch (kind) {
    case "number":
      // What is no number is shown as it is, not left out.
      if (typeof content === "string" || !Number.isFinite(content))
        return { ...textCell(String(content)), ...AT_RIGHT };
      return {
        value: content,
        type: Number,
        ...(decimals !== undefined && { format: numberFormat(decimals) }),
        ...AT_RIGHT,
        alignVertical: "top",
      };
    case "date": {
      const day = serialDay(String(content));
      if (day === undefined) return textCell(String(content));
      return {
        value: day,
        type: Number,
        format: "yyyy-mm-dd",
        align: "left",
        alignVertical: "top",
      };
    }
    case "verdict": {
      const cell = textCell(String(content));
      const style = Object.entries(VERDICT_FILLS).find(([verdict]) => verdict === content)?.[1];
      return style ? { ...cell, backgroundColor: style.fill, textColor: style.ink } : cell;
    }
    case "text":
      return textCell(String(content));
  }
}

/** A line under every row that leads the eye, on paper too. */
const RULE = { bottomBorderStyle: "thin", bottomBorderColor: "#BFBFBF" } as const;

/** A step away from the text in the next column. */
const AT_RIGHT = { align: "right", indent: 1 } as const;

/** Declared as text, or typing in the cell again would make a formula of "=1+1". */
function textCell(content: string): CellObject {
  return {
    value: asOwnKey(cellText(content)),
    type: String,
    format: "@",
    alignVertical: "top",
  };
}

/**
 * The writer looks texts up in a plain object, where it finds things under names such as "constructor"
 * and would write those. U+FFFF it drops when it writes.
 */
function asOwnKey(text: string): string {
  return text in {} ? `${text}\uffff` : text;
}

function numberFormat(decimals: number): string {
  return decimals === 0 ? "0" : `0.${"0".repeat(decimals)}`;
}

/** Room for the name and the sign of the filter beside it. */
function widthOf({ name, kind, width }: Column): number {
  return width ?? Math.max(WIDTHS[kind], name.length + LEAST_WIDTH_PAST_NAME);
}
