import type { CountedGroup, CountedRest, CountMark, CountReport } from "../model/count.js";
import type { RunReport } from "../model/report.js";
import { toNumber } from "../theory/fraction.js";
import { csvText, decimals, guard } from "./csv.js";
import type { RenderOptions } from "./index.js";
import {
  heardDocument,
  partNaming,
  place,
  restDocument,
  round,
  seconds,
  tempoDocument,
  timedPlace,
} from "./json.js";
import { countPage } from "./text-count-page.js";
import { jsonText } from "./util/json-text.js";
import { countingLine, countMarkText, meterText } from "./wording/counting.js";
import { noticeText } from "./wording/notices.js";
import { partName } from "./wording/parts.js";

/** What a run of `muta count` has to say. */
export type CountReports = RunReport<CountReport>;

export type CountReporter = (reports: CountReports, options: RenderOptions) => string;

/** The formats of `muta count`. To add one: a function and a row. */
export const COUNT_REPORTERS = {
  text: ({ parts }, options) => parts.map((part) => countPage(part, options)).join("\n"),
  json: ({ parts, errors }) =>
    jsonText({ schema: "muta.count/1", parts: parts.map(partDocument), errors }),
  csv: ({ parts }, options) => table(parts, options),
} satisfies Record<string, CountReporter>;

export type CountFormat = keyof typeof COUNT_REPORTERS;

function partDocument(report: CountReport) {
  const { file, title, movement, fromBars, rests, notices } = report;
  return {
    file,
    title,
    movement,
    part: partNaming(report),
    fromBars,
    rests: rests.map(countedRestDocument),
    notices: notices.map((notice) => ({ ...notice, text: noticeText(notice) })),
  };
}

function countedRestDocument(counted: CountedRest) {
  const { number, change, leave, rest, before, groups, entry, hands, heard } = counted;
  return {
    number,
    change: change && {
      number: change.number,
      from: change.from,
      to: change.to,
      verdict: change.verdict,
    },
    leave: leave && timedPlace(leave),
    rest: restDocument(rest),
    before: before.map(markDocument),
    groups: groups.map(groupDocument),
    line: countingLine(counted),
    hands: hands && {
      ...hands,
      seconds: round(hands.seconds),
      ...(hands.ready === "in-rest" && { lookUp: place(hands.lookUp) }),
    },
    entry: entry && {
      at: timedPlace(entry.at),
      instrument: entry.instrument,
      meter: entry.meter.label,
      graceNotes: entry.graceNotes,
      marks: entry.marks.map(markDocument),
    },
    ...(heard && heardDocument(heard)),
  };
}

function groupDocument(group: CountedGroup) {
  const { from, lastBar, meter, kind, bars, beats, quarters, count, barsSoFar, tempo } = group;
  return {
    from: place(from),
    lastBar: place(lastBar),
    kind,
    meter: meter.label,
    bars: round(toNumber(bars)),
    beats: round(toNumber(beats)),
    quarters: toNumber(quarters),
    count,
    barsSoFar: round(toNumber(barsSoFar)),
    seconds: seconds(group.seconds),
    tempo: tempoDocument(tempo),
    marks: group.marks.map(markDocument),
  };
}

function markDocument(mark: CountMark) {
  const text = countMarkText(mark, mark.at);
  return mark.kind === "tempo"
    ? { kind: mark.kind, at: place(mark.at), tempo: tempoDocument(mark.span), text }
    : { ...mark, at: place(mark.at), text };
}

type Cell = string | number;

/** The columns of the table, a row a group; a change without a rest has one row with empty groups. */
const COLUMNS: readonly {
  readonly name: string;
  readonly value: (report: CountReport, rest: CountedRest, group?: CountedGroup) => Cell;
}[] = [
  { name: "file", value: ({ file }) => guard(file) },
  { name: "title", value: ({ title }) => guard(title) },
  { name: "movement", value: ({ movement }) => guard(movement) },
  { name: "part", value: ({ part }) => guard(partName(part)) },
  { name: "rest", value: (_, { number }) => number },
  { name: "change", value: (_, { change }) => change?.number ?? "" },
  { name: "from", value: (_, { change }) => change?.from ?? "" },
  { name: "to", value: (_, { change }) => change?.to ?? "" },
  { name: "from_bar", value: (_, __, group) => (group ? guard(group.from.barLabel) : "") },
  { name: "from_pass", value: (_, __, group) => group?.from.pass ?? "" },
  { name: "from_beat", value: (_, __, group) => (group ? decimals(group.from.beat, 4) : "") },
  { name: "last_bar", value: (_, __, group) => (group ? guard(group.lastBar.barLabel) : "") },
  { name: "kind", value: (_, __, group) => group?.kind ?? "" },
  { name: "meter", value: (_, __, group) => (group ? guard(meterText(group.meter)) : "") },
  { name: "bars", value: (_, __, group) => exact(group?.bars) },
  { name: "beats", value: (_, __, group) => exact(group?.beats) },
  { name: "count_from", value: (_, __, group) => group?.count?.from ?? "" },
  { name: "count_to", value: (_, __, group) => group?.count?.to ?? "" },
  { name: "bars_so_far", value: (_, __, group) => exact(group?.barsSoFar) },
  { name: "quarters", value: (_, __, group) => exact(group?.quarters) },
  ...(["short", "likely", "long"] as const).map((length) => ({
    name: `seconds_${length}`,
    value: (_: CountReport, __: CountedRest, group?: CountedGroup) =>
      group ? decimals(group.seconds[length], 3) : "",
  })),
  { name: "tempo", value: (_, __, group) => (group ? guard(group.tempo.text) : "") },
  {
    name: "quarters_per_minute",
    value: (_, __, group) => (group ? decimals(group.tempo.quartersPerMinute.likely, 3) : ""),
  },
  {
    name: "marks",
    value: (_, { before }, group) => {
      const marks = group ? group.marks : before;
      return guard(marks.map((mark) => countMarkText(mark, group?.from ?? mark.at)).join("; "));
    },
  },
  { name: "enter_bar", value: (_, { entry }) => (entry ? guard(entry.at.barLabel) : "") },
  { name: "enter_pass", value: (_, { entry }) => entry?.at.pass ?? "" },
  { name: "enter_beat", value: (_, { entry }) => (entry ? decimals(entry.at.beat, 4) : "") },
  { name: "grace_notes", value: (_, { entry }) => entry?.graceNotes ?? "" },
];

function exact(value: CountedGroup["bars"] | undefined): Cell {
  return value === undefined ? "" : decimals(toNumber(value), 6);
}

function table(parts: readonly CountReport[], { delimiter, bom }: RenderOptions): string {
  const rows = parts.flatMap((report) =>
    report.rests.flatMap((rest) => {
      const groups: readonly (CountedGroup | undefined)[] =
        rest.groups.length > 0 ? rest.groups : [undefined];
      return groups.map((group) => COLUMNS.map(({ value }) => value(report, rest, group)));
    }),
  );
  return csvText([COLUMNS.map(({ name }) => name), ...rows], delimiter ?? ",", bom);
}
