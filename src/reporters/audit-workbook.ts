import { VERDICTS } from "../model/finding.js";
import type { KitList, PartSummary, SeasonReport } from "../model/season.js";
import type { AuditRendering } from "./audit.js";
import { chosenRows } from "./audit-rows.js";
import { AUDIT_COLUMNS, auditCell, type AuditColumn } from "./audit-table.js";
import { shortName } from "./wording/instruments.js";
import { onlyFor, unreadText, warmPlaceText } from "./wording/season.js";
import { xlsxBytes, type CellContent, type Column, type Sheet } from "./xlsx.js";

/** What a player looks for, in the order of reading, with its widths in characters: this is what is printed. */
const READ_FIRST: readonly (readonly [AuditColumn, number])[] = [
  ["programme", 14],
  ["date", 11],
  ["work", 17],
  ["movement", 14],
  ["player", 10],
  ["from", 13],
  ["to", 13],
  ["leave_bar", 10],
  ["leave_pass", 11],
  ["to_work", 14],
  ["to_movement", 13],
  ["enter_bar", 10],
  ["enter_pass", 11],
  ["verdict", 11],
  ["lookup_seconds", 15],
  ["print", 20],
  ["advice", 26],
];

/** Columns behind those whose texts are long; they make no row higher. */
const LONG: ReadonlySet<AuditColumn> = new Set<AuditColumn>([
  ...(["hazards", "evidence", "file", "to_file"] as const),
]);
const LONG_WIDTH = 48;

/** Columns that hold a number wherever they hold anything, with the decimals that are shown. */
const DECIMALS: Partial<Readonly<Record<AuditColumn, number | null>>> = {
  ...{ leave_pass: null, leave_beat: null, enter_pass: null, enter_beat: null },
  ...{ rest_quarters: null, rest_seconds_short: 1, rest_seconds_likely: 1, rest_seconds_long: 1 },
  ...{ pause_seconds: 1, needed_seconds: 1, lookup_seconds: 1, lookup_bars: 1 },
};

/** In the place of a verdict, where whoever filters for the bad ones will see it. */
const NOT_READ = "not read";

/** Labels of bars: nearly always numbers, and then to be sorted as such. */
const BARS: ReadonlySet<AuditColumn> = new Set<AuditColumn>(["leave_bar", "enter_bar"]);

/** The season as a workbook: a sheet each for the changes, for every part, and for what is carried. */
export function auditWorkbook(
  report: SeasonReport,
  { only, order = "season" }: AuditRendering,
): Promise<Buffer> {
  const rows = chosenRows(report.rows, only, order);
  const first = READ_FIRST.map(([name]) => name);
  const names = [...first, ...AUDIT_COLUMNS.filter((name) => !first.includes(name))];
  const changes: Sheet = {
    name: "changes",
    printedColumns: first.length,
    columns: names.map(columnOf),
    rows: rows.map((row) =>
      names.map((name) =>
        name === "verdict" && row.kind === "error"
          ? NOT_READ
          : contentOf(name, auditCell(row, name)),
      ),
    ),
  };
  return xlsxBytes([changes, partsSheet(report.parts), kitSheet(report.kits)]);
}

function columnOf(name: AuditColumn): Column {
  const width = READ_FIRST.find(([each]) => each === name)?.[1];
  const decimals = DECIMALS[name];
  return {
    ...{ name, kind: kindOf(name), oneLine: width === undefined },
    ...(width !== undefined && { width }),
    ...(LONG.has(name) && { width: LONG_WIDTH }),
    ...(typeof decimals === "number" && { decimals }),
  };
}

function kindOf(name: AuditColumn): Column["kind"] {
  if (name === "verdict" || name === "date") return name;
  return name in DECIMALS || BARS.has(name) ? "number" : "text";
}

function contentOf(name: AuditColumn, cell: string | number): CellContent {
  if (cell === "") return null;
  // "012" and "12a" are no numbers, nor is one so long that it would come back as another.
  return BARS.has(name) && /^(?:0|[1-9]\d{0,14})$/.test(String(cell)) ? Number(cell) : cell;
}

function partsSheet(parts: readonly PartSummary[]): Sheet {
  return {
    name: "parts",
    // The file is for whoever looks it up, not for paper.
    printedColumns: 15,
    columns: [
      ...[text("programme", 18), DATE, text("work", 22), text("movement", 18)],
      ...[text("player", 14), text("part", 18), text("instruments", 14)],
      ...["changes", ...VERDICTS].map((name) => number(name, 0)),
      { name: "tightest", kind: "verdict" },
      ...["lookup_seconds", "minutes"].map((name) => number(name, 1)),
      { ...text("file", LONG_WIDTH), oneLine: true },
    ],
    rows: parts.map((part) => [
      ...[part.programme, part.date, part.work, part.movement, part.player, part.part],
      part.instruments.map(shortName).join(", "),
      VERDICTS.reduce((sum, verdict) => sum + part.counts[verdict], 0),
      ...VERDICTS.map((verdict) => part.counts[verdict]),
      part.tightest?.change.verdict ?? null,
      part.tightest?.change.lookUp.seconds ?? null,
      part.durationSeconds.likely / 60,
      part.file,
    ]),
  };
}

function kitSheet(kits: readonly KitList[]): Sheet {
  return {
    name: "kit",
    columns: [
      ...[text("programme", 20), DATE, text("player", 16), text("instruments", 18)],
      ...[text("only for", 34), number("stands", 0), text("keep warm", 64)],
    ],
    rows: kits.map((kit) => [
      ...[kit.programme, kit.date, kit.player],
      kit.instruments.map(({ instrument }) => shortName(instrument)).join(", "),
      onlyFor(kit)
        .map(({ instrument, works }) => `${shortName(instrument)}: ${works}`)
        .join("\n"),
      kit.stands,
      [...(kit.unreadFiles > 0 ? [unreadText(kit)] : []), ...kit.keepWarm.map(warmLine)].join("\n"),
    ]),
  };
}

/** "B♭ during ..." */
function warmLine(each: KitList["keepWarm"][number]): string {
  return `${each.instruments.map(shortName).join(", ")} ${warmPlaceText(each)}`;
}

const DATE: Column = { name: "date", kind: "date" };

function text(name: string, width: number): Column {
  return { name, kind: "text", width };
}

function number(name: string, decimals: number): Column {
  return { name, kind: "number", decimals };
}
