import { isMisprint, VERDICTS } from "../model/finding.js";
import type { AuditRow, ChangeRow } from "../model/season.js";

/** What `--only` takes. Files that could not be read are always told of. */
export const ROW_KINDS = [...VERDICTS, "misprint", "error"] as const;
export type RowKind = (typeof ROW_KINDS)[number];

/** What `--sort` takes: the order of the season, the worst first, by player, or the least time to look up first. */
export const ROW_ORDERS = ["season", "worst", "player", "look-up"] as const;
export type RowOrder = (typeof ROW_ORDERS)[number];

/** The rows wanted, in the order wanted; equal ones stay in the order of the season. */
export function chosenRows(
  rows: readonly AuditRow[],
  only: readonly RowKind[] | undefined,
  order: RowOrder,
): readonly AuditRow[] {
  const wanted = only === undefined ? rows : rows.filter((row) => isWanted(row, only));
  return order === "season" ? wanted : [...wanted].sort(COMPARE[order]);
}

function isWanted(row: AuditRow, only: readonly RowKind[]): boolean {
  if (row.kind === "error") return true;
  return only.includes(row.change.verdict) || (only.includes("misprint") && isMisprinted(row));
}

/** Whether the print of a change cannot be right. */
export function isMisprinted({ change }: ChangeRow): boolean {
  return change.disagreements.some(isMisprint);
}

/** What could not be read comes before all: nobody knows what is in it. */
const COMPARE: Readonly<Record<Exclude<RowOrder, "season">, (a: AuditRow, b: AuditRow) => number>> =
  {
    worst: (a, b) => badness(b) - badness(a) || lookUpSeconds(a) - lookUpSeconds(b),
    // By code points, so that the order is the same on every machine.
    player: (a, b) => (a.player < b.player ? -1 : a.player > b.player ? 1 : 0),
    "look-up": (a, b) => lookUpSeconds(a) - lookUpSeconds(b),
  };

function badness(row: AuditRow): number {
  if (row.kind === "error") return VERDICTS.length;
  const rank = VERDICTS.indexOf(row.change.verdict);
  // A misprint comes behind what is tight, before what is not.
  return isMisprinted(row) ? Math.max(rank, VERDICTS.indexOf("tight") - 0.5) : rank;
}

function lookUpSeconds(row: AuditRow): number {
  // Two errors must be equal, which infinities are not.
  return row.kind === "error" ? -Number.MAX_VALUE : row.change.lookUp.seconds;
}
