import { isOfCheckOnly } from "../model/finding.js";
import type { CheckReport, PartReport, Passage } from "../model/report.js";
import { pitchName } from "../theory/pitch.js";
import { csvText, decimals, guard } from "./csv.js";
import type { Reporter } from "./index.js";
import { demandDocument, partNaming, passageDocument } from "./json.js";
import { keysPage } from "./text-keys-page.js";
import { bestChoice, wholePart } from "./util/choices.js";
import { jsonText } from "./util/json-text.js";
import { noticeText } from "./wording/notices.js";
import { partName } from "./wording/parts.js";

/** The formats of `muta keys`. To add one: a function and a row. */
export const KEYS_REPORTERS = {
  text: ({ parts }, options) => parts.map((part) => keysPage(part, options)).join("\n"),
  json: ({ parts, errors }) =>
    jsonText({ schema: "muta.keys/1", parts: parts.map(partDocument), errors }),
  csv: (report, options) => table(report, options.delimiter ?? ",", options.bom),
} satisfies Record<string, Reporter>;

export type KeysFormat = keyof typeof KEYS_REPORTERS;

function partDocument(part: PartReport) {
  const { file, title, movement, passages, demands, notices } = part;
  return {
    file,
    title,
    movement,
    part: partNaming(part),
    whole: wholePart(part) ?? null,
    passages: passages.map((passage) => ({
      ...passageDocument(passage),
      best: bestChoice(passage)?.instrument ?? null,
    })),
    demands: demands.map(demandDocument),
    notices: notices
      .filter((notice) => !isOfCheckOnly(notice))
      .map((notice) => ({ ...notice, text: noticeText(notice) })),
  };
}

const HEADER = [
  "file", "title", "movement", "part", "passage", "from_bar", "from_pass", "to_bar", "to_pass", "notes",
  "mean_notes_per_second", "quickest_notes_per_second", "instrument", "printed", "best", "written_fifths",
  "accidentals", "lowest", "highest", "too_low", "too_high", "break_crossings", "difficulty", "fingers", "reading",
]; // prettier-ignore

/** One row for each passage and instrument. */
function table({ parts }: CheckReport, delimiter: string, bom: boolean): string {
  const rows = parts.flatMap((part) => part.passages.flatMap((passage) => rowsOf(part, passage)));
  return csvText([HEADER, ...rows], delimiter, bom);
}

function rowsOf(part: PartReport, passage: Passage): readonly (readonly (string | number)[])[] {
  const { from, to, notesPerSecond } = passage;
  const best = bestChoice(passage);
  const before = [
    guard(part.file),
    guard(part.title),
    guard(part.movement),
    guard(partName(part.part)),
    passage.number,
    guard(from.barLabel),
    from.pass,
    guard(to.barLabel),
    to.pass,
    passage.noteCount,
    notesPerSecond ? decimals(notesPerSecond.mean, 2) : "",
    notesPerSecond ? decimals(notesPerSecond.quickest, 2) : "",
  ];
  return passage.choices.map((choice) => [
    ...before,
    choice.instrument,
    choice.printed ? "yes" : "no",
    choice === best ? "yes" : "no",
    choice.writtenFifths ?? "",
    choice.accidentals,
    choice.lowest ? pitchName(choice.lowest) : "",
    choice.highest ? pitchName(choice.highest) : "",
    choice.tooLow,
    choice.outOfRange - choice.tooLow,
    choice.breakCrossings,
    decimals(choice.difficulty.score, 3),
    choice.difficulty.fingers === null ? "" : decimals(choice.difficulty.fingers, 3),
    decimals(choice.difficulty.reading, 3),
  ]);
}
