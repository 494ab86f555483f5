import type { InstrumentChoice, PartReport, Passage } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { isPlainlyEasier } from "./util/choices.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { keyText, shortName } from "./wording/instruments.js";
import { counted } from "./wording/quantities.js";
import { spanText } from "./wording/places.js";

const KEY_LEGEND =
  "A signature stands for its major or minor key; +n counts accidentals before notes; · is the difficulty, 1 for a fluent scale, 5 for the limit (muta keys has more); ?: on words that may be a misprint.";

/** Passages that read alike, one after another. */
interface KeyGroup {
  readonly first: Passage;
  last: Passage;
  readonly passages: Passage[];
}

/** The keys under the fingers, and what the same bars would be on the other instruments. */
export function keyLines(part: PartReport, { width }: RenderOptions): readonly string[] {
  if (part.passages.length === 0) return ["  nothing is played"];
  const groups = groupPassages(part.passages);
  const rows = groups.map(({ first, last, passages }) => {
    const span = spanText({ from: first.from, to: last.to });
    const choices = sumChoices(passages);
    const printed = choices.find((choice) => choice.printed);
    const others = choices.filter((choice) => !choice.printed);
    return [
      `  ${span}${first.disputed ? " ?" : ""}`,
      `sounding ${keyText(first.soundingFifths)}`,
      printed ? `on ${shortName(printed.instrument)}: ${readsText(printed)}` : "",
      others
        .map(
          (choice) =>
            `on ${shortName(choice.instrument)}: ${readsText(choice, printed)}${easierText(choice, printed)}`,
        )
        .join("; "),
    ];
  });
  const hasOthers = rows.some((row) => row[3] !== "");
  const header = ["  bars", "", "printed", ...(hasOthers ? ["instead"] : [])];
  const aligned = columns([header, ...rows]);
  const lines = aligned.every((line) => widthOf(line) <= width)
    ? aligned
    : rows.flatMap(([span = "", sounding = "", printed = "", others = ""]) =>
        wrap(
          `${span}  ${sounding}, ${printed}${others ? `; instead: ${others}` : ""}`,
          width,
          "      ",
        ),
      );
  return [...lines, ...wrap(`  ${KEY_LEGEND}`, width, "  ")];
}

function groupPassages(passages: readonly Passage[]): readonly KeyGroup[] {
  const groups: KeyGroup[] = [];
  for (const passage of passages) {
    const open = groups.at(-1);
    if (
      open?.first.instrument === passage.instrument &&
      open.first.soundingFifths === passage.soundingFifths &&
      open.first.disputed === passage.disputed
    ) {
      open.last = passage;
      open.passages.push(passage);
    } else groups.push({ first: passage, last: passage, passages: [passage] });
  }
  return groups;
}

type ChoiceSum = Pick<
  InstrumentChoice,
  "instrument" | "printed" | "writtenFifths" | "accidentals" | "outOfRange" | "tooLow"
> & { readonly score: number };

function sumChoices(passages: readonly Passage[]): readonly ChoiceSum[] {
  const [first] = passages;
  const notes = passages.reduce((sum, { noteCount }) => sum + noteCount, 0);
  return (first?.choices ?? []).map((model, k) => {
    const same = passages.flatMap(({ choices }) => choices[k] ?? []);
    return {
      ...model,
      accidentals: same.reduce((sum, { accidentals }) => sum + accidentals, 0),
      outOfRange: same.reduce((sum, { outOfRange }) => sum + outOfRange, 0),
      tooLow: same.reduce((sum, { tooLow }) => sum + tooLow, 0),
      score:
        passages.reduce(
          (sum, { noteCount, choices }) => sum + noteCount * (choices[k]?.difficulty.score ?? 0),
          0,
        ) / Math.max(1, notes),
    };
  });
}

/** A lower difficulty shows as nothing. */
const LEAST_SHOWN = 0.05;

/** Key, accidentals, range and difficulty; beside the printed choice only what differs from it. */
function readsText(
  { writtenFifths, accidentals, outOfRange, tooLow, score }: ChoiceSum,
  printed?: ChoiceSum,
): string {
  const tooHigh = outOfRange - tooLow;
  return [
    keyText(writtenFifths),
    ...(accidentals > 0 && accidentals !== printed?.accidentals ? [`+${accidentals}`] : []),
    ...(tooLow > 0 ? [`${counted(tooLow, "note")} too low`] : []),
    ...(tooHigh > 0 ? [`${counted(tooHigh, "note")} too high`] : []),
    ...(outOfRange === 0 && score >= LEAST_SHOWN ? [`· ${score.toFixed(1)}`] : []),
  ].join(" ");
}

function easierText(choice: ChoiceSum, printed: ChoiceSum | undefined): string {
  return printed && isPlainlyEasier(choice.score, printed.score) ? " (easier)" : "";
}
