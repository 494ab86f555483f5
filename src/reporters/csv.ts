import { stringify } from "csv-stringify/sync";
import type { CheckReport, InstrumentChange, PartReport } from "../model/report.js";
import { toNumber } from "../theory/fraction.js";
import { evidenceText } from "./wording/advice.js";
import { disagreementText } from "./wording/disagreements.js";
import { partName } from "./wording/parts.js";
import { hazardText } from "./wording/hazards.js";

/** The columns in their order; names and order are part of the output contract. */
const COLUMNS: readonly {
  readonly name: string;
  readonly value: (part: PartReport, change: InstrumentChange) => string | number;
}[] = [
  { name: "file", value: ({ file }) => guard(file) },
  { name: "title", value: ({ title }) => guard(title) },
  { name: "movement", value: ({ movement }) => guard(movement) },
  { name: "part", value: ({ part }) => guard(partName(part)) },
  { name: "change", value: (_, { number }) => number },
  { name: "from", value: (_, { from }) => from },
  { name: "to", value: (_, { to }) => to },
  { name: "leave_bar", value: (_, { leave }) => guard(leave.barLabel) },
  { name: "leave_pass", value: (_, { leave }) => leave.pass },
  { name: "leave_beat", value: (_, { leave }) => decimals(leave.beat, 4) },
  { name: "enter_bar", value: (_, { enter }) => guard(enter.barLabel) },
  { name: "enter_pass", value: (_, { enter }) => enter.pass },
  { name: "enter_beat", value: (_, { enter }) => decimals(enter.beat, 4) },
  { name: "rest_quarters", value: (_, { rest }) => decimals(toNumber(rest.quarters), 6) },
  { name: "rest_seconds_short", value: (_, { rest }) => decimals(rest.seconds.short, 3) },
  { name: "rest_seconds_likely", value: (_, { rest }) => decimals(rest.seconds.likely, 3) },
  { name: "rest_seconds_long", value: (_, { rest }) => decimals(rest.seconds.long, 3) },
  { name: "needed_seconds", value: (_, { needed }) => decimals(needed.seconds, 3) },
  { name: "lookup_seconds", value: (_, { lookUp }) => decimals(lookUp.seconds, 3) },
  { name: "verdict", value: (_, { verdict }) => verdict },
  { name: "tempo_source", value: (_, { rest }) => rest.tempoSource },
  { name: "hazards", value: (_, { hazards }) => guard(hazards.map(hazardText).join("; ")) },
  {
    name: "evidence",
    value: (_, { evidence, disagreements }) =>
      guard([...evidence.map(evidenceText), ...disagreements.map(disagreementText)].join("; ")),
  },
];

/** One row a change (RFC 4180: CRLF, quotes where needed), with a header row. */
export function renderCsv(report: CheckReport, delimiter: string, bom: boolean): string {
  const rows = report.parts.flatMap((part) =>
    part.changes.map((change) => COLUMNS.map(({ value }) => value(part, change))),
  );
  return csvText([COLUMNS.map(({ name }) => name), ...rows], delimiter, bom);
}

/** Rows as a table (RFC 4180: CRLF, quotes where needed), the header row among them. */
export function csvText(
  rows: readonly (readonly (string | number)[])[],
  delimiter: string,
  bom: boolean,
): string {
  return stringify([...rows], {
    delimiter,
    bom,
    record_delimiter: "windows",
    // RFC 4180 quotes a lone line feed or carriage return as well as the pair.
    quoted_match: /[\r\n]/,
    // Options for a cell are looked through for every one of them.
    cast: { string: (value) => (looksLikeValue(value) ? { value, quoted: true } : value) },
  });
}

/**
 * Whether a spreadsheet would make another text of it ("007", "1e5", "1/2", "TRUE"). In quotes it stays what
 * it is for one that is told to take what is quoted for text; other readers see no difference. Whole numbers
 * (of bars, of movements) and days come back as they were, and are worth more as numbers and days.
 */
function looksLikeValue(text: string): boolean {
  if (/^(?:0|[1-9]\d{0,8}|\d{4}-\d{2}-\d{2})$/.test(text)) return false;
  return /^\s*(?:[\p{Nd}.,(%\p{Sc}]|(?:true|false)\s*$)/iu.test(text);
}

/** What a spreadsheet may take for the beginning of a formula; the full-width ones too. */
const FORMULA_SIGN = "[=+\\-@＝＋－＠]";

/** White space before the sign, because some readers trim; apostrophes, so that one can be taken off again. */
const NEEDS_GUARD = new RegExp(
  `^'*(?:${FORMULA_SIGN}|\\p{Cc})|^'+\\s|^[\\s\\p{Cc}]+${FORMULA_SIGN}`,
  "u",
);

/**
 * Keeps a text from a file from being taken for a formula by a spreadsheet: an apostrophe before a
 * leading = + - @ (full-width ones too) or control character. Control characters but tab and ends of lines
 * are spaces in what comes out.
 *
 * The way back: where a cell begins with one or more apostrophes and then white space or one of these
 * signs, the first apostrophe is not part of the text.
 */
export function guard(text: string): string {
  const guarded = NEEDS_GUARD.test(text) ? `'${text}` : text;
  // Tabs and line ends are text; what else controls a terminal is not.
  return guarded.replace(/[^\P{Cc}\t\n\r]/gu, " ");
}

export function decimals(value: number, places: number): number {
  return Number(value.toFixed(places));
}
