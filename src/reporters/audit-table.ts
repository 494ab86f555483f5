import type { AuditRow, ChangeRow, ErrorRow } from "../model/season.js";
import { csvText, decimals, guard } from "./csv.js";
import { adviceText, evidenceText } from "./wording/advice.js";
import { disagreementText } from "./wording/disagreements.js";
import { hazardText } from "./wording/hazards.js";

type Cell = string | number;

/** The columns of the table of a season, in their order. Names and order are part of the output. */
const COLUMNS = {
  programme: ({ programme }) => programme,
  date: ({ date }) => date,
  work: ({ work }) => work,
  movement: ({ movement }) => movement,
  player: ({ player }) => player,
  part: of(
    ({ part }) => part,
    ({ error }) => error.part ?? "",
  ),
  kind: of(
    ({ into }) => (into ? `between-${into.across}` : "change"),
    () => "error",
  ),
  from: ofChange(({ change }) => change.from),
  to: ofChange(({ change }) => change.to),
  leave_bar: ofChange(({ change }) => change.leave.barLabel),
  leave_pass: ofChange(({ change }) => change.leave.pass),
  leave_beat: ofChange(({ change }) => decimals(change.leave.beat, 4)),
  to_work: ofChange(({ into }) => into?.work ?? ""),
  to_movement: ofChange(({ into }) => into?.movement ?? ""),
  enter_bar: ofChange(({ change }) => change.enter.barLabel),
  enter_pass: ofChange(({ change }) => change.enter.pass),
  enter_beat: ofChange(({ change }) => decimals(change.enter.beat, 4)),
  rest_quarters: ofChange(({ change }) => decimals(change.rest.quarters, 6)),
  rest_seconds_short: ofChange(({ change }) => decimals(change.rest.seconds.short, 3)),
  rest_seconds_likely: ofChange(({ change }) => decimals(change.rest.seconds.likely, 3)),
  rest_seconds_long: ofChange(({ change }) => decimals(change.rest.seconds.long, 3)),
  pause_seconds: ofChange(({ change }) => decimals(change.pause?.seconds.short ?? 0, 3)),
  needed_seconds: ofChange(({ change }) => decimals(change.neededSeconds, 3)),
  lookup_seconds: ofChange(({ change }) => decimals(change.lookUp.seconds, 3)),
  lookup_bars: ofChange(({ change }) => decimals(change.lookUp.bars, 3)),
  verdict: ofChange(({ change }) => change.verdict),
  tempo_source: ofChange(({ change }) => change.rest.tempoSource),
  hazards: ofChange(({ change }) => change.hazards.map(hazardText).join("; ")),
  print: ofChange(({ change }) => change.disagreements.map(disagreementText).join("; ")),
  advice: ofChange(({ change }) => change.advice.map(adviceText).join("; ")),
  evidence: ofChange(({ change }) => change.evidence.map(evidenceText).join("; ")),
  file: ({ file }) => file,
  to_file: ofChange(({ into }) => into?.file ?? ""),
  error: of(
    () => "",
    ({ error }) => errorText(error),
  ),
} as const satisfies Record<string, (row: AuditRow) => Cell>;

export type AuditColumn = keyof typeof COLUMNS;
export const AUDIT_COLUMNS = Object.keys(COLUMNS) as readonly AuditColumn[];

/** What stands in a column, as it is: whoever writes it where it could be a formula guards it. */
export function auditCell(row: AuditRow, name: AuditColumn): Cell {
  return COLUMNS[name](row);
}

/** A row a change and a row a fault (RFC 4180), with a header row. */
export function auditTable(
  rows: readonly AuditRow[],
  columns: readonly AuditColumn[],
  delimiter: string,
  bom: boolean,
): string {
  const cells = rows.map((row) =>
    columns.map((name) => {
      const cell = auditCell(row, name);
      return typeof cell === "string" ? guard(cell) : cell;
    }),
  );
  return csvText([columns, ...cells], delimiter, bom);
}

/** "bar 41: the file ends inside <note>". */
export function errorText({ bar, message }: ErrorRow["error"]): string {
  return bar === undefined || bar === "" ? message : `bar ${bar}: ${message}`;
}

function of(change: (row: ChangeRow) => Cell, error: (row: ErrorRow) => Cell) {
  return (row: AuditRow): Cell => (row.kind === "change" ? change(row) : error(row));
}

/** Of a file that could not be read such a cell is empty. */
function ofChange(change: (row: ChangeRow) => Cell) {
  return of(change, () => "");
}
