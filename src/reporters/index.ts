import type { CheckReport } from "../model/report.js";
import { renderCsv } from "./csv.js";
import { renderJson, renderJsonLines } from "./json.js";
import { renderText } from "./text.js";

/** How marked text looks; plain when output is no terminal. */
export interface Style {
  readonly heading: (text: string) => string;
  readonly alarm: (text: string) => string;
  readonly warning: (text: string) => string;
  readonly faint: (text: string) => string;
}

export const PLAIN: Style = {
  heading: (text) => text,
  alarm: (text) => text,
  warning: (text) => text,
  faint: (text) => text,
};

/** What a reporter may be told. */
export interface RenderOptions {
  /** Columns of the page. */
  readonly width: number;
  readonly style: Style;
  /** Whether to list every entry after a rest of a bar or more. */
  readonly entries: boolean;
  /** For CSV: what stands between fields, instead of the format's own. */
  readonly delimiter?: string;
  /** For CSV: a byte order mark first, for spreadsheets that need one. */
  readonly bom: boolean;
}

export type Reporter = (report: CheckReport, options: RenderOptions) => string;

/** The formats of `--format`. To add one: a file and a row. */
export const REPORTERS = {
  text: renderText,
  json: renderJson,
  ndjson: renderJsonLines,
  csv: (report, options) => renderCsv(report, options.delimiter ?? ",", options.bom),
  tsv: (report, options) => renderCsv(report, options.delimiter ?? "\t", options.bom),
} satisfies Record<string, Reporter>;

export type FormatName = keyof typeof REPORTERS;
