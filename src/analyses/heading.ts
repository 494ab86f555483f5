import type { PartHeading } from "../model/report.js";
import type { PartTimeline } from "../model/score.js";
import { ZERO } from "../theory/fraction.js";
import type { PartSource } from "./index.js";
import type { PerformedPart } from "./performed.js";

/** What a report of any kind says of its part at the top. */
export function headingOf(
  timeline: PartTimeline,
  { performance, clock }: Pick<PerformedPart, "performance" | "clock">,
  { file, title, movement }: Pick<PartSource, "file" | "title" | "movement">,
): PartHeading {
  const { part, bars } = timeline;
  return {
    file,
    title,
    movement,
    part,
    barCount: bars.length,
    barLabels: { first: bars[0]?.barLabel ?? "", last: bars.at(-1)?.barLabel ?? "" },
    playedBars: performance.visits.length,
    durationSeconds: clock.secondsBetween(ZERO, performance.totalQuarters),
  };
}
