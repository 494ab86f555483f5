import type { RunReport, TempoReport, TimedTempo } from "../model/report.js";
import { csvText, decimals, guard } from "./csv.js";
import type { RenderOptions } from "./index.js";
import { place, seconds, tempoDocument } from "./json.js";
import { headingLines } from "./text-heading.js";
import { clean } from "./util/clean.js";
import { jsonText } from "./util/json-text.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { noticeText } from "./wording/notices.js";
import { PAUSE_NAMES } from "./wording/pauses.js";
import { partName } from "./wording/parts.js";
import { placeText } from "./wording/places.js";
import { minutesText, secondsRangeText } from "./wording/quantities.js";
import { beatsText, beatUnit, numbersText, sourceText } from "./wording/tempi.js";

/** What a run of `muta tempo` has to say. */
export type TempoReports = RunReport<TempoReport>;

export type TempoReporter = (reports: TempoReports, options: RenderOptions) => string;

/** The formats of `muta tempo`. To add one: a function and a row. */
export const TEMPO_REPORTERS = {
  text: ({ parts }, options) => parts.map((part) => page(part, options)).join("\n"),
  json: ({ parts, errors }) =>
    jsonText({ schema: "muta.tempo/1", parts: parts.map(partDocument), errors }),
  csv: ({ parts }, options) => table(parts, options),
} satisfies Record<string, TempoReporter>;

export type TempoFormat = keyof typeof TEMPO_REPORTERS;

function page(report: TempoReport, { width, style }: RenderOptions): string {
  const { tempi, pauses, notices, recordings } = report;
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", style.heading(name), ...lines];
  return `${[
    ...headingLines(report, { width, style }),
    ...section("TEMPI, in the beat you count", tempoRows(tempi, width)),
    ...section(
      "ON TOP OF THAT, as long as the conductor likes",
      pauses.map(
        ({ at, sign, extraSeconds: { short, long } }) =>
          `  bar ${placeText(at)}: ${PAUSE_NAMES[sign]}, perhaps ${short}–${long} s`,
      ),
    ),
    ...section(
      "RECORDINGS",
      recordings.map(
        ({ recording, seconds: each }) => `  ${clean(recording)}: ${minutesText(each)}`,
      ),
    ),
    ...section(
      "ASSUMED OR ODD",
      notices.flatMap((notice) => wrap(`  - ${noticeText(notice)}`, width, "    ")),
    ),
  ].join("\n")}\n`;
}

/** Place, tempo and time in columns; the mark beside them where it fits, else below. */
function tempoRows(tempi: readonly TimedTempo[], width: number): readonly string[] {
  const rows = tempi.map((span) => [
    `  bar ${placeText(span.from)}`,
    takenText(span),
    lastsText(span),
  ]);
  const marks = tempi.map(markText);
  const aligned = columns([["  from", "taken as", "lasts"], ...rows]);
  const [header = "", ...lines] = aligned;
  return [
    header,
    ...lines.flatMap((line, k) => {
      const mark = marks[k] ?? "";
      const whole = `${line}  ${mark}`;
      return widthOf(whole) <= width ? [whole] : [line, ...wrap(`      ${mark}`, width, "      ")];
    }),
  ];
}

function takenText(span: TimedTempo): string {
  const { quartersPerMinute, endQuartersPerMinute, beatQuarters } = span;
  const { measuredQuartersPerMinute: measured } = span;
  if (measured !== undefined) {
    const { name, quarters } = beatUnit(beatQuarters);
    return `${name} = ${Math.round(measured / quarters)} as recorded`;
  }
  const start = beatsText(quartersPerMinute, beatQuarters);
  if (!endQuartersPerMinute) return start;
  return `${start} to ${numbersText(endQuartersPerMinute, beatQuarters)}`;
}

function lastsText({ seconds: range, timesThrough }: TimedTempo): string {
  const times = timesThrough > 1 ? `, played ${timesThrough} times` : "";
  return secondsRangeText(range) + times;
}

/** What the page gives, and where from; beside a recording, what would have been taken. */
function markText(span: TimedTempo): string {
  const { text, quartersPerMinute, beatQuarters, measuredQuartersPerMinute } = span;
  const taken =
    measuredQuartersPerMinute === undefined
      ? ""
      : `, ${numbersText(quartersPerMinute, beatQuarters)}`;
  const source = `[${sourceText(span)}${taken}]`;
  return text ? `${clean(text)} ${source}` : source;
}

function partDocument(report: TempoReport) {
  const { part, tempi, pauses, durationSeconds, recordings, notices } = report;
  return {
    file: report.file,
    title: report.title,
    movement: report.movement,
    part: { id: part.id, name: part.name },
    durationSeconds: seconds(durationSeconds),
    tempi: tempi.map((span) => ({
      ...tempoDocument(span),
      until: place(span.until),
      ...(span.measuredQuartersPerMinute !== undefined && {
        measuredQuartersPerMinute: span.measuredQuartersPerMinute,
      }),
      timesThrough: span.timesThrough,
      seconds: seconds(span.seconds),
    })),
    pauses: pauses.map(({ at, sign, extraSeconds }) => ({ at: place(at), sign, extraSeconds })),
    recordings,
    notices: notices.map((notice) => ({ ...notice, text: noticeText(notice) })),
  };
}

/** The columns of the table, a row a tempo. */
const COLUMNS: readonly {
  readonly name: string;
  readonly value: (report: TempoReport, span: TimedTempo) => string | number;
}[] = [
  { name: "file", value: ({ file }) => guard(file) },
  { name: "part", value: ({ part }) => guard(partName(part)) },
  { name: "from_bar", value: (_, { from }) => guard(from.barLabel) },
  { name: "from_pass", value: (_, { from }) => from.pass },
  { name: "from_beat", value: (_, { from }) => decimals(from.beat, 4) },
  { name: "until_bar", value: (_, { until }) => guard(until.barLabel) },
  { name: "until_pass", value: (_, { until }) => until.pass },
  { name: "until_beat", value: (_, { until }) => decimals(until.beat, 4) },
  ...(["slow", "likely", "fast"] as const).map((speed) => ({
    name: `quarters_per_minute_${speed}`,
    value: (_: TempoReport, span: TimedTempo) => decimals(span.quartersPerMinute[speed], 3),
  })),
  ...(["slow", "likely", "fast"] as const).map((speed) => ({
    name: `end_quarters_per_minute_${speed}`,
    value: (_: TempoReport, span: TimedTempo) =>
      decimals((span.endQuartersPerMinute ?? span.quartersPerMinute)[speed], 3),
  })),
  ...(["short", "likely", "long"] as const).map((length) => ({
    name: `seconds_${length}`,
    value: (_: TempoReport, span: TimedTempo) => decimals(span.seconds[length], 3),
  })),
  { name: "source", value: (_, { source }) => source },
  { name: "assumed", value: (_, { bend }) => bend ?? "" },
  { name: "mark", value: (_, { text }) => guard(text) },
];

function table(parts: readonly TempoReport[], { delimiter, bom }: RenderOptions): string {
  const rows = parts.flatMap((report) =>
    report.tempi.map((span) => COLUMNS.map(({ value }) => value(report, span))),
  );
  return csvText([COLUMNS.map(({ name }) => name), ...rows], delimiter ?? ",", bom);
}
