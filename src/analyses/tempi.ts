import type { TempoSpan } from "../model/report.js";
import { toNumber } from "../theory/fraction.js";
import type { PerformedPart } from "./performed.js";

/** The tempi of the performance, each with its source. */
export function listTempi({
  performance,
  tempoMap,
}: Pick<PerformedPart, "performance" | "tempoMap">): readonly TempoSpan[] {
  return tempoMap.stretches.map(({ startQuarters, from, to, source, text, bend }) => ({
    from: performance.momentAt(startQuarters),
    beatQuarters: toNumber(
      performance.barOf(performance.visitAt(startQuarters)).meter.beatQuarters,
    ),
    quartersPerMinute: from,
    ...(from !== to && { endQuartersPerMinute: to }),
    ...(bend && { bend }),
    source,
    text,
  }));
}
