import type { Fraction } from "../model/fraction.js";
import type { HeldPlace } from "../model/report.js";
import type { PartTimeline } from "../model/score.js";
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
    const goesOn = visits[k + 1]?.barIndex === visit.barIndex + 1;
    const isEnd = endsMovement(bars, visit.barIndex);
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

/** Seconds that the ends of movements surely add to a rest. */
export function breakSeconds(pauses: readonly HeldPlace[]): number {
  return pauses
    .filter(({ sign }) => sign === "movement-end")
    .reduce((sum, { extraSeconds }) => sum + extraSeconds.short, 0);
}

function isAttacca({ instructions, tempoSigns }: PartTimeline, lastBar: number): boolean {
  const isNear = (barIndex: number) => barIndex > lastBar - LAST_BARS && barIndex <= lastBar + 1;
  return (
    instructions.some(({ at, text }) => isNear(at.barIndex) && GOES_ON.test(text)) ||
    tempoSigns.some(
      ({ at, words }) => isNear(at.barIndex) && words.some((text) => GOES_ON.test(text)),
    )
  );
}
