import type { InstrumentId } from "../model/instrument.js";
import { isOfCheckOnly } from "../model/finding.js";
import { REGISTERS } from "../model/fingering.js";
import type { InstrumentChoice, PartReport, Passage } from "../model/report.js";
import type { RenderOptions } from "./index.js";
import { headingLines } from "./text-heading.js";
import { bestChoice, printedChoice, wholePart } from "./util/choices.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { demandText, REGISTER_NAMES, spotText, trillText } from "./wording/fingers.js";
import { shortName, signatureSign } from "./wording/instruments.js";
import { noticeText } from "./wording/notices.js";
import { spanText } from "./wording/places.js";

const LEGEND = [
  "per s is notes a second, the quickest eight in a row. * as printed. A signature, +accidentals before notes, and the difficulty: 0 is nothing to think of, 1 a",
  "fluent scale of F major in sixteenths at quarter = 120, 5 the limit of a professional. It is the mean over",
  "the notes, at the likely tempo, of what the fingers (or the speed alone) and the reading take; it grows with the square of the",
  "speed.",
].join(" ");

const CAUTION =
  "Limits are a guide. Tongue, breath and lip are yours to judge, with your teacher; what hurts or strains is wrong, whatever the figures say.";

/** More spots than these are practised anyway. */
const MOST_SPOTS = 12;

/** The page of `muta keys`: every passage on every instrument that could play it. */
export function keysPage(part: PartReport, options: RenderOptions): string {
  const { style, width } = options;
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", style.heading(name), ...lines];
  const listed = (texts: readonly string[]) =>
    texts.flatMap((text) => wrap(`  ${text}`, width, "    "));
  return `${[
    ...headingLines(part, options),
    ...section("PASSAGES", passageSection(part.passages, width)),
    ...section("WHOLE PART, mean difficulty", listed(wholeLines(part))),
    ...section("HARDEST FOR THE FINGERS, as printed", listed(spotLines(part.passages))),
    ...section("TRILLS AND TREMOLOS, as printed", listed(trillLines(part.passages))),
    ...section("REGISTERS, notes as printed", listed(registerLines(part.passages))),
    ...section(
      "TONGUE, BREATH, LIP",
      part.demands.length === 0 ? [] : listed([...part.demands.map(demandText), CAUTION]),
    ),
    ...section(
      "ASSUMED OR ODD",
      part.notices
        .filter((notice) => !isOfCheckOnly(notice))
        .flatMap((notice) => wrap(`  - ${noticeText(notice)}`, width, "    ")),
    ),
  ].join("\n")}\n`;
}

function passageSection(passages: readonly Passage[], width: number): readonly string[] {
  if (passages.length === 0) return ["  nothing is played"];
  return [...passageRows(passages, width), ...wrap(`  ${LEGEND}`, width, "  ")];
}

function passageRows(passages: readonly Passage[], width: number): readonly string[] {
  const hasChoice = passages.some(({ choices }) => choices.length > 1);
  const ids = [
    ...new Set(passages.flatMap(({ choices }) => choices.map(({ instrument }) => instrument))),
  ];
  const rows = passages.map((passage) => [
    `  ${spanText(passage)}`,
    String(passage.noteCount),
    passage.notesPerSecond ? passage.notesPerSecond.quickest.toFixed(1) : "",
    ...ids.map((id) => cellText(passage, id)),
    ...(hasChoice ? [bestText(passage)] : []),
  ]);
  const best = hasChoice ? ["lies best on"] : [];
  const header = ["  bars", "notes", "per s", ...ids.map(shortName), ...best];
  const aligned = columns([header, ...rows]);
  if (aligned.every((line) => widthOf(line) <= width)) return aligned;
  return passages.flatMap((passage) => wrap(`  ${passageText(passage, ids)}`, width, "    "));
}

/** Where the page is too narrow for columns. */
function passageText(passage: Passage, ids: readonly InstrumentId[]): string {
  const speed = passage.notesPerSecond;
  const cells = ids.flatMap((id) => {
    const cell = cellText(passage, id);
    return cell === "" ? [] : [`${shortName(id)} ${cell}`];
  });
  const best = bestText(passage);
  return [
    `${spanText(passage)}: ${passage.noteCount} notes${speed ? `, ${speed.quickest.toFixed(1)} per s` : ""}`,
    ...cells,
    ...(best === "" ? [] : [`best ${best}`]),
  ].join("; ");
}

function cellText({ choices }: Passage, id: InstrumentId): string {
  const choice = choices.find(({ instrument }) => instrument === id);
  if (!choice) return "";
  const mark = choice.printed ? "*" : "";
  return `${readingText(choice)} ${scoreText(choice)}${mark}`;
}

function readingText({ writtenFifths, accidentals }: InstrumentChoice): string {
  const key = signatureSign(writtenFifths);
  return accidentals > 0 ? `${key} +${accidentals}` : key;
}

/** Notes that are not there make any other figure idle. */
function scoreText({ outOfRange, tooLow, difficulty }: InstrumentChoice): string {
  if (outOfRange === 0) return difficulty.score.toFixed(1);
  const tooHigh = outOfRange - tooLow;
  return [
    ...(tooLow > 0 ? [`${tooLow} too low`] : []),
    ...(tooHigh > 0 ? [`${tooHigh} too high`] : []),
  ].join(", ");
}

function bestText(passage: Passage): string {
  const best = bestChoice(passage);
  if (!best || passage.choices.length < 2) return "";
  return best.printed ? "as printed" : shortName(best.instrument);
}

function wholeLines(part: PartReport): readonly string[] {
  const whole = wholePart(part);
  if (!whole) return [];
  const onOne = whole.onOne.map(
    ({ instrument, score }) => `all on ${shortName(instrument)} ${score.toFixed(1)}`,
  );
  const hasChoice = part.passages.some(({ choices }) => choices.length > 1);
  const figures = [
    `as printed ${whole.printed.toFixed(1)}`,
    ...(onOne.length > 1 ? onOne : []),
    ...(hasChoice ? [`the best of each passage ${whole.best.toFixed(1)}`] : []),
  ];
  return [figures.join("; ")];
}

function spotLines(passages: readonly Passage[]): readonly string[] {
  return passages
    .flatMap((passage) => printedChoice(passage)?.spots ?? [])
    .sort((a, b) => b.strain - a.strain)
    .slice(0, MOST_SPOTS)
    .sort((a, b) => a.at.quarters.compare(b.at.quarters))
    .map(spotText);
}

/** Trills that lie badly one by one, with where they would lie better; the others as a count. */
function trillLines(passages: readonly Passage[]): readonly string[] {
  let good = 0;
  const lines = passages.flatMap((passage) => {
    const printed = printedChoice(passage);
    return (printed?.trills ?? []).flatMap((trill, k) => {
      if (trill.verdict === "good") {
        good++;
        return [];
      }
      const better = passage.choices
        .filter(({ trills }) => trills[k]?.verdict === "good")
        .map(({ instrument }) => `; well on ${shortName(instrument)}`);
      return [trillText(trill) + better.join("")];
    });
  });
  return good > 0 ? [...lines, `${good} ${lines.length > 0 ? "more " : ""}lie well`] : lines;
}

function registerLines(passages: readonly Passage[]): readonly string[] {
  const printed = passages.flatMap((passage) => printedChoice(passage) ?? []);
  const counts = REGISTERS.map((register) => ({
    name: REGISTER_NAMES[register],
    count: printed.reduce((sum, { registers }) => sum + (registers?.[register] ?? 0), 0),
  })).filter(({ count }) => count > 0);
  const unrated = [
    ...new Set(
      printed.filter(({ registers }) => registers === null).map(({ instrument }) => instrument),
    ),
  ];
  const crossings = printed.reduce((sum, { breakCrossings }) => sum + breakCrossings, 0);
  return [
    ...(counts.length > 0
      ? [
          `${counts.map(({ name, count }) => `${name} ${count}`).join(", ")}${crossings > 0 ? `; over the break ${crossings === 1 ? "once" : `${crossings} times`}` : ""}`,
        ]
      : []),
    ...(unrated.length > 0
      ? [
          `${unrated.map(shortName).join(", ")}: rated by key, range and speed, no table of fingerings here`,
        ]
      : []),
  ];
}
