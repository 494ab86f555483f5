import type { TempoReport, TimedTempo } from "../model/report.js";
import type { PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import type { BarVisit } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import { PAUSE_SECONDS } from "../timing/pauses.js";
import { performPart, type PerformedPart } from "./performed.js";
import { headingOf } from "./heading.js";
import type { PartSource } from "./index.js";
import { listTempi } from "./tempi.js";

/**
 * The tempi of a part in the order of performance, with where each comes from and how long it lasts.
 * @throws InputError when its repeats never end, or a wish names a place that is not in it
 */
export function analyseTempo(
  timeline: PartTimeline,
  source: PartSource,
  wishes: PerformanceWishes = {},
): TempoReport {
  const { performed, notices } = performPart(timeline, wishes);
  const { recordings } = performed;
  return {
    ...headingOf(timeline, performed, source),
    tempi: timedTempi(performed),
    pauses: pausePlaces(performed),
    recordings: recordings.map(({ name, from, to, secondsBetween }) => ({
      recording: name,
      seconds: secondsBetween(from, to),
    })),
    notices: [...notices.tempo, ...timeline.notices, ...notices.order],
  };
}

function timedTempi(performed: PerformedPart): readonly TimedTempo[] {
  const { performance, clock, tempoMap } = performed;
  const spans = listTempi(performed);
  return tempoMap.stretches.flatMap(({ startQuarters, endQuarters }, k) => {
    const span = spans[k];
    if (!span) return [];
    const first = performance.visitAt(startQuarters);
    const last = performance.visitEndingAt(endQuarters);
    const seconds = clock.secondsBetween(startQuarters, endQuarters);
    const isMeasured = clock.sourceBetween(startQuarters, endQuarters) === "recording";
    const quarters = toNumber(endQuarters.sub(startQuarters));
    return [
      {
        ...span,
        until: performance.moment(last, endQuarters.sub(last.startQuarters)),
        seconds,
        ...(isMeasured && { measuredQuartersPerMinute: (60 * quarters) / seconds.likely }),
        timesThrough: mostPasses(performance.visits.slice(first.visitIndex, last.visitIndex + 1)),
      },
    ];
  });
}

/** How often the bar that comes most is among the visits. */
function mostPasses(visits: readonly BarVisit[]): number {
  const counts = new Map<number, number>();
  for (const { barIndex } of visits) counts.set(barIndex, (counts.get(barIndex) ?? 0) + 1);
  return Math.max(1, ...new Set(counts.values()));
}

/** Every pause each time it is come to, in the order of performance. */
function pausePlaces({ performance, pauses }: PerformedPart): TempoReport["pauses"] {
  return performance.visits.flatMap((visit) =>
    (pauses.get(visit.barIndex) ?? []).map(({ at, sign }) => ({
      at: performance.moment(visit, at.offset),
      sign,
      extraSeconds: PAUSE_SECONDS[sign],
    })),
  );
}
