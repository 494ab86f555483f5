import type { PartReport } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { shortName } from "./wording/instruments.js";
import { pauseSuffix } from "./wording/pauses.js";
import { leavingText, placeText } from "./wording/places.js";
import { restLengthText, secondsRangeText } from "./wording/quantities.js";

/** Every entry after a rest of a bar or more. */
export function entryLines(part: PartReport, { width }: RenderOptions): readonly string[] {
  const entries = part.entries.filter(({ rest }) => rest.bars >= 0.995);
  if (entries.length === 0) return ["  none"];
  const rows = entries.map(({ at, instrument, rest, graceNotes, leave }) => [
    `  bar ${placeText(at)}`,
    shortName(instrument),
    `after ${restLengthText(rest)}`,
    secondsRangeText(rest.seconds) + pauseSuffix(rest),
    ...(rest.marked ? [`by the marks ${secondsRangeText(rest.marked.seconds)}`] : []),
    leave ? `since ${leavingText(leave)}` : "from the start",
    graceNotes > 0 ? "grace notes first" : "",
  ]);
  const aligned = columns(rows);
  if (aligned.every((line) => widthOf(line) <= width)) return aligned;
  return rows.flatMap((row) => wrap(row.filter(Boolean).join(", "), width, "    "));
}
