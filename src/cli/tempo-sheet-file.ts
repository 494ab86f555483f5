import { extname } from "node:path";
import * as v from "valibot";
import { InputError } from "../model/input-error.js";
import { BEATS_PER_MINUTE, type SheetTempo } from "../model/tempo.js";
import type { TempoRange } from "../model/time.js";
import { noteValueQuarters } from "../musicxml/durations.js";
import { toNumber } from "../theory/fraction.js";
import {
  cellNumber,
  delimiterOf,
  firstTableLine,
  hasDecimalComma,
  lineError,
  parseTable,
  parseYamlFile,
  placeFields,
  readHeader,
  readUserText,
  rowFields,
} from "./user-file.js";

const CODE = "bad-tempo-sheet";
/** In bytes. */
const LARGEST_SHEET = 200_000;
const MOST_ROWS = 10_000;

/**
 * How far a conductor strays from a number the player has noted, as a part of it. An assumption: one
 * who has taken a tempo keeps it within that (common practice, no source).
 */
export const SHEET_SPREAD = 0.04;
/** The same for "ca.", as for a printed number. */
const APPROXIMATE_SPREAD = 0.1;

/** The note values by the names musicians have for them; the values are those MusicXML names. */
const NOTE_VALUES: ReadonlyMap<string, string> = new Map([
  ["whole", "whole"],
  ["semibreve", "whole"],
  ["half", "half"],
  ["minim", "half"],
  ["quarter", "quarter"],
  ["crotchet", "quarter"],
  ["eighth", "eighth"],
  ["8th", "eighth"],
  ["quaver", "eighth"],
  ["16th", "16th"],
  ["sixteenth", "16th"],
  ["semiquaver", "16th"],
  ["32nd", "32nd"],
  ["thirty-second", "32nd"],
  ["demisemiquaver", "32nd"],
]);

const UNIT_MESSAGE =
  "must be whole, half, quarter, eighth, 16th or 32nd (or semibreve, minim, crotchet, quaver, " +
  'semiquaver, demisemiquaver), with "dotted" or "double-dotted" before it where it has dots';
const TEMPO_MESSAGE = `must be beats a minute from ${BEATS_PER_MINUTE.least} to ${BEATS_PER_MINUTE.most}, such as 126, 126-132 or ca. 126`;
const FIELDS_MESSAGE = "the fields are bar, beat, unit, tempo, pass and note";
const SHEET_MESSAGE =
  "must hold a list named tempi, or be a table whose header row names bar and tempo";

const unit = v.pipe(
  v.string(UNIT_MESSAGE),
  v.rawTransform(({ dataset, addIssue, NEVER }) => {
    const value = readUnit(dataset.value);
    if (value) return value;
    addIssue({ message: UNIT_MESSAGE });
    return NEVER;
  }),
);

const tempo = v.pipe(
  v.union([v.string(), v.number()], TEMPO_MESSAGE),
  v.rawTransform(({ dataset, addIssue, NEVER }) => {
    const value = readNumbers(String(dataset.value));
    if (typeof value !== "string") return value;
    addIssue({ message: value });
    return NEVER;
  }),
);

/** For a field that is missing, for one that is no field, and for a value that is no group at all. */
const groupMessage = ({ expected }: { readonly expected: string | null }) =>
  expected === "never"
    ? `is not a field of a tempo; ${FIELDS_MESSAGE}`
    : expected?.startsWith('"')
      ? "is missing"
      : `must be a group of fields; ${FIELDS_MESSAGE}`;

const entrySchema = v.strictObject(
  {
    ...placeFields,
    unit: v.exactOptional(unit, "quarter"),
    tempo,
    note: v.exactOptional(v.string("must be a text"), ""),
  },
  groupMessage,
);
type Entry = v.InferOutput<typeof entrySchema>;

/** An entry as it stands in the file. */
interface RawEntry {
  readonly line: number;
  /** How the entry is named in a message: "tempi.2"; empty in a table. */
  readonly name: string;
  readonly fields: unknown;
}

/**
 * Reads a player's tempo sheet: YAML or JSON, or a table with commas, semicolons or tabs.
 * @throws InputError `bad-tempo-sheet` naming the line and what is wrong with it
 */
export async function readTempoSheet(path: string): Promise<readonly SheetTempo[]> {
  return parseTempoSheet(await readUserText(path, LARGEST_SHEET, CODE), extname(path));
}

/**
 * Reads a tempo sheet from its text; see `readTempoSheet`.
 * @param extension of the file, such as ".csv"; where it tells nothing the text does
 */
export function parseTempoSheet(text: string, extension = ""): readonly SheetTempo[] {
  const raw = isTable(text, extension.toLowerCase()) ? tableEntries(text) : yamlEntries(text);
  if (raw.length === 0) throw noTempi();
  const lines = new Map<string, number>();
  return raw.map((each) => {
    const entry = checkEntry(each);
    const { bar, beat, pass } = entry;
    const place = JSON.stringify([bar, beat, pass ?? null]);
    const first = lines.get(place);
    if (first !== undefined) {
      const inPass = pass === undefined ? "" : `, pass ${pass}`;
      throw lineError(
        CODE,
        each.line,
        `bar ${bar}, beat ${beat}${inPass} has its tempo in line ${first} already`,
      );
    }
    lines.set(place, each.line);
    return sheetTempo(entry);
  });
}

/** By the extension, else by the first line: that of a table has cells, and no field before them. */
function isTable(text: string, extension: string): boolean {
  if ([".csv", ".tsv"].includes(extension)) return true;
  if ([".yaml", ".yml", ".json"].includes(extension)) return false;
  const line = firstTableLine(text);
  return delimiterOf(line) !== undefined && !/^\s*[[{%-]|^[^,;\t]*:/.test(line);
}

function noTempi() {
  return new InputError(CODE, `there are no tempi in it: it ${SHEET_MESSAGE}`);
}

function yamlEntries(text: string): readonly RawEntry[] {
  const { value, lineOf } = parseYamlFile(text, CODE);
  if (value === null) throw noTempi();
  if (typeof value !== "object" || !("tempi" in value)) throw new InputError(CODE, SHEET_MESSAGE);
  const { tempi, ...others } = value;
  const [unknown] = Object.keys(others);
  if (unknown !== undefined) {
    const message = `${unknown}: is not a field of a tempo sheet; the only one is tempi`;
    throw lineError(CODE, lineOf([unknown]), message);
  }
  if (tempi === null) throw noTempi();
  if (!Array.isArray(tempi)) {
    throw lineError(CODE, lineOf(["tempi"]), "tempi: must be a list of tempi");
  }
  return tempi.map((fields: unknown, k) => ({
    line: lineOf(["tempi", k]),
    name: `tempi.${k}`,
    fields,
  }));
}

const COLUMNS: ReadonlyMap<string, string> = new Map(
  ["bar", "beat", "unit", "tempo", "pass", "note"].map((name) => [name, name]),
);

function tableEntries(text: string): readonly RawEntry[] {
  const table = parseTable(text, MOST_ROWS, CODE);
  const [header, ...rows] = table.rows;
  if (!header) throw noTempi();
  const columns = readHeader(header, COLUMNS, CODE);
  const missing = ["bar", "tempo"].find((name) => !columns.includes(name));
  if (missing !== undefined) {
    throw lineError(
      CODE,
      header.line,
      `the header row must name bar and tempo; ${missing} is missing`,
    );
  }
  return rows.map((row) => {
    const cells = rowFields(row, columns, table, CODE);
    const fields = [...cells].map(([name, cell]): [string, unknown] =>
      name === "beat" || name === "pass"
        ? [name, cellNumber(cell, hasDecimalComma(table))]
        : [name, cell],
    );
    return { line: row.line, name: "", fields: Object.fromEntries(fields) };
  });
}

function checkEntry({ line, name, fields }: RawEntry): Entry {
  // A list would count as a group whose fields are numbers.
  const result = v.safeParse(entrySchema, Array.isArray(fields) ? null : fields);
  if (result.success) return result.output;
  // A misspelt field before the one that is missing for it.
  const issue = result.issues.find(({ expected }) => expected === "never") ?? result.issues[0];
  const path = [name, v.getDotPath(issue) ?? ""].filter(Boolean).join(".");
  throw lineError(CODE, line, path === "" ? issue.message : `${path}: ${issue.message}`);
}

function sheetTempo({ bar, beat, pass, unit: value, tempo: numbers, note }: Entry): SheetTempo {
  const { slow, likely, fast } = numbers.perMinute;
  const equation = `${value.name} = ${numbers.written}`;
  const words = oneLine(note);
  return {
    barLabel: bar,
    beat,
    ...(pass !== undefined && { pass }),
    quartersPerMinute: {
      slow: slow * value.quarters,
      likely: likely * value.quarters,
      fast: fast * value.quarters,
    },
    text: words ? `${words} (${equation})` : equation,
  };
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}

/** A note value: "quarter", "dotted half", "double-dotted minim", "Quarter." */
function readUnit(text: string): { readonly name: string; readonly quarters: number } | undefined {
  const match = /^(?:(dotted|double[- ]dotted)[- ])?([a-z0-9-]+)(?: note)?(\.{0,2})$/.exec(
    oneLine(text).toLowerCase(),
  );
  if (!match) return undefined;
  const [, before, name = "", after = ""] = match;
  if (before !== undefined && after !== "") return undefined;
  const dots = before === undefined ? after.length : before === "dotted" ? 1 : 2;
  const type = NOTE_VALUES.get(name);
  const quarters = type === undefined ? undefined : noteValueQuarters(type, dots);
  if (type === undefined || !quarters) return undefined;
  return {
    name: `${["", "dotted ", "double-dotted "][dots] ?? ""}${type}`,
    quarters: toNumber(quarters),
  };
}

const NUMBER = String.raw`(\d{1,5}(?:[.,]\d{1,20})?)`;
/** All the dashes that programs put for a typed one. */
const TEMPO = new RegExp(
  String.raw`^(ca\.?|c\.|circa|about|~|≈)?\s*${NUMBER}(?:\s*[-‐‑‒–—−]\s*${NUMBER})?$`,
  "i",
);

/** The numbers of a tempo, in its own beats; a message when there is something wrong with them. */
function readNumbers(
  text: string,
): { readonly perMinute: TempoRange; readonly written: string } | string {
  const written = oneLine(text);
  const match = TEMPO.exec(written);
  if (!match) return TEMPO_MESSAGE;
  const [, about, first = "", second] = match;
  const low = Number(first.replace(",", "."));
  const high = second === undefined ? low : Number(second.replace(",", "."));
  if (Math.min(low, high) < BEATS_PER_MINUTE.least || Math.max(low, high) > BEATS_PER_MINUTE.most) {
    return TEMPO_MESSAGE;
  }
  if (low > high) return "must have the slower tempo first: 126-132";
  if (second !== undefined) {
    return { perMinute: { slow: low, likely: (low + high) / 2, fast: high }, written };
  }
  const spread = about === undefined ? SHEET_SPREAD : APPROXIMATE_SPREAD;
  return {
    perMinute: { slow: low * (1 - spread), likely: low, fast: low * (1 + spread) },
    written,
  };
}
