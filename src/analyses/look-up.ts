import type { Fraction } from "../model/fraction.js";
import type { Moment } from "../model/time.js";
import { ceiling, maxFraction, minFraction, toNumber } from "../theory/fraction.js";
import type { Performance } from "../timing/performance.js";
import { beatAt, offsetOfBeat } from "../timing/places.js";

/**
 * The first beat that the player counts from a moment on, or the end of the bar where that comes first: nobody
 * counts to beat 2.37.
 * @param quarters from the start of the performance, not beyond its end
 */
export function beatFrom(performance: Performance, quarters: Fraction): Moment {
  const visit = performance.visitAt(quarters);
  const bar = performance.barOf(visit);
  const beat = ceiling(beatAt(bar, quarters.sub(visit.startQuarters)));
  const offset = minFraction(offsetOfBeat(bar, toNumber(beat)), bar.lengthQuarters);
  const at = maxFraction(visit.startQuarters.add(offset), quarters);
  return performance.momentAt(minFraction(at, performance.totalQuarters));
}
