import type { Fraction } from "../model/fraction.js";
import type { Rest } from "../model/report.js";
import type { Position } from "../model/score.js";
import type { Moment, SecondsRange } from "../model/time.js";
import type { AnalysisContext } from "./context.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * What a grace note before the beat takes from the rest in front of it, in seconds.
 * An assumption (common practice, no source).
 */
export const GRACE_NOTE_SECONDS = 0.1;

/** Measures the silence between two moments of the performance, before the stretch that ends it. */
export function measureRest(
  context: RestContext,
  from: Fraction,
  to: Fraction,
  { graceNotes, lastNoteFrom }: Pick<PlayedStretch, "graceNotes" | "lastNoteFrom">,
): Rest {
  const { performance, tempoMap, timeline } = context;
  return {
    quarters: to.sub(from),
    bars: performance.barsBetween(from, to),
    beats: performance.beatsBetween(from, to),
    counted: performance.countedRest(from, to),
    seconds: lessGrace(tempoMap.secondsBetween(from, to), graceNotes),
    tempoSource: tempoMap.sourceBetween(from, to),
    tempoWords: momentsOf(context, context.tempoWords, from, to),
    fermatas: momentsOf(context, timeline.fermatas, lastNoteFrom ?? from, to).map(({ at }) => ({
      at,
      on: at.quarters.compare(from) < 0 ? "last-note" : "rest",
    })),
  };
}

type RestContext = Pick<AnalysisContext, "performance" | "tempoMap" | "timeline" | "tempoWords">;

/** Signs of the page with the moments at which they pass between two others, the end excluded. */
function momentsOf<T extends { readonly at: Position }>(
  { performance }: RestContext,
  signs: readonly T[],
  from: Fraction,
  to: Fraction,
): readonly (Omit<T, "at"> & { readonly at: Moment })[] {
  if (signs.length === 0) return [];
  const found: (Omit<T, "at"> & { readonly at: Moment })[] = [];
  for (const visit of performance.visits.slice(performance.visitAt(from).visitIndex)) {
    if (visit.startQuarters.compare(to) >= 0) break;
    for (const sign of signs) {
      if (sign.at.barIndex !== visit.barIndex) continue;
      const quarters = visit.startQuarters.add(sign.at.offset);
      if (quarters.compare(to) >= 0 || quarters.compare(from) < 0) continue;
      found.push({ ...sign, at: performance.moment(visit, sign.at.offset) });
    }
  }
  return found;
}

function lessGrace(seconds: SecondsRange, graceNotes: number): SecondsRange {
  const lead = graceNotes * GRACE_NOTE_SECONDS;
  return {
    short: Math.max(0, seconds.short - lead),
    likely: Math.max(0, seconds.likely - lead),
    long: Math.max(0, seconds.long - lead),
  };
}
