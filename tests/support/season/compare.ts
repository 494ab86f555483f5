import { parse } from "csv-parse/sync";
import Fraction from "fraction.js";
import type { ExpectedCell, ExpectedRow } from "./expect.js";

/** A row of the table, read by another program than wrote it. */
export type Row = Readonly<Record<string, string>>;

export function table(csv: string): readonly Row[] {
  return parse(csv, { columns: true });
}

/** What is wrong with the cells of a row that the plan knows. */
function differences(row: Row, expected: ExpectedRow): readonly string[] {
  return Object.entries(expected).flatMap(([name, cell]) => {
    const found = row[name] ?? "(no such column)";
    return agrees(found, cell) ? [] : [`${name}: ${found}, not ${told(cell)}`];
  });
}

/** A number may be half a unit of its last printed place from the exact one. */
function agrees(found: string, cell: ExpectedCell): boolean {
  if (typeof cell === "string") return found === cell;
  if (cell instanceof RegExp) return cell.test(found);
  if (!/^-?\d+(?:\.\d+)?$/.test(found)) return false;
  const most = new Fraction(1, 2 * 10 ** cell.places).add(new Fraction(1, 1e9));
  return new Fraction(found).sub(cell.value).abs().compare(most) <= 0;
}

function told(cell: ExpectedCell): string {
  return typeof cell === "string" || cell instanceof RegExp
    ? String(cell)
    : String(cell.value.valueOf());
}

function toldRow(row: ExpectedRow): string {
  return Object.entries(row)
    .map(([name, cell]) => `${name} ${told(cell)}`)
    .join(", ");
}

/** Every row that is not as it must be, by its number and place, those too many and those missing among them. */
export function faults(rows: readonly Row[], expected: readonly ExpectedRow[]): readonly string[] {
  const count = Math.max(rows.length, expected.length);
  return Array.from({ length: count }, (_, k) => k).flatMap((k) => {
    const [row, wanted] = [rows[k], expected[k]];
    if (!row) return [`${k}: missing ${toldRow(wanted!)}`];
    if (!wanted) return [`${k}: too many ${JSON.stringify(row)}`];
    return differences(row, wanted).map(
      (text) => `${k} (${row["file"]}, ${row["player"]}, ${row["kind"]}): ${text}`,
    );
  });
}
