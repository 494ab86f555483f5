import type { Verdict } from "../model/finding.js";
import type { CheckReport, InstrumentChange, PartReport } from "../model/report.js";
import type { RenderOptions, Style } from "./index.js";
import { entryLines } from "./text-entries.js";
import { keyLines } from "./text-keys.js";
import { clean } from "./util/clean.js";
import { columns, wrap } from "./util/layout.js";
import { adviceText, disagreementText, evidenceText } from "./wording/advice.js";
import { hazardText } from "./wording/hazards.js";
import { fullName, shortName } from "./wording/instruments.js";
import { noticeText } from "./wording/notices.js";
import { barText, placeText } from "./wording/places.js";
import {
  counted,
  minutesText,
  restLengthText,
  secondsRangeText,
  secondsText,
} from "./wording/quantities.js";

/** The page for the stand: the changes first, then the keys, then what was assumed. */
export function renderText(report: CheckReport, options: RenderOptions): string {
  const pages = report.parts.map((part) => partPage(part, options).join("\n"));
  return pages
    .map((page) => `${page}\n`)
    .join(`\n${options.style.faint("─".repeat(Math.min(options.width, 72)))}\n\n`);
}

function partPage(part: PartReport, options: RenderOptions): readonly string[] {
  const { style } = options;
  return [
    ...title(part, options),
    "",
    style.heading("CHANGES"),
    ...changeLines(part, options),
    "",
    style.heading("KEYS"),
    ...keyLines(part, options),
    ...(options.entries
      ? ["", style.heading("ENTRIES after a bar's rest or more"), ...entryLines(part)]
      : []),
    ...assumptionLines(part, options),
  ];
}

function title(part: PartReport, { style, width }: RenderOptions): readonly string[] {
  const work = [part.title, part.movement].map(clean).filter(Boolean).join(" · ");
  const name = clean(part.part.name) || clean(part.part.id);
  const plays = part.instruments.map(fullName).join(", ");
  return [
    ...wrap(`${name}${work ? ` · ${work}` : ""}`, width, "  ").map(style.heading),
    ...wrap(
      `${clean(part.file)} · ${counted(part.barCount, "bar")} · about ${minutesText(part.durationSeconds.likely)}`,
      width,
      "  ",
    ).map(style.faint),
    ...wrap(`Plays ${plays || "nothing"}. ${summary(part.changes)}`, width, "  "),
  ];
}

const VERDICT_ORDER: readonly Verdict[] = ["impossible", "tight", "workable", "ample"];

function summary(changes: readonly InstrumentChange[]): string {
  if (changes.length === 0) return "No change of instrument.";
  const counts = VERDICT_ORDER.flatMap((verdict) => {
    const count = changes.filter((change) => change.verdict === verdict).length;
    return count > 0 ? [`${count} ${verdict}`] : [];
  });
  return `${counted(changes.length, "change")}: ${counts.join(", ")}.`;
}

/** The worst stand out by more than colour: a mark in the margin and capitals. */
const MARGIN: Readonly<Record<Verdict, string>> = {
  impossible: "!!",
  tight: " !",
  workable: "  ",
  ample: "  ",
};

function changeLines(part: PartReport, options: RenderOptions): readonly string[] {
  const { changes } = part;
  if (changes.length === 0) return ["  none"];
  const rows = changes.map((change) => [
    `${MARGIN[change.verdict]} ${change.number}`,
    `${placeText(change.leave)} → ${placeText(change.enter)}`,
    `${shortName(change.from)} → ${shortName(change.to)}`,
    verdictWord(change.verdict),
    `${restLengthText(change.rest)}, ${secondsRangeText(change.rest.seconds)}${change.rest.fermatas.length > 0 ? " + fermata" : ""}`,
    `hands ${secondsText(change.needed.seconds)}`,
    lookUpText(change),
  ]);
  const aligned = columns([
    [
      "   #",
      "bars",
      "change",
      "verdict",
      "rest: likely (fast–slow)",
      "hands need",
      "then to look up",
    ],
    ...rows.map((row) => row.map((cell, k) => (k === 5 ? cell.replace("hands ", "") : cell))),
  ]);
  const wide = aligned.every((line) => line.length <= options.width);
  const [header = "", ...lines] = aligned;
  return [
    ...(wide ? [options.style.faint(header)] : []),
    ...changes.flatMap((change, k) => {
      const paint = painter(change.verdict, options.style);
      const main = wide ? [lines[k] ?? ""] : narrow(rows[k] ?? [], options.width);
      return [
        ...main.map((line) => paint(line)),
        ...details(change)
          .flatMap((line) => wrap(line, options.width - 5, "  "))
          .map((line) => `     ${line}`),
      ];
    }),
  ];
}

/** On a narrow page: place, change and verdict on one line, the times below. */
function narrow(row: readonly string[], width: number): readonly string[] {
  const [number = "", bars = "", change = "", verdict = "", ...times] = row;
  return [
    ...wrap(`${number}  bars ${bars}: ${change}, ${verdict}`, width, "     "),
    ...wrap(times.join("; "), width - 5, "").map((line) => `     ${line}`),
  ];
}

function verdictWord(verdict: Verdict): string {
  return verdict === "impossible" || verdict === "tight" ? verdict.toUpperCase() : verdict;
}

function lookUpText({ lookUp }: InstrumentChange): string {
  if (lookUp.seconds <= 0) return `none: ${secondsText(-lookUp.seconds)} too short`;
  return `${secondsText(lookUp.seconds)}, ${counted(lookUp.bars, "bar")}`;
}

function painter(verdict: Verdict, style: Style): (text: string) => string {
  if (verdict === "impossible") return style.alarm;
  return verdict === "tight" ? style.warning : (text) => text;
}

function details(change: InstrumentChange): readonly string[] {
  const lines = change.disagreements.map(disagreementText);
  const hazards = change.hazards.map(hazardText);
  if (hazards.length > 0) lines.push(`while you look down: ${hazards.join("; ")}`);
  if (change.rest.fermatas.length > 0) {
    const bars = [...new Set(change.rest.fermatas.map(barText))].join(", ");
    lines.push(`fermata at bar ${bars}: adds time, how much is the conductor's`);
  }
  if (change.advice.length > 0) lines.push(`→ ${change.advice.map(adviceText).join("; ")}`);
  lines.push(`printed: ${change.evidence.map(evidenceText).join("; ")}`);
  return lines;
}

function assumptionLines(part: PartReport, { style, width }: RenderOptions): readonly string[] {
  const lines = part.notices.flatMap((notice) => wrap(`- ${noticeText(notice)}`, width - 2, "  "));
  if (lines.length === 0) return [];
  return ["", style.heading("ASSUMED OR ODD"), ...lines.map((line) => `  ${line}`)];
}
