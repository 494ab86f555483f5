import { createReadStream } from "node:fs";
import { TextDecoder } from "node:util";
import { CsvError, parse } from "csv-parse/sync";
import * as v from "valibot";
import { isMap, isNode, isScalar, isSeq, LineCounter, parseDocument, visit } from "yaml";
import { InputError } from "../model/input-error.js";

/** The files a player writes by hand, by the code of the error when one cannot be used. */
export type UserFileCode = "bad-profile" | "bad-tempo-sheet" | "bad-recording" | "bad-season";

const FILE_NOUN: Readonly<Record<UserFileCode, string>> = {
  "bad-profile": "the profile",
  "bad-tempo-sheet": "the tempo sheet",
  "bad-recording": "the recording",
  "bad-season": "the season file",
};

/**
 * Reads a text file a player wrote: UTF-8, or UTF-16 with its mark, as spreadsheets save it.
 * @param limit the most bytes it may have; no more than one beyond is read, whatever the file is
 * @throws InputError with that code
 */
export async function readUserText(
  path: string,
  limit: number,
  code: UserFileCode,
): Promise<string> {
  if (path === "-") {
    throw new InputError(code, "cannot be used here; give the name of a file");
  }
  const chunks: Buffer[] = [];
  try {
    for await (const chunk of createReadStream(path, { end: limit })) chunks.push(chunk as Buffer);
  } catch (error) {
    const fault = error instanceof Error && "code" in error ? String(error.code) : "";
    const what =
      fault === "ENOENT" ? "there is no such file" : `cannot be read (${fault || "unknown fault"})`;
    throw new InputError(code, what, { cause: error });
  }
  const bytes = Buffer.concat(chunks);
  if (bytes.length > limit) throw new InputError(code, `${FILE_NOUN[code]} is too large`);
  return decode(bytes, code);
}

/** The text without its byte order mark. */
function decode(bytes: Buffer, code: UserFileCode): string {
  const [first, second] = bytes;
  const encoding =
    first === 0xff && second === 0xfe
      ? "utf-16le"
      : first === 0xfe && second === 0xff
        ? "utf-16be"
        : "utf-8";
  if (encoding === "utf-8" && bytes.includes(0)) {
    throw new InputError(code, `${FILE_NOUN[code]} is not a text file`);
  }
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    const what = `${FILE_NOUN[code]} is not valid ${encoding.slice(0, 6).toUpperCase()}: save it as text in UTF-8`;
    throw new InputError(code, what, { cause: error });
  }
}

/** An error of one line: `line 9: beat: must be 1 or more`. */
export function lineError(code: UserFileCode, line: number, message: string): InputError {
  return new InputError(code, `line ${line}: ${message}`);
}

/** Without a byte order mark, and with every line ended by a line feed. */
function plainLines(text: string): string {
  return text.replace(/^\uFEFF/, "").replace(/\r\n?/g, "\n");
}

// --- YAML and JSON -------------------------------------------------------------------------------

/** What a YAML or JSON file holds. */
export interface YamlFile {
  /** Null for an empty file. */
  readonly value: unknown;
  /** The line, from 1, on which a field or an item of a list begins, or the group it should be in. */
  readonly lineOf: (path: readonly (string | number)[]) => number;
}

/**
 * Reads a YAML or JSON text; JSON is YAML.
 * @throws InputError with that code
 */
export function parseYamlFile(text: string, code: UserFileCode): YamlFile {
  const lines = plainLines(text);
  const unreadable = (reason: string, cause?: unknown) =>
    new InputError(code, `not readable as YAML or JSON: ${reason}`, { cause });
  if (nestsTooDeeply(lines)) throw unreadable("it is nested too deeply");
  const lineCounter = new LineCounter();
  // What the parser would warn of is no concern of the player's. The other two it does in a time that
  // grows with the square of the file: naming the place of every fault, and comparing all keys.
  const document = parseDocument(lines, {
    logLevel: "error",
    prettyErrors: false,
    uniqueKeys: false,
    lineCounter,
  });
  const placeOf = (offset: number) => {
    const { line, col } = lineCounter.linePos(offset);
    return `at line ${line}, column ${col}`;
  };
  const [fault] = document.errors;
  if (fault) {
    throw unreadable(
      fault.code === "MULTIPLE_DOCS"
        ? "it holds more than one document"
        : `${fault.message} ${placeOf(fault.pos[0])}`,
      fault,
    );
  }
  visit(document, {
    Map(_, { items }) {
      const seen = new Set<unknown>();
      for (const { key } of items) {
        const name = isScalar(key) ? String(key.value) : key;
        if (seen.has(name)) {
          throw unreadable(`a field is given twice, again ${placeOf(startOf(key) ?? 0)}`);
        }
        seen.add(name);
      }
    },
  });
  return {
    value: unfold(),
    lineOf: (path) => lineCounter.linePos(offsetOf(document.contents, path)).line,
  };

  function unfold(): unknown {
    try {
      // Aliases are bounded, so that a few lines cannot unfold into gigabytes.
      return document.toJS({ maxAliasCount: 20 }) as unknown;
    } catch (error) {
      if (!(error instanceof ReferenceError)) throw error;
      throw unreadable(error.message, error);
    }
  }
}

/** No file of a player's comes near it. */
const DEEPEST = 100;

/**
 * Whether a text could make the parser recurse without end: it then brings down the process, or
 * takes minutes. Errs on the side of too deep, by brackets and marks that stand in a text.
 */
function nestsTooDeeply(text: string): boolean {
  let open = 0;
  let unopened = 0;
  for (const line of text.split("\n")) {
    if (line.search(/[^ ]/) > DEEPEST) return true;
    const marks = line.match(/(?<=^|[\s[{,])(?:[-?:](?=\s|$)|[!&])/g);
    if (marks && marks.length > DEEPEST) return true;
    for (const [bracket] of line.matchAll(/[[\]{}]/g)) {
      if (bracket === "[" || bracket === "{") open++;
      else if (open > 0) open--;
      else unopened++;
      if (open > DEEPEST || unopened > DEEPEST) return true;
    }
  }
  return false;
}

/** Where the last step of a path begins, or the last one that is there. */
function offsetOf(contents: unknown, path: readonly (string | number)[]): number {
  let node = contents;
  let offset = startOf(node) ?? 0;
  for (const step of path) {
    if (isMap(node)) {
      const pair = node.items.find(({ key }) => isScalar(key) && String(key.value) === step);
      offset = startOf(pair?.key) ?? offset;
      node = pair?.value;
    } else if (isSeq(node)) {
      node = node.items[Number(step)];
      offset = startOf(node) ?? offset;
    } else break;
  }
  return offset;
}

function startOf(node: unknown): number | undefined {
  return isNode(node) ? node.range?.[0] : undefined;
}

// --- Tables --------------------------------------------------------------------------------------

const DELIMITER_NAMES = { "\t": "tab", ";": "semicolon", ",": "comma" } as const;
type Delimiter = keyof typeof DELIMITER_NAMES;

/** A text of lines and cells: CSV, or the like with semicolons or tabs. */
export interface Table {
  readonly delimiter: Delimiter;
  /** Without those that are empty and those that begin with `#`. */
  readonly rows: readonly TableRow[];
}

/** One row; its cells have no blanks around them. */
export interface TableRow {
  /** The line, from 1, on which the row begins. */
  readonly line: number;
  readonly cells: readonly string[];
}

/** The first line that is neither empty nor a remark; the empty text when there is none. */
export function firstTableLine(text: string): string {
  return /^(?!#).*[^\s,;].*$/m.exec(plainLines(text))?.[0] ?? "";
}

/** The delimiter of a line; undefined when it has none. */
export function delimiterOf(line: string): Delimiter | undefined {
  // The comma is the last: it may stand in the numbers of tables with another delimiter.
  return (["\t", ";", ","] as const).find((each) => line.includes(each));
}

/** Whether numbers may have a comma for the point. */
export function hasDecimalComma({ delimiter }: Table): boolean {
  return delimiter !== ",";
}

/**
 * Reads a table; its first line tells the delimiter.
 * @param mostRows the most it may have below its header row
 * @throws InputError with that code, naming the line
 */
export function parseTable(text: string, mostRows: number, code: UserFileCode): Table {
  const delimiter = delimiterOf(firstTableLine(text)) ?? ",";
  const rows = csvRows(plainLines(text), delimiter, mostRows + 2, code);
  if (rows.length > mostRows + 1) {
    throw new InputError(code, `${FILE_NOUN[code]} has more than ${mostRows} rows`);
  }
  return { delimiter, rows };
}

function csvRows(
  text: string,
  delimiter: Delimiter,
  upTo: number,
  code: UserFileCode,
): readonly TableRow[] {
  const rows: TableRow[] = [];
  let linesRead = 0;
  try {
    parse(text, {
      delimiter,
      record_delimiter: ["\n"],
      comment: "#",
      comment_no_infix: true,
      on_record: (record: readonly string[], { lines }) => {
        linesRead = lines;
        // The parser counts to the last line of a row.
        const line = lines - record.join("").split("\n").length + 1;
        rows.push({ line, cells: record.map((cell) => cell.trim()) });
        return null;
      },
      relax_column_count: true,
      skip_empty_lines: true,
      skip_records_with_empty_values: true,
      to: upTo,
      // It would take a tab that is the delimiter for a blank.
      trim: delimiter !== "\t",
    });
    return rows;
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const atEnd = error.code === "CSV_QUOTE_NOT_CLOSED";
    const found = typeof error["lines"] === "number" ? error["lines"] : 1;
    // A mark that is not closed takes in the rest of the file; the row it stands in is of use.
    const line = atEnd ? nextRowLine(text, linesRead) : found;
    throw lineError(code, line, CSV_FAULTS[error.code] ?? "is not readable as a table");
  }
}

/** The line, from 1, of the first row after so many lines. */
function nextRowLine(text: string, linesRead: number): number {
  const after = text.split("\n").slice(linesRead);
  return linesRead + 1 + Math.max(0, after.indexOf(firstTableLine(after.join("\n"))));
}

const UNDOUBLED =
  'a cell goes on after its closing quotation mark: inside quotes a mark is doubled ("")';
const CSV_FAULTS: Readonly<Partial<Record<string, string>>> = {
  CSV_QUOTE_NOT_CLOSED: "a quotation mark is not closed",
  INVALID_OPENING_QUOTE:
    'a quotation mark stands inside a cell: put the cell in quotes and double the mark ("")',
  CSV_INVALID_CLOSING_QUOTE: UNDOUBLED,
  CSV_NON_TRIMABLE_CHAR_AFTER_CLOSING_QUOTE: UNDOUBLED,
};

/**
 * The fields that the cells of a header row stand for, whatever their case; undefined for one that
 * is empty.
 * @param names the fields by the names they may have
 * @throws InputError with that code
 */
export function readHeader<Field extends string>(
  { line, cells }: TableRow,
  names: ReadonlyMap<string, Field>,
  code: UserFileCode,
): readonly (Field | undefined)[] {
  const columns: (Field | undefined)[] = [];
  for (const cell of cells) {
    const field = names.get(cell.toLowerCase());
    if (field === undefined && cell !== "") {
      const possible = [...new Set(names.values())].join(", ");
      throw lineError(
        code,
        line,
        `"${cell.slice(0, 40)}" is not a column of ${FILE_NOUN[code]}; the columns are ${possible}`,
      );
    }
    if (field !== undefined && columns.includes(field)) {
      throw lineError(code, line, `the header row names ${field} twice`);
    }
    columns.push(field);
  }
  return columns;
}

/**
 * The cells of a row by their fields, without those that are empty.
 * @throws InputError with that code for a cell in no column
 */
export function rowFields<Field extends string>(
  { line, cells }: TableRow,
  columns: readonly (Field | undefined)[],
  { delimiter }: Table,
  code: UserFileCode,
): ReadonlyMap<Field, string> {
  const fields = new Map<Field, string>();
  cells.forEach((cell, k) => {
    const field = columns[k];
    if (cell === "") return;
    if (field === undefined) {
      const name = DELIMITER_NAMES[delimiter];
      throw lineError(
        code,
        line,
        `cell ${k + 1} is in no column (a ${name} inside a cell needs quotation marks around the cell)`,
      );
    }
    fields.set(field, cell);
  });
  return fields;
}

/** A cell as a number; as it stands when it is none, for the check of the field to complain of. */
export function cellNumber(cell: string, decimalComma: boolean): number | string {
  const text = decimalComma ? cell.replace(",", ".") : cell;
  return /^-?\d{1,15}(?:\.\d{1,20})?$/.test(text) ? Number(text) : cell;
}

// --- Fields --------------------------------------------------------------------------------------

const BAR_MESSAGE = "must be the printed number of a bar";
const BEAT_MESSAGE = "must be a number, such as 2 or 2.5";
const PASS_MESSAGE = "must be a whole number from 1: 2 for the second time through the bar";

/** Where something is, as a player writes it down. */
export const placeFields = {
  bar: v.pipe(
    v.union([v.string(), v.pipe(v.number(), v.safeInteger(BAR_MESSAGE))], BAR_MESSAGE),
    v.transform((bar) => String(bar).trim()),
    v.nonEmpty(BAR_MESSAGE),
  ),
  beat: v.exactOptional(
    v.pipe(
      v.number(BEAT_MESSAGE),
      v.minValue(1, "must be 1 or more: beats are counted from 1"),
      v.maxValue(1000, "must be at most 1000"),
    ),
    1,
  ),
  pass: v.exactOptional(
    v.pipe(v.number(PASS_MESSAGE), v.safeInteger(PASS_MESSAGE), v.minValue(1, PASS_MESSAGE)),
  ),
};
