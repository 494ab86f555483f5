import type { CountedGroup, CountedRest, CountMark, CountReport } from "../model/count.js";
import type { RenderOptions } from "./index.js";
import { changeMargin } from "./text-changes.js";
import { headingLines } from "./text-heading.js";
import { columns, pad, widthOf, wrap } from "./util/layout.js";
import {
  countMarkText,
  countSpan,
  entryBeatText,
  graceTexts,
  groupText,
  handsText,
  rehearsalText,
  restPlace,
  tacetText,
} from "./wording/counting.js";
import { exposureText } from "./wording/exposure.js";
import { shortName } from "./wording/instruments.js";
import { cueText, listenLines } from "./wording/landmarks.js";
import { noticeText } from "./wording/notices.js";
import { pauseSuffix } from "./wording/pauses.js";
import { barNumber, barText } from "./wording/places.js";
import { restLengthText, secondsRangeText } from "./wording/quantities.js";

const LEGEND =
  "count: the bars as you count them, from 1, and again from 1 at a new movement; beats of bars begun or left are not counted as bars. s: seconds at the likely tempo. Numbers in the margin are those of muta check.";

/** A page for the stand gets no wider, so that it can be cut and clipped. */
const WIDEST = 90;

const INDENT = "      ";

/** What stands on the way gets a column of its own where there are so many places for it. */
const LEAST_MARKS = 18;

/** A row of a block. Where `rest` is missing, the text runs over its columns. */
interface Row {
  readonly rehearsal: string;
  readonly bars: string;
  readonly count: string;
  readonly rest?: string;
  readonly seconds?: string;
  readonly text: string;
}

const HEADER: Row = {
  rehearsal: "",
  bars: "bars",
  count: "count",
  rest: "rest",
  seconds: "s",
  text: "on the way",
};

/** The page of `muta count`: a block a rest, in the order of the performance. */
export function countPage(report: CountReport, options: RenderOptions): string {
  const width = Math.min(options.width, WIDEST);
  const { style } = options;
  const { fromBars, rests, notices } = report;
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", style.heading(name), ...lines];
  return `${[
    ...headingLines(report, { style, width }),
    ...section(headingText(fromBars), blocks(rests, { ...options, width })),
    ...(rests.length > 0 ? ["", ...wrap(`  ${LEGEND}`, width, "  ")] : []),
    ...section(
      "ASSUMED OR ODD",
      notices.flatMap((notice) => wrap(`  - ${noticeText(notice)}`, width, "    ")),
    ),
  ].join("\n")}\n`;
}

function headingText(fromBars: number): string {
  if (fromBars === 0) return "EVERY REST";
  return `RESTS of ${fromBars} bar${fromBars === 1 ? "" : "s"} or more, and every change`;
}

function blocks(rests: readonly CountedRest[], options: RenderOptions): readonly string[] {
  if (rests.length === 0) return ["  none"];
  const heads = headLines(rests, options.width);
  const tables = rests.map(rowsOf);
  const print = rowPrinter([HEADER, ...tables.flat()], options.width);
  return rests.flatMap((counted, k) => [
    ...(k === 0 ? print.header : [""]),
    ...paintHead(counted, options.style)(heads[k] ?? []),
    ...remarks(counted).flatMap((line) => wrap(INDENT + line, options.width, `${INDENT}  `)),
    ...(tables[k] ?? []).flatMap(print.row),
  ]);
}

/** Number, place, instrument or change: in columns where the page is wide enough. */
function headLines(rests: readonly CountedRest[], width: number): readonly (readonly string[])[] {
  const rows = rests.map((counted) => [
    numberText(counted),
    restPlace(counted),
    instrumentText(counted),
  ]);
  const aligned = columns(rows);
  if (aligned.every((line) => widthOf(line) <= width)) return aligned.map((line) => [line]);
  return rows.map(([number = "", ...cells]) =>
    wrap(`${number}  ${cells.filter(Boolean).join(" · ")}`, width, INDENT),
  );
}

function numberText({ change }: CountedRest): string {
  return change ? `${changeMargin(change)} ${String(change.number).padStart(2)}` : "    ·";
}

function instrumentText({ change, entry }: CountedRest): string {
  if (change) return `${shortName(change.from)} → ${shortName(change.to)}`;
  return entry ? shortName(entry.instrument) : "";
}

function paintHead({ change }: CountedRest, style: RenderOptions["style"]) {
  const paint =
    change?.verdict === "impossible"
      ? style.alarm
      : change?.verdict === "tight"
        ? style.warning
        : style.heading;
  return (lines: readonly string[]) => lines.map(paint);
}

/** How long it is, and what is to be known before the count begins. */
function remarks({ before, hands, change, rest }: CountedRest): readonly string[] {
  const length = `${restLengthText(rest)}, ${secondsRangeText(rest.seconds)}${pauseSuffix(rest)}`;
  const busy = hands ? [handsText(hands, -(change?.lookUp.seconds ?? 0))] : [];
  return [
    length,
    ...busy,
    ...before.map((mark) => `${countMarkText(mark, mark.at)} (bar ${barText(mark.at)})`),
  ];
}

/**
 * Rows in columns that are the same all over the page, what is on the way broken within its own; or, where
 * the page is too narrow, each row as a text.
 */
function rowPrinter(rows: readonly Row[], width: number) {
  const widest = (cell: (row: Row) => string) => Math.max(...rows.map((row) => widthOf(cell(row))));
  const letters = widest(({ rehearsal }) => rehearsal);
  const [bars, count, rest, seconds] = [
    widest((row) => row.bars),
    widest((row) => row.count),
    widest((row) => row.rest ?? ""),
    widest((row) => row.seconds ?? ""),
  ];
  const head = (row: Row) =>
    `${INDENT}${letters > 0 ? `${pad(row.rehearsal, letters)}  ` : ""}${pad(row.bars, bars)}  ${pad(row.count, count)}  `;
  const inColumns = (row: Row): readonly string[] => {
    const isWhole = row.rest === undefined;
    const cells = `${pad(row.rest ?? "", rest)}  ${(row.seconds ?? "").padStart(seconds)}  `;
    const start = head(row) + (isWhole ? "" : cells);
    const indent = " ".repeat(widthOf(start));
    const [first = "", ...more] = wrap(row.text, width - widthOf(start), "");
    return [`${start}${first}`.trimEnd(), ...more.map((line) => indent + line)];
  };
  const asText = (row: Row): readonly string[] => {
    const { rehearsal, text } = row;
    const called = row.rest === undefined ? row.count : `count ${row.count}`;
    const cells = [row.bars, called, row.rest, row.seconds && `${row.seconds} s`, rehearsal, text];
    return wrap(INDENT + cells.filter(Boolean).join(" · "), width, `${INDENT}  `);
  };
  const fits = widthOf(head(HEADER)) + rest + seconds + 4 + LEAST_MARKS <= width;
  return fits ? { header: inColumns(HEADER), row: inColumns } : { header: [], row: asText };
}

function rowsOf(counted: CountedRest): readonly Row[] {
  const { groups, entry } = counted;
  const rows = groups.map((group): Row => ({
    rehearsal: rehearsalOf(group.marks),
    bars: barsOf(group),
    count: countSpan(group),
    rest: groupText(group),
    seconds: group.seconds.likely.toFixed(1),
    text: marksText(group.marks, group.from),
  }));
  return [...rows, ...entryRows(counted), ...(entry ? [] : [tacetRow(counted)])];
}

/** What to listen for, and the entry. */
function entryRows({ entry, change, heard }: CountedRest): readonly Row[] {
  if (!entry) return [];
  const listen = heard ? [...listenLines(heard.landmarks), ...heard.cues.map(cueText)] : [];
  const texts = [
    ...(change ? [`on ${shortName(entry.instrument)}`] : []),
    ...graceTexts(entry),
    marksText(entry.marks, entry.at),
  ];
  const remark = (text: string): Row => ({ rehearsal: "", bars: "", count: "", text });
  return [
    ...listen.map(remark),
    {
      rehearsal: rehearsalOf(entry.marks),
      bars: barNumber(entry.at),
      count: "ENTER",
      rest: entryBeatText(entry),
      seconds: "",
      text: texts.filter(Boolean).join(" · "),
    },
    ...(heard?.exposure ? [remark(exposureText(heard.exposure))] : []),
  ];
}

function tacetRow(counted: CountedRest): Row {
  return { rehearsal: "", bars: "end", count: "", text: tacetText(counted) };
}

/** The time through is told in the head, and where the page goes back. */
function barsOf({ from, lastBar, kind }: CountedGroup): string {
  const [first, last] = [barNumber(from), barNumber(lastBar)];
  return kind === "part" || first === last ? first : `${first}–${last}`;
}

function rehearsalOf(marks: readonly CountMark[]): string {
  return marks
    .flatMap((mark) => (mark.kind === "rehearsal" ? [rehearsalText(mark)] : []))
    .join(" ");
}

/** Letters have a column, and meters stand with the bars. */
function marksText(marks: readonly CountMark[], from: CountedGroup["from"]): string {
  return marks
    .filter(({ kind }) => kind !== "rehearsal" && kind !== "meter")
    .map((mark) => countMarkText(mark, from))
    .join(" · ");
}
