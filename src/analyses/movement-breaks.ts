import type { Fraction } from "../model/fraction.js";
import type { HeldPlace } from "../model/report.js";
import type { PartTimeline } from "../model/score.js";
import type { SecondsRange } from "../model/time.js";
import { KeptWith } from "../theory/kept-with.js";
import { sumSeconds } from "../theory/seconds.js";
import { endsMovement } from "../timing/movements.js";
import { PAUSE_SECONDS } from "../timing/pauses.js";
import type { PerformedPart } from "./performed.js";

/** Words that let the next movement follow at once. Common practice, no source. */
const GOES_ON =
  /(?<!\bnon )\b(?:attacca|attaca|segue|sans interruption|sans arr[êe]t|encha[îi]nez|ohne pause|ohne unterbrechung|without (?:a )?(?:break|pause))\b/i;

/** Bars before the end of a movement in which such words are looked for. */
const LAST_BARS = 4;

/**
 * The ends of movements inside a rest, and final barlines after which nothing says whether a new movement
 * begins. A movement that goes on at once is none of them.
 */
export function movementBreaks(
  { timeline, performance }: Pick<PerformedPart, "timeline" | "performance">,
  from: Fraction,
  to: Fraction,
): readonly HeldPlace[] {
  const { bars, visits } = performance;
  const breaks: HeldPlace[] = [];
  for (let k = performance.visitEndingAt(from).visitIndex; k + 1 < visits.length; k++) {
    const visit = visits[k];
    const end = visit?.startQuarters.add(visit.lengthQuarters);
    if (!visit || !end || end.compare(to) > 0) break;
    const next = visits[k + 1]?.barIndex ?? 0;
    const goesOn = next > visit.barIndex;
    // A Fine ends a movement whose last bars come before it.
    const isEnd = goesOn && endsMovement(bars, next - 1);
    const isClosed = isEnd || bars[visit.barIndex]?.finalBarline;
    if (!isClosed || !goesOn || end.compare(from) < 0) continue;
    if (isAttacca(timeline, visit.barIndex)) continue;
    const sign = isEnd ? "movement-end" : "final-barline";
    breaks.push({
      at: performance.moment(visit, visit.lengthQuarters),
      on: "rest",
      sign,
      extraSeconds: PAUSE_SECONDS[sign],
    });
  }
  return breaks;
}

/** Seconds that the ends of movements add; the short ones surely. A final barline alone is not counted. */
export function breakSeconds(pauses: readonly HeldPlace[]): SecondsRange {
  return sumSeconds(
    pauses.filter(({ sign }) => sign === "movement-end").map(({ extraSeconds }) => extraSeconds),
  );
}

/** Whether the last movement of the file asks the next one to follow at once: "attacca" near its end. */
export function endsAttacca({
  timeline,
  performance: { visits },
}: Pick<PerformedPart, "timeline" | "performance">): boolean {
  return isAttacca(timeline, visits.at(-1)?.barIndex ?? 0);
}

function isAttacca(timeline: PartTimeline, lastBar: number): boolean {
  const bars = attaccaBars.of(timeline, barsThatGoOn);
  for (let k = lastBar - LAST_BARS + 1; k <= lastBar + 1; k++) if (bars.has(k)) return true;
  return false;
}

const attaccaBars = new KeptWith<PartTimeline, ReadonlySet<number>>();

/** Bars with words that let what follows go on at once. */
function barsThatGoOn({ instructions, tempoSigns }: PartTimeline): ReadonlySet<number> {
  const words = [
    ...instructions.map(({ at, text }) => ({ at, texts: [text] })),
    ...tempoSigns.map(({ at, words: texts }) => ({ at, texts })),
  ];
  const goesOn = words.filter(({ texts }) => texts.some((text) => GOES_ON.test(text)));
  return new Set(goesOn.map(({ at }) => at.barIndex));
}
