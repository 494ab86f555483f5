import type { Fraction } from "../model/fraction.js";
import type { Rest } from "../model/report.js";
import type { SecondsRange } from "../model/time.js";
import type { AnalysisContext } from "./context.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * What a grace note before the beat takes from the rest in front of it, in seconds.
 * An assumption (common practice, no source).
 */
export const GRACE_NOTE_SECONDS = 0.1;

/** Measures the silence between two moments of the performance, before the stretch that ends it. */
export function measureRest(
  {
    performance,
    tempoMap,
    timeline,
  }: Pick<AnalysisContext, "performance" | "tempoMap" | "timeline">,
  from: Fraction,
  to: Fraction,
  { graceNotes, lastNoteFrom }: Pick<PlayedStretch, "graceNotes" | "lastNoteFrom">,
): Rest {
  return {
    quarters: to.sub(from),
    bars: performance.barsBetween(from, to),
    beats: performance.beatsBetween(from, to),
    seconds: lessGrace(tempoMap.secondsBetween(from, to), graceNotes),
    tempoSource: tempoMap.sourceBetween(from, to),
    fermatas: fermatasIn({ performance, timeline }, lastNoteFrom ?? from, to),
  };
}

function lessGrace(seconds: SecondsRange, graceNotes: number): SecondsRange {
  const lead = graceNotes * GRACE_NOTE_SECONDS;
  return {
    short: Math.max(0, seconds.short - lead),
    likely: Math.max(0, seconds.likely - lead),
    long: Math.max(0, seconds.long - lead),
  };
}

/** Fermatas on the last note or in the rest: they lengthen it by what only the conductor knows. */
function fermatasIn(
  { performance, timeline }: Pick<AnalysisContext, "performance" | "timeline">,
  from: Fraction,
  to: Fraction,
): Rest["fermatas"] {
  if (timeline.fermatas.length === 0) return [];
  const first = performance.visitAt(from);
  const found: Rest["fermatas"][number][] = [];
  for (const visit of performance.visits.slice(first.visitIndex)) {
    if (visit.startQuarters.compare(to) >= 0) break;
    for (const { at } of timeline.fermatas) {
      if (at.barIndex !== visit.barIndex) continue;
      const quarters = visit.startQuarters.add(at.offset);
      if (quarters.compare(to) < 0 && quarters.compare(from) >= 0) {
        found.push(performance.moment(visit, at.offset));
      }
    }
  }
  return found;
}
