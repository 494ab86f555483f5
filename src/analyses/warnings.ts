import type { Disagreement } from "../model/finding.js";
import type { Fraction } from "../model/fraction.js";
import type { ChangeoverTime, Rest } from "../model/report.js";
import type { AnalysisContext } from "./context.js";
import type { InstrumentSwitch } from "./instruments-in-hand.js";
import { GRACE_NOTE_SECONDS } from "./rests.js";
import { endMoment } from "./stretches.js";

/** A change as far as its warning goes. */
interface WarnedChange {
  readonly printed: InstrumentSwitch;
  readonly rest: Rest;
  readonly needed: ChangeoverTime;
  /** Seconds that the end of a movement gives besides. */
  readonly pause: number;
  /** Played before the beat of the entry. */
  readonly graceNotes: number;
  /** Where the silence begins and ends, quarters of the performance. */
  readonly from: Fraction;
  readonly to: Fraction;
}

/**
 * What is wrong with how the page announces a change: nothing on it does, or the words come when the hands
 * no longer have the time that the rest would give them.
 */
export function warningFaults(
  context: AnalysisContext,
  { printed, rest, needed, pause, graceNotes, from, to }: WarnedChange,
): readonly Disagreement[] {
  const { performance, clock } = context;
  const { warning } = printed;
  const neededSeconds = Math.max(0, needed.seconds - pause);
  const { barIndex, barLabel } = performance.momentAt(to);
  const restBarLabel = endMoment(performance, from).barLabel;
  if (!warning) {
    return [{ kind: "nothing-printed", barIndex, barLabel, restBarLabel, to: printed.to }];
  }
  const entry = performance.visitAt(to);
  const seen = performance.visits
    .slice(0, entry.visitIndex + 1)
    .findLast((visit) => visit.barIndex === warning.at.barIndex);
  const seenAt = seen?.startQuarters.add(warning.at.offset);
  if (!seenAt || seenAt.compare(from) <= 0) return [];
  const untilBeat = seenAt.compare(to) < 0 ? clock.secondsBetween(seenAt, to).short : 0;
  const seconds = Math.max(0, untilBeat - graceNotes * GRACE_NOTE_SECONDS);
  if (seconds >= neededSeconds || rest.seconds.short < neededSeconds) return [];
  return [
    {
      kind: "late-warning",
      barIndex,
      barLabel,
      words: warning.text,
      wordsBarLabel: performance.bars[warning.at.barIndex]?.barLabel ?? "",
      restBarLabel,
      seconds,
      neededSeconds: needed.seconds,
      to: printed.to,
    },
  ];
}
