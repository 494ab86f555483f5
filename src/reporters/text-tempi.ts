import type { PartReport, TempoSpan } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { clean } from "./util/clean.js";
import { wrap } from "./util/layout.js";
import { placeText } from "./wording/places.js";
import { beatsText, beatUnit, sourceText } from "./wording/tempi.js";

/** What the seconds rest on: every tempo with its place, its source, and the range it was taken for. */
export function tempoLines(part: PartReport, { width }: RenderOptions): readonly string[] {
  const spans = part.tempi.map((span) => `bar ${placeText(span.from)}: ${markText(span)}`);
  return [
    ...wrap(`  ${spans.join("; ")}`, width, "  "),
    ...wrap(
      "  In brackets: where it comes from, and the range taken, in the beat you count.",
      width,
      "  ",
    ),
  ];
}

function markText(span: TempoSpan): string {
  const { quartersPerMinute, endQuartersPerMinute, beatQuarters, text } = span;
  const range = endQuartersPerMinute ?? quartersPerMinute;
  const { name, quarters } = beatUnit(beatQuarters);
  const [slow, fast] = [range.slow, range.fast].map((each) => Math.round(each / quarters));
  const mark = text
    ? clean(text)
    : beatsText({ ...range, slow: range.likely, fast: range.likely }, beatQuarters);
  // Beside a mark in another note value the range needs its own.
  const unit = mark.includes(`${name} =`) ? "" : `${name} = `;
  return `${mark} [${sourceText(span)}, ${unit}${slow}–${fast}]`;
}
