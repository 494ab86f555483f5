import type { InstrumentChoice, PartReport, Passage } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { keyText, shortName } from "./wording/instruments.js";
import { barText } from "./wording/places.js";

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
    const span =
      barText(first.from) === barText(last.to)
        ? barText(first.from)
        : `${barText(first.from)}–${barText(last.to)}`;
    const choices = sumChoices(passages);
    const printed = choices.find((choice) => choice.printed);
    const others = choices.filter((choice) => !choice.printed);
    return [
      `  ${span}`,
      `sounds in ${keyText(first.soundingFifths)}`,
      printed ? `on ${shortName(printed.instrument)}: ${readsText(printed)}` : "",
      others
        .map(
          (choice) =>
            `on ${shortName(choice.instrument)}: ${readsText(choice)}${easierText(choice, printed)}`,
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
  return [
    ...lines,
    ...wrap(
      "  Keys are named as the major key of the signature; +n counts the accidentals before notes.",
      width,
      "  ",
    ),
  ];
}

function groupPassages(passages: readonly Passage[]): readonly KeyGroup[] {
  const groups: KeyGroup[] = [];
  for (const passage of passages) {
    const open = groups.at(-1);
    if (
      open?.first.instrument === passage.instrument &&
      open.first.soundingFifths === passage.soundingFifths
    ) {
      open.last = passage;
      open.passages.push(passage);
    } else groups.push({ first: passage, last: passage, passages: [passage] });
  }
  return groups;
}

type ChoiceSum = Pick<
  InstrumentChoice,
  "instrument" | "printed" | "writtenFifths" | "accidentals" | "outOfRange"
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
      score:
        passages.reduce(
          (sum, { noteCount, choices }) => sum + noteCount * (choices[k]?.difficulty.score ?? 0),
          0,
        ) / Math.max(1, notes),
    };
  });
}

function readsText({ writtenFifths, accidentals, outOfRange }: ChoiceSum): string {
  const range = outOfRange > 0 ? `, ${outOfRange} out of range` : "";
  return `${keyText(writtenFifths)} +${accidentals}${range}`;
}

/** Of ten notes, this many fewer altered or with an accidental make a passage plainly easier. */
const EASIER_BY = 2;

function easierText(choice: ChoiceSum, printed: ChoiceSum | undefined): string {
  return printed && choice.score <= printed.score - EASIER_BY ? " (easier)" : "";
}
