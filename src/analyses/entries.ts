import type { Entry } from "../model/report.js";
import { ZERO } from "../theory/fraction.js";
import { timed, type AnalysisContext } from "./context.js";
import { measureRest } from "./rests.js";
import { endMoment } from "./stretches.js";

/** Every entry after a rest, however short, in the order of performance. */
export function findEntries(context: AnalysisContext): readonly Entry[] {
  const { performance } = context;
  return context.stretches
    .filter(({ silentFrom, startQuarters }) => startQuarters.compare(silentFrom ?? ZERO) > 0)
    .map((stretch): Entry => {
      const { silentFrom, startQuarters, graceNotes } = stretch;
      return {
        at: timed(context, performance.momentAt(startQuarters)),
        leave: silentFrom && timed(context, endMoment(performance, silentFrom)),
        instrument: stretch.instrument,
        rest: measureRest(context, silentFrom ?? ZERO, startQuarters, stretch),
        graceNotes,
      };
    });
}
