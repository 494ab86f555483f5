import { isMisprint, VERDICTS, type Disagreement } from "../model/finding.js";
import type { CheckReport, InstrumentChange, PartReport } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { changeLines, handLines } from "./text-changes.js";
import { entryLines } from "./text-entries.js";
import { headingLines } from "./text-heading.js";
import { keyLines } from "./text-keys.js";
import { tempoLines } from "./text-tempi.js";
import { wrap } from "./util/layout.js";
import { fullName } from "./wording/instruments.js";
import { noticeText } from "./wording/notices.js";
import { counted } from "./wording/quantities.js";

const WIDEST_RULE = 72;

/** The page for the stand: the changes first, then the keys, then what was assumed. */
export function renderText(report: CheckReport, options: RenderOptions): string {
  const pages = report.parts.map((part) => `${partPage(part, options).join("\n")}\n`);
  const rule = options.style.faint("─".repeat(Math.min(options.width, WIDEST_RULE)));
  return pages.join(`\n${rule}\n\n`);
}

function partPage(part: PartReport, options: RenderOptions): readonly string[] {
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", options.style.heading(name), ...lines];
  return [
    ...title(part, options),
    ...section("CHANGES", changeLines(part, options)),
    ...section("KEYS", keyLines(part, options)),
    ...(options.entries
      ? section("ENTRIES after a bar's rest or more", entryLines(part, options))
      : []),
    ...section("TEMPI", tempoLines(part, options)),
    ...section("HANDS, in seconds", handLines(part, options)),
    ...section("ASSUMED OR ODD", noticeLines(part, options)),
  ];
}

function title(part: PartReport, options: RenderOptions): readonly string[] {
  const plays = part.instruments.map(fullName).join(", ") || "nothing";
  return [
    ...headingLines(part, options),
    ...wrap(`Plays ${plays}. ${summary(part.changes)}`, options.width, "  "),
  ];
}

function summary(changes: readonly InstrumentChange[]): string {
  if (changes.length === 0) return "No change of instrument.";
  const counts = VERDICTS.toReversed().flatMap((verdict) => {
    const count = changes.filter((change) => change.verdict === verdict).length;
    return count > 0 ? [`${count} ${verdict}`] : [];
  });
  const countWith = (holds: (each: Disagreement) => boolean) =>
    changes.filter(({ disagreements }) => disagreements.some(holds)).length;
  const misprints = countWith(isMisprint);
  const unannounced = countWith((each) => !isMisprint(each));
  return [
    `${counted(changes.length, "change")}: ${counts.join(", ")}`,
    ...(misprints > 0 ? [`${misprints} may be misprinted`] : []),
    ...(unannounced > 0 ? [`${unannounced} not announced in time`] : []),
  ]
    .join("; ")
    .concat(".");
}

function noticeLines(part: PartReport, { width }: RenderOptions): readonly string[] {
  return part.notices.flatMap((notice) => wrap(`  - ${noticeText(notice)}`, width, "    "));
}
