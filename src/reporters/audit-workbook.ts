import { VERDICTS } from "../model/finding.js";
import type { KitList, PartSummary, SeasonReport } from "../model/season.js";
import type { AuditRendering } from "./audit.js";
import { chosenRows } from "./audit-rows.js";
import { AUDIT_COLUMNS, auditCell, type AuditColumn } from "./audit-table.js";
import { xlsxBytes, type Column, type Sheet } from "./xlsx.js";

/** Columns that hold a number wherever they hold anything. */
const NUMBERS: ReadonlySet<AuditColumn> = new Set<AuditColumn>([
  ...(["leave_pass", "leave_beat", "enter_pass", "enter_beat", "rest_quarters"] as const),
  ...(["rest_seconds_short", "rest_seconds_likely", "rest_seconds_long"] as const),
  ...(["pause_seconds", "needed_seconds", "lookup_seconds", "lookup_bars"] as const),
]);

/** The season as a workbook: a sheet each for the changes, for every part, and for what is carried. */
export function auditWorkbook(
  report: SeasonReport,
  { only, order = "season" }: AuditRendering,
): Promise<Buffer> {
  const rows = chosenRows(report.rows, only, order);
  const changes: Sheet = {
    name: "changes",
    columns: AUDIT_COLUMNS.map((name): Column => ({ name, kind: kindOf(name) })),
    rows: rows.map((row) =>
      AUDIT_COLUMNS.map((name) => {
        const cell = auditCell(row, name);
        return cell === "" ? null : cell;
      }),
    ),
  };
  return xlsxBytes([changes, partsSheet(report.parts), kitSheet(report.kits)]);
}

function kindOf(name: AuditColumn): Column["kind"] {
  if (name === "verdict") return "verdict";
  return NUMBERS.has(name) ? "number" : "text";
}

function partsSheet(parts: readonly PartSummary[]): Sheet {
  return {
    name: "parts",
    columns: [
      ...["programme", "date", "work", "movement", "player", "part", "instruments"].map(text),
      ...["changes", ...VERDICTS].map(number),
      { name: "tightest", kind: "verdict" },
      ...["lookup_seconds", "minutes"].map(number),
      text("file"),
    ],
    rows: parts.map((part) => [
      ...[part.programme, part.date, part.work, part.movement, part.player, part.part],
      part.instruments.join(", "),
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
      ...["programme", "date", "player", "instruments", "only for"].map(text),
      number("stands"),
      text("keep warm"),
    ],
    rows: kits.map(({ programme, date, player, instruments, stands, keepWarm }) => [
      ...[programme, date, player],
      instruments.map(({ instrument }) => instrument).join(", "),
      instruments.map(({ instrument, works }) => `${instrument}: ${works.join(", ")}`).join("; "),
      stands,
      keepWarm
        .map(
          ({ instruments: warm, during, for: next }) =>
            `${warm.join(", ")} during ${during.work} ${during.movement} for ${next.work} ${next.movement}`,
        )
        .join("; "),
    ]),
  };
}

const text = (name: string): Column => ({ name, kind: "text" });
const number = (name: string): Column => ({ name, kind: "number", decimals: 1 });
