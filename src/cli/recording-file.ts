import { basename } from "node:path";
import * as v from "valibot";
import { InputError } from "../model/input-error.js";
import type { Recording, TimedPlace } from "../model/tempo.js";
import {
  cellNumber,
  hasDecimalComma,
  lineError,
  parseTable,
  placeFields,
  readHeader,
  readUserText,
  rowFields,
  type Table,
  type TableRow,
} from "./user-file.js";

const CODE = "bad-recording";
/** In bytes. */
const LARGEST_RECORDING = 5_000_000;
const MOST_ROWS = 200_000;

type Field = "bar" | "beat" | "pass" | "seconds";

const COLUMNS: ReadonlyMap<string, Field> = new Map([
  ["bar", "bar"],
  ["measure", "bar"],
  ["beat", "beat"],
  ["pass", "pass"],
  ["seconds", "seconds"],
  ["sec", "seconds"],
  ["time", "seconds"],
]);

const SECONDS_MESSAGE = "must be seconds, such as 83.25, or minutes and seconds, such as 1:23.25";

const placeSchema = v.object(
  { ...placeFields, seconds: v.number(SECONDS_MESSAGE) },
  // All there is to complain of: a cell that is empty.
  "is missing",
);

/**
 * Reads timings noted down from a recording: a table with commas, semicolons or tabs.
 * @throws InputError `bad-recording` naming the line and what is wrong with it
 */
export async function readRecording(path: string): Promise<Recording> {
  return parseRecording(await readUserText(path, LARGEST_RECORDING, CODE), basename(path));
}

/** Reads timings from their text; see `readRecording`. */
export function parseRecording(text: string, name: string): Recording {
  const table = parseTable(text, MOST_ROWS, CODE);
  const { columns, rows } = withColumns(table);
  const timed = rows.map((row) => ({ line: row.line, place: readPlace(row, columns, table) }));
  if (timed.length < 2) {
    const count = timed.length === 0 ? "none" : "one";
    throw new InputError(
      CODE,
      `at least two places with their seconds are needed; there is ${count}`,
    );
  }
  refuseDisorder(timed);
  return { name, places: timed.map(({ place }) => place) };
}

/** What the columns hold, and the rows below: by the header row, or without one by their count. */
function withColumns({ rows }: Table): {
  readonly columns: readonly (Field | undefined)[];
  readonly rows: readonly TableRow[];
} {
  const [first, ...below] = rows;
  if (!first) return { columns: [], rows };
  if (first.cells.some((cell) => COLUMNS.has(cell.toLowerCase()))) {
    const columns = readHeader(first, COLUMNS, CODE);
    const missing = (["bar", "seconds"] as const).find((field) => !columns.includes(field));
    if (missing === undefined) return { columns, rows: below };
    const message = `the header row must name bar and seconds; ${missing} is missing`;
    throw lineError(CODE, first.line, message);
  }
  const count = first.cells.findLastIndex((cell) => cell !== "") + 1;
  if (/\d/.test(first.cells[count - 1] ?? "")) {
    if (count === 2) return { columns: ["bar", "seconds"], rows };
    if (count === 3) return { columns: ["bar", "beat", "seconds"], rows };
  }
  throw lineError(
    CODE,
    first.line,
    "is neither a header row, which names bar and seconds (and beat, pass), nor a bar with its seconds",
  );
}

function readPlace(
  row: TableRow,
  columns: readonly (Field | undefined)[],
  table: Table,
): TimedPlace {
  const decimalComma = hasDecimalComma(table);
  const fields = [...rowFields(row, columns, table, CODE)].map(([field, cell]) => [
    field,
    field === "bar"
      ? cell
      : field === "seconds"
        ? readSeconds(cell, decimalComma)
        : cellNumber(cell, decimalComma),
  ]);
  const result = v.safeParse(placeSchema, Object.fromEntries(fields));
  if (!result.success) {
    const [issue] = result.issues;
    throw lineError(CODE, row.line, `${v.getDotPath(issue) ?? ""}: ${issue.message}`);
  }
  const { bar, beat, pass, seconds } = result.output;
  return { barLabel: bar, beat, ...(pass !== undefined && { pass }), seconds };
}

/** Seconds, "m:ss" or "h:mm:ss", each with decimals; undefined for anything else. */
function readSeconds(cell: string, decimalComma: boolean): number | undefined {
  const text = decimalComma ? cell.replace(",", ".") : cell;
  if (/^\d{1,6}(?:\.\d{1,20})?$/.test(text)) return Number(text);
  const match = /^(?:(\d{1,2}):(?=\d\d:))?(\d{1,3}):([0-5]\d(?:\.\d{1,20})?)$/.exec(text);
  if (!match) return undefined;
  const [, hours, minutes, seconds] = match;
  if (hours !== undefined && Number(minutes) >= 60) return undefined;
  return Number(hours ?? 0) * 3600 + Number(minutes) * 60 + Number(seconds);
}

/** Every place is heard after the one before it, and none twice. */
function refuseDisorder(timed: readonly { readonly line: number; readonly place: TimedPlace }[]) {
  const lines = new Map<string, number>();
  timed.forEach(({ line, place: { barLabel, beat, pass, seconds } }, k) => {
    const before = timed[k - 1];
    // Without its pass a place that comes again is the next time through the bar.
    const key = JSON.stringify([barLabel, beat, pass]);
    const first = pass === undefined ? undefined : lines.get(key);
    if (first !== undefined) {
      const place = `bar ${barLabel}, beat ${beat}, pass ${pass ?? ""}`;
      throw lineError(CODE, line, `${place} has its seconds in line ${first} already`);
    }
    if (before && seconds <= before.place.seconds) {
      const earlier = `${before.place.seconds} seconds of line ${before.line}`;
      throw lineError(CODE, line, `${seconds} seconds are not later than the ${earlier}`);
    }
    lines.set(key, line);
  });
}
