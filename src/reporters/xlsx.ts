import writeSheets, { type CellObject, type SheetData } from "write-excel-file/node";
import {
  getCellAddress,
  getClosingTagMarkup,
  getOpeningTagMarkup,
  getOrderOfSiblings,
  getSelfClosingTagMarkup,
  insertElementMarkupAccordingToOrderOfSiblings,
  sanitizeTextContent,
} from "write-excel-file/utility";
import type { Verdict } from "../model/finding.js";
import { serialDay } from "./util/serial-day.js";
import { cellText, sheetName } from "./util/sheet-text.js";
import { withoutTimes } from "./util/zip-times.js";

type Feature = NonNullable<NonNullable<Parameters<typeof writeSheets>[1]>["features"]>[number];

/** A column of a sheet. */
export interface Column {
  readonly name: string;
  /** Dates are given as "2026-11-26"; verdicts by their names. */
  readonly kind: "text" | "number" | "date" | "verdict";
  /** In characters. Default: by the kind and the name. */
  readonly width?: number;
  /** Decimals that a number is shown with; its cell holds all of them. Default: as many as there are. */
  readonly decimals?: number;
}

/** What stands in a cell; null for nothing. */
export type CellContent = string | number | null;

/** A table with a header row. */
export interface Sheet {
  readonly name: string;
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
const LEAST_WIDTH_PAST_NAME = 4;

/**
 * A workbook (Office Open XML): one sheet for each table, its header row frozen and with filters. Texts
 * are texts, whatever they look like: never formulas, links or numbers. The same sheets make the same
 * bytes. A table that is too long for a sheet goes on in another one with the same header.
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
    { features: [filters(pages)] },
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
  return columns.map((column, k) => contentCell(column, row[k] ?? null));
}

function contentCell({ kind, decimals }: Column, content: CellContent): CellObject | null {
  if (content === null || content === "") return null;
  switch (kind) {
    case "number":
      // What is no number is shown as it is, not left out.
      if (typeof content === "string" || !Number.isFinite(content))
        return textCell(String(content));
      return {
        value: content,
        type: Number,
        ...(decimals !== undefined && { format: numberFormat(decimals) }),
        alignVertical: "top",
      };
    case "date": {
      const day = serialDay(String(content));
      if (day === undefined) return textCell(String(content));
      return { value: day, type: Number, format: "yyyy-mm-dd", alignVertical: "top" };
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

/** Declared as text, or typing in the cell again would make a formula of "=1+1". */
function textCell(content: string): CellObject {
  const value = asOwnKey(cellText(content));
  return {
    value,
    type: String,
    format: "@",
    alignVertical: "top",
    ...(value.includes("\n") && { wrap: true }),
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

/**
 * Filters on the header row; and the pane below a frozen row by its right name. The range of a filter is
 * a hidden name of the workbook as well: without it some programs show no filters.
 */
function filters(pages: readonly Sheet[]): Feature {
  const sheetOrder = getOrderOfSiblings("xl/worksheets/sheet{id}.xml", "worksheet") ?? [];
  const bookOrder = getOrderOfSiblings("xl/workbook.xml", "workbook") ?? [];
  return {
    files: {
      transform: {
        "xl/worksheets/sheet{id}.xml": {
          transform: (xml, _, { sheetIndex }) => {
            const page = pages[sheetIndex];
            if (!page) throw new RangeError(`no sheet ${sheetIndex}`);
            const ref = `A1:${getCellAddress(page.rows.length, page.columns.length - 1)}`;
            return insertElementMarkupAccordingToOrderOfSiblings(
              xml.replace('xSplit="0" ', "").replace('"bottomRight"', '"bottomLeft"'),
              getSelfClosingTagMarkup("autoFilter", { ref }),
              sheetOrder,
              "worksheet",
            );
          },
        },
        "xl/workbook.xml": {
          transform: (xml) =>
            insertElementMarkupAccordingToOrderOfSiblings(
              xml,
              `<definedNames>${pages.map(filterName).join("")}</definedNames>`,
              bookOrder,
              "workbook",
            ),
        },
      },
    },
  };
}

function filterName({ name, columns, rows }: Sheet, index: number): string {
  const end = getCellAddress(rows.length, columns.length - 1).replace(/\d+/, "$$$&");
  const attributes = { name: "_xlnm._FilterDatabase", localSheetId: index, hidden: 1 };
  const range = `'${name.replaceAll("'", "''")}'!$A$1:$${end}`;
  return (
    getOpeningTagMarkup("definedName", attributes) +
    sanitizeTextContent(range) +
    getClosingTagMarkup("definedName")
  );
}
