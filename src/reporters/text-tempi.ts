import type { PartReport, TempoSpan } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { clean } from "./util/clean.js";
import { wrap } from "./util/layout.js";
import { placeText } from "./wording/places.js";

const SOURCES: Readonly<Record<TempoSpan["source"], string>> = {
  sheet: "your sheet",
  recording: "a recording",
  metronome: "printed",
  sound: "not printed",
  words: "by the word",
  assumed: "ASSUMED",
};

/** What the seconds rest on: every tempo with its place, its source, and the range it was taken for. */
export function tempoLines(part: PartReport, { width }: RenderOptions): readonly string[] {
  const spans = part.tempi.map(
    ({ from, quartersPerMinute: { slow, likely, fast }, source, text }) => {
      const mark = text ? clean(text) : `quarter = ${Math.round(likely)}`;
      return `bar ${placeText(from)}: ${mark} [${SOURCES[source]}, ${Math.round(slow)}–${Math.round(fast)}]`;
    },
  );
  return [
    ...wrap(`  ${spans.join("; ")}`, width, "  "),
    ...wrap(
      "  In brackets: where it comes from, and the range taken, in quarters a minute.",
      width,
      "  ",
    ),
  ];
}
