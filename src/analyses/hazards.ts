import type { Hazard } from "../model/finding.js";
import type { Fraction } from "../model/fraction.js";
import type { HeldPlace } from "../model/report.js";
import { toNumber } from "../theory/fraction.js";
import type { AnalysisContext } from "./context.js";

/** The stretch of a rest in which the hands are busy and the eyes are down. */
export interface BlindSpan {
  readonly from: Fraction;
  /** Quarters from the start; where the hands are ready at the fast tempo, at most the entry. */
  readonly untilQuarters: number;
}

/**
 * What happens in the blind seconds that a player would want to see: a meter change, a tempo change,
 * a fermata or another pause. What begins as the player looks down, or with the entry, is among it.
 */
export function findHazards(
  context: AnalysisContext,
  blind: BlindSpan,
  enter: Fraction,
  lookUpBars: number,
  pauses: readonly HeldPlace[],
): readonly Hazard[] {
  const { performance, tempoMap } = context;
  const hazards: Hazard[] = [];
  const inBlind = (quarters: Fraction) =>
    quarters.compare(blind.from) >= 0 && toNumber(quarters) <= blind.untilQuarters;
  const { visits } = performance;
  for (let k = performance.visitAt(blind.from).visitIndex; k < visits.length; k++) {
    const visit = visits[k];
    if (!visit || toNumber(visit.startQuarters) > blind.untilQuarters) break;
    const before = performance.visits[visit.visitIndex - 1];
    if (!before || !inBlind(visit.startQuarters)) continue;
    const [from, to] = [
      performance.barOf(before).meter.label,
      performance.barOf(visit).meter.label,
    ];
    if (from !== to) {
      hazards.push({
        kind: "meter-change",
        at: performance.momentAt(visit.startQuarters),
        from,
        to,
      });
    }
  }
  tempoMap.stretches.forEach((stretch, k) => {
    const before = tempoMap.stretches[k - 1];
    if (!before || !inBlind(stretch.startQuarters)) return;
    const gradual = stretch.from !== stretch.to;
    const [from, to] = [before.to.likely, (gradual ? stretch.to : stretch.from).likely];
    if (from === to) return;
    const at = performance.momentAt(stretch.startQuarters);
    hazards.push({ kind: "tempo-change", at, from, to, mark: stretch.text, gradual });
  });
  for (const { at, on, sign } of pauses) {
    // Under a fermata on the last note the player still watches.
    if (on === "rest" && toNumber(at.quarters) <= blind.untilQuarters) {
      hazards.push({ kind: "pause", at, sign });
    }
  }
  if (lookUpBars < 1) {
    hazards.push({ kind: "late-look-up", at: performance.momentAt(enter), lookUpBars });
  }
  return hazards.sort((a, b) => a.at.quarters.compare(b.at.quarters));
}
