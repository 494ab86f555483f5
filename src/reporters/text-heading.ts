import type { PartHeading } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { clean } from "./util/clean.js";
import { wrap } from "./util/layout.js";
import { partName } from "./wording/parts.js";
import { minutesText } from "./wording/quantities.js";

/** Part and work, file, bars and length. */
export function headingLines(
  report: PartHeading,
  { style, width }: Pick<RenderOptions, "style" | "width">,
): readonly string[] {
  const work = [report.title, report.movement].map(clean).filter(Boolean).join(" · ");
  const name = clean(partName(report.part));
  const { barCount, playedBars } = report;
  const { first, last } = report.barLabels;
  const { short, likely, long } = report.durationSeconds;
  const repeats = playedBars === barCount ? "" : `, ${playedBars} bars with repeats`;
  const length = `bars ${clean(first)}–${clean(last)}${repeats} · about ${minutesText(likely)} (${minutesText(short)}–${minutesText(long)})`;
  return [
    ...wrap(`${name}${work ? ` · ${work}` : ""}`, width, "  ").map(style.heading),
    ...wrap(`${clean(report.file)} · ${length}`, width, "  ").map(style.faint),
  ];
}
