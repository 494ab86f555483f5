import type { AnalysisContext } from "../analyses/context.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PlannablePassage } from "../model/plan.js";
import type { InstrumentChange } from "../model/report.js";
import type { PassageVisit } from "./visits.js";

/** A part as it is planned: its passages, and how they follow one another. */
export interface PlanBasis {
  readonly context: AnalysisContext;
  readonly passages: readonly PlannablePassage[];
  readonly visits: readonly PassageVisit[];
}

/** A change of a plan, with the position of the visit that begins with it. */
export interface PlacedChange {
  readonly visitIndex: number;
  readonly change: InstrumentChange;
}

/**
 * The changes of a choice of instruments, in the order of performance.
 * @param instruments one for each passage
 */
export function placedChanges(
  { visits }: PlanBasis,
  instruments: readonly InstrumentId[],
): readonly PlacedChange[] {
  const changes: PlacedChange[] = [];
  visits.forEach(({ passage, gap }, visitIndex) => {
    const from = instruments[visits[visitIndex - 1]?.passage ?? passage];
    const to = instruments[passage];
    if (!gap || from === undefined || to === undefined || from === to) return;
    const number = changes.length + 1;
    changes.push({ visitIndex, change: { ...gap.change(from, to), number } });
  });
  return changes;
}

/** The changes alone. */
export function changesOf(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
): readonly InstrumentChange[] {
  return placedChanges(basis, instruments).map(({ change }) => change);
}

/** Whether a change cannot be made, or may make the player miss the entry. */
export function isUnsafe({ verdict }: Pick<InstrumentChange, "verdict">): boolean {
  return verdict === "impossible" || verdict === "tight";
}
