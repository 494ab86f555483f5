import { measureChange } from "../analyses/changes.js";
import {
  endMoment,
  lastNoteStart,
  leadingGraceNotes,
  type PlayedStretch,
} from "../analyses/stretches.js";
import type { Verdict } from "../model/finding.js";
import type { PlanAdvice } from "../model/plan.js";
import type { InstrumentChange } from "../model/report.js";
import { maxFraction } from "../theory/fraction.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { isUnsafe, type PlanBasis } from "./basis.js";
import type { Gap } from "./visits.js";

/** Which notes are not played: the last before the rest, or the first after it. */
export type WhichNotes = "last" | "first";

/**
 * A change of a plan as it is when some notes on one side of its rest are not played.
 * @param kept what is still played on that side, in the order of performance
 * @returns undefined where nothing is
 */
export function changeWith(
  { context }: PlanBasis,
  { before, after }: Pick<Gap, "before" | "after">,
  { from, to }: Pick<InstrumentChange, "from" | "to">,
  which: WhichNotes,
  kept: readonly PerformedNote[],
): InstrumentChange | undefined {
  const [first] = kept;
  if (!first) return undefined;
  // Where two voices are written another note may go on sounding.
  const silentFrom = kept.map(({ endQuarters }) => endQuarters).reduce(maxFraction);
  const left: PlayedStretch = { ...before, instrument: from };
  const entered: PlayedStretch = { ...after, instrument: to };
  return which === "last"
    ? measureChange(
        context,
        { ...left, notes: kept },
        { ...entered, silentFrom, lastNoteFrom: lastNoteStart(kept, silentFrom) },
        0,
      )
    : measureChange(
        context,
        left,
        {
          ...entered,
          notes: kept,
          startQuarters: first.startQuarters,
          graceNotes: leadingGraceNotes(kept),
        },
        0,
      );
}

/** More notes than these left out would be missed; a colleague may take them by the bar. */
const MOST_NOTES_LEFT_OUT = 16;

/**
 * The fewest notes before the rest, and after it, without which the change is possible, and without which it
 * is safe.
 */
export function fewerNotes(
  basis: PlanBasis,
  gap: Gap,
  change: InstrumentChange,
): readonly PlanAdvice[] {
  return (["last", "first"] as const).flatMap((which) => {
    const found: PlanAdvice[] = [];
    for (let notes = 1; notes <= MOST_NOTES_LEFT_OUT; notes++) {
      const advice = without(basis, gap, change, which, notes);
      if (!advice) break;
      if (!isUnsafe(advice)) return [...found, advice];
      const isFirst = found.length === 0 && change.verdict === "impossible";
      if (isFirst && advice.verdict === "tight") found.push(advice);
    }
    return found;
  });
}

type LeaveOut = Extract<PlanAdvice, { kind: "leave-out" }> & { readonly verdict: Verdict };

function without(
  basis: PlanBasis,
  gap: Gap,
  change: InstrumentChange,
  which: WhichNotes,
  count: number,
): LeaveOut | undefined {
  const { performance } = basis.context;
  const played = which === "last" ? gap.before.notes : gap.after.notes;
  const [kept, left] =
    which === "last"
      ? [played.slice(0, -count), played.slice(-count)]
      : [played.slice(count), played.slice(0, count)];
  const [firstLeft] = left;
  const lastLeft = left.at(-1);
  const gained = changeWith(basis, gap, change, which, kept);
  if (!firstLeft || !lastLeft || !gained) return undefined;
  return {
    kind: "leave-out",
    which,
    notes: count,
    from: performance.momentAt(firstLeft.startQuarters),
    to: endMoment(performance, lastLeft.endQuarters),
    gainedSeconds: gained.rest.seconds.short - change.rest.seconds.short,
    verdict: gained.verdict,
  };
}
