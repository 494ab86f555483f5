import type { TempoSpan } from "../model/report.js";
import type { AnalysisContext } from "./context.js";

/** The tempi of the performance, each with its source. */
export function listTempi({ performance, tempoMap }: AnalysisContext): readonly TempoSpan[] {
  return tempoMap.stretches.map(({ startQuarters, quartersPerMinute, source, text }) => ({
    from: performance.momentAt(startQuarters),
    quartersPerMinute,
    source,
    text,
  }));
}
