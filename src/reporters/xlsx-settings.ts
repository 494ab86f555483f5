import type writeSheets from "write-excel-file/node";
import {
  getCellAddress,
  getClosingTagMarkup,
  getOpeningTagMarkup,
  getOrderOfSiblings,
  getSelfClosingTagMarkup,
  insertElementMarkupAccordingToOrderOfSiblings,
  sanitizeTextContent,
} from "write-excel-file/utility";
import type { Sheet } from "./xlsx.js";

type Feature = NonNullable<NonNullable<Parameters<typeof writeSheets>[1]>["features"]>[number];

/** Paper as ECMA-376 part 1, 18.3.1.63 numbers it: 9 is A4. No height, so that there are as many pages as it takes. */
const PAPER = { paperSize: 9, orientation: "landscape", fitToWidth: 1, fitToHeight: 0 };

const NO_NAMES = "<definedNames/>";

/** In inches. */
const MARGINS = { left: 0.4, right: 0.4, top: 0.4, bottom: 0.6, header: 0.3, footer: 0.3 };

/** The name of the sheet at the left, the pages at the right (18.3.1.46). */
const FOOTER = "&L&A&R&P / &N";

/**
 * What a sheet is besides its cells: filters on the header row, the pane below a frozen row by its right
 * name, and how it is printed: across a page of A4, the header on each, and what is printed of it.
 */
export function sheetSettings(pages: readonly Sheet[]): Feature {
  return {
    files: {
      transform: {
        "xl/worksheets/sheet{id}.xml": {
          transform: (xml, _, { sheetIndex }) => {
            const page = pages[sheetIndex];
            if (!page) throw new RangeError(`no sheet ${sheetIndex}`);
            return withSettings(xml, page);
          },
        },
        "xl/workbook.xml": {
          // The writer leaves an empty list, and the format has room for one only.
          transform: (xml) => {
            const names = `<definedNames>${pages.map(namesOf).join("")}</definedNames>`;
            if (!xml.includes(NO_NAMES)) throw new RangeError("no place for the names of ranges");
            return xml.replace(NO_NAMES, () => names);
          },
        },
      },
    },
  };
}

function withSettings(xml: string, { rows, columns }: Sheet): string {
  const order = getOrderOfSiblings("xl/worksheets/sheet{id}.xml", "worksheet") ?? [];
  const range = `A1:${getCellAddress(rows.length, columns.length - 1)}`;
  const fit = getSelfClosingTagMarkup("pageSetUpPr", { fitToPage: 1 });
  const elements = [
    `<sheetPr>${fit}</sheetPr>`,
    getSelfClosingTagMarkup("autoFilter", { ref: range }),
    getSelfClosingTagMarkup("pageMargins", MARGINS),
    getSelfClosingTagMarkup("pageSetup", PAPER),
    `<headerFooter><oddFooter>${sanitizeTextContent(FOOTER)}</oddFooter></headerFooter>`,
  ];
  const named = xml.replace('xSplit="0" ', "").replace('"bottomRight"', '"bottomLeft"');
  const whole = elements.reduce(
    (sheet, element) =>
      insertElementMarkupAccordingToOrderOfSiblings(sheet, element, order, "worksheet"),
    named,
  );
  // Titles such as "1984" are meant as texts: no mark of warning in every such cell (18.3.1.51).
  const ignored = getSelfClosingTagMarkup("ignoredError", { sqref: range, numberStoredAsText: 1 });
  return whole.replace(/<\/worksheet>$/, `<ignoredErrors>${ignored}</ignoredErrors></worksheet>`);
}

/**
 * Names that the programs look for: the range of the filter, without which some show none; the part that is
 * printed, and the rows that are on every page (18.2.6).
 */
function namesOf({ name, columns, rows, printedColumns }: Sheet, index: number): string {
  const sheet = `'${name.replaceAll("'", "''")}'`;
  const cells = (count: number) => {
    const end = getCellAddress(rows.length, count - 1).replace(/\d+/, "$$$&");
    return `${sheet}!$A$1:$${end}`;
  };
  return [
    definedName("_FilterDatabase", index, cells(columns.length), { hidden: 1 }),
    definedName("Print_Area", index, cells(printedColumns ?? columns.length)),
    definedName("Print_Titles", index, `${sheet}!$1:$1`),
  ].join("");
}

function definedName(
  name: string,
  sheetIndex: number,
  range: string,
  more: Readonly<Record<string, number>> = {},
): string {
  const attributes = { name: `_xlnm.${name}`, localSheetId: sheetIndex, ...more };
  return (
    getOpeningTagMarkup("definedName", attributes) +
    sanitizeTextContent(range) +
    getClosingTagMarkup("definedName")
  );
}
