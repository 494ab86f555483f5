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
 * a fermata. What begins as the player looks down, or with the entry, is among it.
 */
export function findHazards(
  context: AnalysisContext,
  blind: BlindSpan,
  enter: Fraction,
  lookUpBars: number,
  fermatas: readonly HeldPlace[],
): readonly Hazard[] {
  const { performance, tempoMap } = context;
  const hazards: Hazard[] = [];
  const inBlind = (quarters: Fraction) =>
    quarters.compare(blind.from) >= 0 && toNumber(quarters) <= blind.untilQuarters;
  for (const visit of performance.visits.slice(performance.visitAt(blind.from).visitIndex)) {
    if (toNumber(visit.startQuarters) > blind.untilQuarters) break;
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
    const [from, to] = [before.quartersPerMinute.likely, stretch.quartersPerMinute.likely];
    if (from === to) return;
    const at = performance.momentAt(stretch.startQuarters);
    hazards.push({ kind: "tempo-change", at, from, to, mark: stretch.text });
  });
  for (const { at, on } of fermatas) {
    // Under a fermata on the last note the player still watches.
    if (on === "rest" && toNumber(at.quarters) <= blind.untilQuarters) {
      hazards.push({ kind: "fermata", at });
    }
  }
  if (lookUpBars < 1) {
    hazards.push({ kind: "late-look-up", at: performance.momentAt(enter), lookUpBars });
  }
  return hazards.sort((a, b) => a.at.quarters.compare(b.at.quarters));
}
