import type { Verdict } from "../model/finding.js";
import type { CheckedChange, InstrumentChange, PartReport, Rest } from "../model/report.js";
import type { RenderOptions, Style } from "./index.js";
import { columns, widthOf, wrap } from "./util/layout.js";
import { adviceText, evidenceText } from "./wording/advice.js";
import { disagreementText } from "./wording/disagreements.js";
import { exposureText } from "./wording/exposure.js";
import { hazardText } from "./wording/hazards.js";
import { shortName } from "./wording/instruments.js";
import { lyingText } from "./wording/lying.js";
import { cueText, listenLines } from "./wording/landmarks.js";
import { pauseLines, pauseSuffix } from "./wording/pauses.js";
import { barText, leavingText, placeText } from "./wording/places.js";
import {
  barsLeftText,
  restLengthText,
  secondsRangeText,
  secondsText,
} from "./wording/quantities.js";
import { clean } from "./util/clean.js";

/** The worst stand out by more than colour: a mark in the margin and capitals. */
const MARGIN: Readonly<Record<Verdict, string>> = {
  impossible: "!!",
  tight: " !",
  workable: "  ",
  ample: "  ",
};

const INDENT = "      ";

/** A block a change, in the order of the piece: where and what, how long, what to mind, who says so. */
export function changeLines(
  { changes }: PartReport,
  { width, style }: RenderOptions,
): readonly string[] {
  if (changes.length === 0) return ["  none"];
  const heads = changeHeads(changes, width);
  return changes.flatMap((change, k) => {
    const paint = painter(change.verdict, style);
    return [
      ...wrap(heads[k] ?? "", width, INDENT).map(paint),
      ...[timeText(change), ...details(change)]
        .flatMap((line) => wrap(line, width - INDENT.length, "  "))
        .map((line) => INDENT + line),
    ];
  });
}

/** Number, place, change and verdict: in columns where the page is wide enough. */
function changeHeads(changes: readonly InstrumentChange[], width: number): readonly string[] {
  const rows = changes.map((change) => ({
    number: `${changeMargin(change)} ${String(change.number).padStart(2)}`,
    place: `${leavingText(change.leave)} → bar ${placeText(change.enter)}`,
    change: `${shortName(change.from)} → ${shortName(change.to)}`,
    verdict: verdictWord(change.verdict),
  }));
  const aligned = columns(rows.map((row) => [row.number, row.place, row.change, row.verdict]));
  if (aligned.every((line) => widthOf(line) <= width)) return aligned;
  return rows.map((row) => `${row.number}  ${row.place}: ${row.change}, ${row.verdict}`);
}

/** A misprint asks for a look even where there is time enough. */
export function changeMargin({
  verdict,
  disagreements,
}: Pick<InstrumentChange, "verdict" | "disagreements">): string {
  return MARGIN[verdict].trim() === "" && disagreements.length > 0 ? " ?" : MARGIN[verdict];
}

function timeText({ rest, needed, lookUp }: InstrumentChange): string {
  // What is measured has no fast end.
  const end = rest.seconds.short === rest.seconds.long ? "" : "at the fast end ";
  // In the pause between two movements nobody counts bars.
  const hasPause = rest.pauses.some(({ sign }) => sign === "movement-end");
  const bars = hasPause ? "" : ` (${barsLeftText(lookUp.bars)})`;
  const left =
    lookUp.seconds > 0
      ? `leaves ${secondsText(lookUp.seconds)}${bars} to look up`
      : `${secondsText(-lookUp.seconds)} too short`;
  return `rest ${restLengthText(rest)}, ${secondsRangeText(rest.seconds)}${pauseSuffix(rest)}; hands ${secondsText(needed.seconds)}; ${end}${left}`;
}

function details(change: CheckedChange): readonly string[] {
  const { rest, entersIn, needed, lookUp } = change;
  const lines = change.disagreements.map(disagreementText);
  const hazards = change.hazards.filter(
    ({ kind }) => kind !== "late-look-up" || lookUp.seconds > 0,
  );
  if (hazards.length > 0) lines.push(`eyes down: ${hazards.map(hazardText).join("; ")}`);
  const entered = [entersIn.meter, entersIn.tempo].flatMap((each) => (each ? [clean(each)] : []));
  if (entered.length > 0) lines.push(`you enter in ${entered.join(", ")}`);
  if (change.exposure) lines.push(exposureText(change.exposure));
  lines.push(...viewLines(rest));
  if (rest.tempoWords.length > 0) {
    const words = rest.tempoWords.map(({ at, text }) => `"${clean(text)}" (bar ${barText(at)})`);
    lines.push(`in this rest the tempo bends, how far is assumed: ${words.join(", ")}`);
  }
  lines.push(...pauseLines(rest.pauses));
  const turn = needed.steps.find(({ action }) => action === "page-turn");
  if (turn) lines.push(`page turn in this rest, ${secondsText(turn.seconds)} of the hands' time`);
  lines.push(...listenLines(change.landmarks));
  lines.push(...change.cues.map(cueText));
  if (change.lying.matters) lines.push(lyingText(change));
  for (const advice of change.advice) lines.push(`→ ${adviceText(advice)}`);
  return [...lines, ...evidenceLines(change)];
}

/** Seconds are shown to a tenth. */
const LEAST_SHOWN_SECONDS = 0.05;

/** The rest by the page and by each recording, where the player gave recordings. */
function viewLines({ marked, recordings, seconds }: Rest): readonly string[] {
  if (!marked) return [];
  const byRecording = recordings.map(
    ({ recording, seconds }) => `${secondsText(seconds)} on ${clean(recording)}`,
  );
  const byMarks = secondsRangeText(marked.seconds);
  if (byRecording.length > 0) return [`${byRecording.join(", ")}; by the tempo marks ${byMarks}`];
  const partly = Math.abs(seconds.likely - marked.seconds.likely) > LEAST_SHOWN_SECONDS;
  return partly
    ? [`timed in part, the rest of it by the tempo marks; by those alone ${byMarks}`]
    : ["no recording covers this rest"];
}

/** What the player can see on the page, and what only the file says. */
function evidenceLines({ evidence }: InstrumentChange): readonly string[] {
  const onPage = evidence.filter(({ kind }) => ON_PAGE.has(kind)).map(evidenceText);
  const inFile = evidence.filter(({ kind }) => !ON_PAGE.has(kind)).map(evidenceText);
  const printed = onPage.length > 0 ? onPage.join(", ") : "nothing";
  return [
    `on the page: ${printed}${inFile.length > 0 ? `; in the file: ${inFile.join(", ")}` : ""}`,
  ];
}

const ON_PAGE: ReadonlySet<string> = new Set(["words", "part-name-display", "repeat"]);

export function verdictWord(verdict: Verdict): string {
  return verdict === "impossible" || verdict === "tight" ? verdict.toUpperCase() : verdict;
}

export function painter(verdict: Verdict, style: Style): (text: string) => string {
  if (verdict === "impossible") return style.alarm;
  return verdict === "tight" ? style.warning : (text) => text;
}

const ACTIONS: Readonly<Record<InstrumentChange["needed"]["steps"][number]["action"], string>> = {
  "whole-change": "as you timed it",
  "put-down": "put down",
  "pick-up": "pick up",
  "move-mouthpiece": "move mouthpiece",
  settle: "settle",
  "page-turn": "page turn",
};

/** What the hands need for each kind of change, step by step, once; page turns come on top. */
export function handLines({ changes }: PartReport, { width }: RenderOptions): readonly string[] {
  const someOwn = changes.some(({ needed }) => needed.steps.some(({ assumed }) => !assumed));
  const lines = new Set(
    changes.map(({ from, to, needed }) => {
      const steps = needed.steps.filter(({ action }) => action !== "page-turn");
      const sum = steps.reduce((total, { seconds }) => total + seconds, 0);
      const each = steps.map(
        ({ action, seconds, assumed }) =>
          `${ACTIONS[action]} ${seconds}${assumed && someOwn ? "*" : ""}`,
      );
      return `${shortName(from)} → ${shortName(to)}: ${secondsText(sum)} = ${each.join(" + ")}`;
    }),
  );
  return [...lines].flatMap((line) => wrap(`  ${line}`, width, INDENT));
}
