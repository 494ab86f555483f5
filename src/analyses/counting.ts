import type { BusyHands, CountedEntry, CountedGroup, CountedRest } from "../model/count.js";
import type { Fraction } from "../model/fraction.js";
import type { CheckedChange } from "../model/report.js";
import { ZERO } from "../theory/fraction.js";
import { timed, type AnalysisContext } from "./context.js";
import { countedGroups } from "./counting-groups.js";
import { laidTempi, marksAtBar, tempoMarks, type LaidTempi } from "./counting-marks.js";
import { heardBefore } from "./heard-before.js";
import { beatFrom } from "./look-up.js";
import { measureRest } from "./rests.js";
import { endMoment, lastNoteStart, type PlayedStretch } from "./stretches.js";

/** A rest before it is known whether it is told. */
type FoundRest = Omit<CountedRest, "number" | "heard" | "change"> & {
  readonly change: CheckedChange | null;
  /** What is entered on; null for the silence to the end. */
  readonly stretch: PlayedStretch | null;
};

/**
 * Every rest of so many bars or more, and every change whatever its length, laid out to be counted: the
 * first entry and the silence to the end among them, in the order of performance.
 * @param changes all of the part, as `findChanges` gives them
 * @param fromBars whole bars, as counted; 0 for every rest
 */
export function countRests(
  context: AnalysisContext,
  changes: readonly CheckedChange[],
  fromBars: number,
): readonly CountedRest[] {
  const tempi = laidTempi(context);
  const { stretches } = context;
  let changesBefore = 0;
  const rests = stretches.flatMap((stretch, k): readonly FoundRest[] => {
    const before = stretches[k - 1];
    const isChange = before !== undefined && before.instrument !== stretch.instrument;
    const change = isChange ? (changes[changesBefore++] ?? null) : null;
    const isRest = stretch.startQuarters.compare(stretch.silentFrom ?? ZERO) > 0;
    return isRest || change ? [restBefore(context, tempi, stretch, change)] : [];
  });
  return [...rests, ...restToTheEnd(context, tempi)]
    .filter(({ change, rest }) => change !== null || rest.counted.bars >= fromBars)
    .map(({ stretch, ...rest }, k) => ({
      ...rest,
      number: k + 1,
      // Without a change the player may listen all the time.
      heard: stretch && (rest.change ?? heardBefore(context, stretch, { quarters: ZERO })),
    }));
}

function restBefore(
  context: AnalysisContext,
  tempi: LaidTempi,
  stretch: PlayedStretch,
  change: CheckedChange | null,
): FoundRest {
  const { silentFrom, startQuarters: to } = stretch;
  const span = { from: silentFrom ?? ZERO, to };
  const rest = change?.rest ?? measureRest(context, span.from, to, stretch);
  const { groups, before } = countedGroups(context, tempi, span, rest.pauses);
  return {
    leave: silentFrom && timed(context, endMoment(context.performance, silentFrom)),
    rest,
    before,
    groups,
    entry: entryAt(context, tempi, stretch),
    change,
    hands: change && busyHands(context, change, span, groups),
    stretch,
  };
}

/** The silence after the last note; of a part without notes, all of it. */
function restToTheEnd(context: AnalysisContext, tempi: LaidTempi): readonly FoundRest[] {
  const { performance, stretches } = context;
  const last = stretches.at(-1);
  const span = { from: last?.endQuarters ?? ZERO, to: performance.totalQuarters };
  if (span.to.compare(span.from) <= 0) return [];
  const rest = measureRest(context, span.from, span.to, {
    graceNotes: 0,
    lastNoteFrom: last ? lastNoteStart(last.notes, last.endQuarters) : null,
  });
  return [
    {
      leave: last ? timed(context, endMoment(performance, last.endQuarters)) : null,
      rest,
      ...countedGroups(context, tempi, span, rest.pauses),
      entry: null,
      change: null,
      hands: null,
      stretch: null,
    },
  ];
}

function entryAt(
  context: AnalysisContext,
  tempi: LaidTempi,
  { startQuarters, instrument, graceNotes }: PlayedStretch,
): CountedEntry {
  const { performance } = context;
  const visit = performance.visitAt(startQuarters);
  const isAtBar = startQuarters.equals(visit.startQuarters);
  return {
    at: timed(context, performance.momentAt(startQuarters)),
    instrument,
    meter: performance.barOf(visit).meter,
    graceNotes,
    marks: [
      ...(isAtBar ? marksAtBar(context, visit) : []),
      ...tempoMarks(tempi, (at) => at.equals(startQuarters)),
    ],
  };
}

/** Where the player may look up again, in the terms in which the rest is counted. */
function busyHands(
  { performance }: AnalysisContext,
  { needed, ready }: CheckedChange,
  { from, to }: { readonly from: Fraction; readonly to: Fraction },
  groups: readonly CountedGroup[],
): BusyHands {
  const { seconds } = needed;
  if (!ready) return { seconds, ready: "too-late" };
  if (ready.quarters.compare(from) <= 0) return { seconds, ready: "in-pause" };
  const at = beatFrom(performance, ready.quarters);
  if (at.quarters.compare(to) >= 0) return { seconds, ready: "too-late" };
  const group = groups.find(
    ({ count, from: first, lastBar }) =>
      count && first.visitIndex <= at.visitIndex && at.visitIndex <= lastBar.visitIndex,
  );
  const count = group?.count ? group.count.from + at.visitIndex - group.from.visitIndex : null;
  return { seconds, ready: "in-rest", lookUp: at, count };
}
