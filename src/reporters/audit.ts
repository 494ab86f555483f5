import type { SeasonReport } from "../model/season.js";
import { auditJson, auditJsonLines } from "./audit-json.js";
import { chosenRows, type RowKind, type RowOrder } from "./audit-rows.js";
import { AUDIT_COLUMNS, auditTable, type AuditColumn } from "./audit-table.js";
import { auditText } from "./audit-text.js";
import type { RenderOptions } from "./index.js";

/** What the table of a season may be told, besides how it looks. */
export interface AuditRendering extends Omit<RenderOptions, "entries"> {
  /** Without it the page lists what is in danger, and the others all. */
  readonly only?: readonly RowKind[];
  /** Without it the page has the worst first, and the others the order of the season. */
  readonly order?: RowOrder;
  readonly columns?: readonly AuditColumn[];
}

/** What a page lists where nothing is chosen. */
const IN_DANGER: readonly RowKind[] = ["impossible", "tight", "misprint"];

const chosen = ({ rows }: SeasonReport, { only, order = "season" }: AuditRendering) =>
  chosenRows(rows, only, order);

const table = (usualDelimiter: string) => (report: SeasonReport, options: AuditRendering) =>
  auditTable(
    chosen(report, options),
    options.columns ?? AUDIT_COLUMNS,
    options.delimiter ?? usualDelimiter,
    options.bom,
  );

/** The formats of `muta audit`. To add one: a function and a row. */
export const AUDIT_REPORTERS = {
  text: (report, { only, order = "worst", width, style }) =>
    auditText(report, chosenRows(report.rows, only ?? IN_DANGER, order), { width, style, only }),
  json: (report, options) => auditJson(report, chosen(report, options)),
  ndjson: (report, options) => auditJsonLines(report, chosen(report, options)),
  csv: table(","),
  tsv: table("\t"),
} satisfies Record<string, (report: SeasonReport, options: AuditRendering) => string>;

export type AuditFormat = keyof typeof AUDIT_REPORTERS;
