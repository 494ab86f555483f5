import { VERDICTS } from "../model/finding.js";
import type { AdvisedChange, Plan, PlannablePassage, PlanReport } from "../model/plan.js";
import type { RenderOptions } from "./index.js";
import { headingLines } from "./text-heading.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { shortName } from "./wording/instruments.js";
import { noticeText } from "./wording/notices.js";
import { barsText, barText, spanText } from "./wording/places.js";
import {
  changeText,
  PLAN_NAMES,
  planAdviceText,
  sightText,
  timeText,
  writtenKeyText,
} from "./wording/plans.js";
import { secondsText } from "./wording/quantities.js";

const LEGEND =
  "* the plan below. Tightest: what the change with the least time has left, on the fast end of the tempo. Difficulty: the mean over the notes as performed, 1 a fluent scale, 5 the limit; reading by sight in another key comes on top of it.";

const RETURNS =
  "Bars that a repeat brings back are read from the same print, so a passage has one instrument each time.";

const CAUTION =
  "The plan weighs assumed prices; you and your teacher decide. An instrument may be wanted for its sound: ask before you leave one that the composer names.";

const FROM_THE_SCORE =
  "From the full score muta also names a colleague who could take bars for you; this file has your part alone.";

/** The page of `muta plan`: the printed plan and the best ones, what to read otherwise, and advice. */
export function planPage(report: PlanReport, options: RenderOptions): string {
  const { style, width } = options;
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", style.heading(name), ...lines];
  const listed = (texts: readonly string[]) =>
    texts.flatMap((text) => wrap(`  ${text}`, width, "    "));
  const { passages, best } = report;
  const returning = passages.filter(({ timesPlayed }) => timesPlayed > 1);
  return `${[
    ...headingLines(report, options),
    ...section("PLANS", [
      ...fitted(planRows(report), width, "plan"),
      ...wrap(`  ${LEGEND}`, width, "  "),
    ]),
    ...section("PASSAGES", [
      ...fitted(passageRows(report), width, "bars"),
      ...(returning.length > 0
        ? listed([`${RETURNS} Here: bars ${returning.map(spanText).join(", ")}.`])
        : []),
    ]),
    ...section(
      `WHAT TO READ OTHERWISE (${best.kind})`,
      passages.length === 0 ? [] : listed(differences(report)),
    ),
    ...section("TIGHT AND IMPOSSIBLE CHANGES AS PRINTED", dangerLines(report, width)),
    ...section("TIGHT AND IMPOSSIBLE CHANGES LEFT IN THE PLAN", leftLines(report, width)),
    "",
    ...listed([...(report.lacksScore ? [FROM_THE_SCORE] : []), CAUTION]),
    ...section(
      "ASSUMED OR ODD",
      report.notices.flatMap((notice) => wrap(`  - ${noticeText(notice)}`, width, "    ")),
    ),
  ].join("\n")}\n`;
}

function planRows({ printed, plans, best }: PlanReport): readonly (readonly string[])[] {
  const all = [printed, ...plans];
  const row = (name: string, cell: (plan: Plan) => string) => [`  ${name}`, ...all.map(cell)];
  return [
    ["  plan", ...all.map((plan) => PLAN_NAMES[plan.kind] + (plan === best ? "*" : ""))],
    row("changes", ({ changes }) => String(changes.length)),
    ...[...VERDICTS]
      .reverse()
      .map((verdict) => row(verdict, ({ verdicts }) => String(verdicts[verdict]))),
    row("tightest", ({ tightest }) => (tightest ? secondsText(tightest.lookUp.seconds) : "–")),
    row("into bar", ({ tightest }) => (tightest ? barText(tightest.enter) : "–")),
    row("difficulty", ({ meanDifficulty }) => meanDifficulty.toFixed(2)),
    row("notes transposed", ({ transposedNotes }) => String(transposedNotes)),
  ];
}

function passageRows({ passages, printed, plans, best }: PlanReport) {
  const all = [printed, ...plans];
  return passages.length === 0
    ? []
    : [
        [
          "  bars",
          "notes",
          ...all.map((plan) => PLAN_NAMES[plan.kind] + (plan === best ? "*" : "")),
        ],
        ...passages.map((passage, k) => [
          `  ${spanText(passage)}${passage.timesPlayed > 1 ? ` ×${passage.timesPlayed}` : ""}${passage.disputed ? " ?" : ""}`,
          String(passage.noteCount),
          ...all.map(({ instruments }) => cellText(passage, instruments[k])),
        ]),
      ];
}

function cellText({ options }: PlannablePassage, id: Plan["instruments"][number] | undefined) {
  const option = options.find(({ instrument }) => instrument === id);
  return option ? `${shortName(option.instrument)} ${option.difficulty.toFixed(1)}` : "";
}

/** Aligned, or where the page is too narrow each row in words. */
function fitted(
  rows: readonly (readonly string[])[],
  width: number,
  what: string,
): readonly string[] {
  const aligned = columns(rows);
  if (aligned.every((line) => widthOf(line) <= width)) return aligned;
  const [header = [], ...others] = rows;
  return others.flatMap(([name = "", ...cells]) =>
    wrap(
      `${what === "bars" ? `  bars ${name.trim()}` : name}: ${cells.map((cell, k) => `${header[k + 1] ?? ""} ${cell}`).join("; ")}`,
      width,
      "    ",
    ),
  );
}

function differences({ passages, best }: PlanReport): readonly string[] {
  const lines = passages.flatMap((passage, k) => {
    const option = passage.options.find(({ instrument }) => instrument === best.instruments[k]);
    if (!option || option.printed) return [];
    const own = passage.options.find(({ printed }) => printed);
    const range = option.outOfRange > 0 ? `; ${option.outOfRange} notes out of its range` : "";
    const times = passage.timesPlayed > 1 ? ", each time" : "";
    return [
      `${barsText(passage)} on ${shortName(option.instrument)}${times}: ${sightText(option.sight)}, ${writtenKeyText(option.writtenFifths)}; difficulty ${option.difficulty.toFixed(1)} instead of ${(own?.difficulty ?? 0).toFixed(1)}${range}`,
    ];
  });
  return lines.length > 0 ? lines : ["nothing: the printed plan is the best by these prices"];
}

/** Those that the plan is rid of in a line; advice on all, since a player may stay with the print. */
function dangerLines({ advicePrinted, best }: PlanReport, width: number): readonly string[] {
  return advicePrinted.flatMap((advised) => {
    const { change } = advised;
    const stays = best.changes.some(
      ({ from, to, enter }) =>
        from === change.from && to === change.to && enter.visitIndex === change.enter.visitIndex,
    );
    return adviceLines(advised, width, stays ? "" : " · not in the plan");
  });
}

/** Where the plan is the print, all of it has been said. */
function leftLines({ printed, best, adviceBest }: PlanReport, width: number): readonly string[] {
  if (samePlan(printed, best)) return [];
  if (adviceBest.length === 0) return ["  none"];
  return adviceBest.flatMap((each) => adviceLines(each, width, ""));
}

function adviceLines(
  { change, advice }: AdvisedChange,
  width: number,
  remark: string,
): readonly string[] {
  const mark = change.verdict === "impossible" ? "!!" : " !";
  const verdict = change.verdict.toUpperCase();
  return [
    ...wrap(
      ` ${mark} ${change.number}  ${changeText(change)}: ${verdict}, ${timeText(change)}${remark}`,
      width,
      "      ",
    ),
    ...advice.flatMap((each) =>
      wrap(`      → ${planAdviceText(each, change.verdict)}`, width, "        "),
    ),
  ];
}

function samePlan(a: Plan, b: Plan): boolean {
  return a.instruments.every((id, k) => id === b.instruments[k]);
}
