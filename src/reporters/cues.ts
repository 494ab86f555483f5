import type { CueReport, CueRequest } from "../model/cues.js";
import type { RunReport } from "../model/report.js";
import { csvText, decimals, guard } from "./csv.js";
import type { RenderOptions } from "./index.js";
import { exposureDocument, partNaming, place } from "./json.js";
import { headingLines } from "./text-heading.js";
import { jsonText } from "./util/json-text.js";
import { wrap } from "./util/layout.js";
import { cueText } from "./wording/cues.js";
import { exposureText } from "./wording/exposure.js";
import { partName } from "./wording/parts.js";

/** What a run of `muta cues` has to say. */
export type CueReports = RunReport<CueReport>;

/** The formats of `muta cues`. To add one: a function and a row. */
export const CUES_REPORTERS = {
  text: ({ parts }, options) => parts.map((part) => page(part, options)).join("\n"),
  json: ({ parts, errors }) =>
    jsonText({ schema: "muta.cues/1", parts: parts.map(partDocument), errors }),
  csv: ({ parts }, options) => table(parts, options),
} satisfies Record<string, (reports: CueReports, options: RenderOptions) => string>;

export type CuesFormat = keyof typeof CUES_REPORTERS;

function page(report: CueReport, { width, style }: RenderOptions): string {
  const lines = report.requests.map(cueText);
  return `${[
    ...headingLines(report, { width, style }),
    "",
    style.heading("FOR THE CONDUCTOR, the most urgent first"),
    ...(lines.length > 0
      ? lines.flatMap((line) => wrap(`  - ${line}`, width, "    "))
      : ["  nothing to ask for"]),
  ].join("\n")}\n`;
}

function partDocument(report: CueReport) {
  const { file, title, movement, requests } = report;
  return {
    file,
    title,
    movement,
    part: partNaming(report),
    requests: requests.map((request) => {
      const { change, at, when, metersBefore } = request;
      return {
        at: place(at),
        when,
        change: change.number,
        from: change.from,
        to: change.to,
        leave: place(change.leave),
        enter: place(change.enter),
        verdict: change.verdict,
        neededSeconds: decimals(change.needed.seconds, 6),
        lookUp: {
          seconds: decimals(change.lookUp.seconds, 6),
          bars: decimals(change.lookUp.bars, 6),
        },
        metersBefore,
        ...(change.exposure && { exposure: exposureDocument(change.exposure) }),
        text: cueText(request),
      };
    }),
  };
}

/** The columns of the table, a row a request. */
const COLUMNS: readonly {
  readonly name: string;
  readonly value: (report: CueReport, request: CueRequest) => string | number;
}[] = [
  { name: "file", value: ({ file }) => guard(file) },
  { name: "title", value: ({ title }) => guard(title) },
  { name: "movement", value: ({ movement }) => guard(movement) },
  { name: "part", value: ({ part }) => guard(partName(part)) },
  { name: "bar", value: (_, { at }) => guard(at.barLabel) },
  { name: "pass", value: (_, { at }) => at.pass },
  { name: "cue_for", value: (_, { when }) => when },
  { name: "change", value: (_, { change }) => change.number },
  { name: "from", value: (_, { change }) => change.from },
  { name: "to", value: (_, { change }) => change.to },
  { name: "leave_bar", value: (_, { change }) => guard(change.leave.barLabel) },
  { name: "enter_bar", value: (_, { change }) => guard(change.enter.barLabel) },
  { name: "verdict", value: (_, { change }) => change.verdict },
  { name: "needed_seconds", value: (_, { change }) => decimals(change.needed.seconds, 3) },
  { name: "lookup_seconds", value: (_, { change }) => decimals(change.lookUp.seconds, 3) },
  { name: "missed", value: (_, { change }) => change.exposure?.missed.weight ?? "" },
  {
    name: "exposure",
    value: (_, { change }) => (change.exposure ? guard(exposureText(change.exposure)) : ""),
  },
  { name: "request", value: (_, request) => guard(cueText(request)) },
];

function table(parts: readonly CueReport[], { delimiter, bom }: RenderOptions): string {
  const rows = parts.flatMap((report) =>
    report.requests.map((request) => COLUMNS.map(({ value }) => value(report, request))),
  );
  return csvText([COLUMNS.map(({ name }) => name), ...rows], delimiter ?? ",", bom);
}
