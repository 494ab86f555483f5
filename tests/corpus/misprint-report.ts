import type { Disagreement } from "../../src/model/finding.js";
import { fraction } from "../../src/theory/fraction.js";
import { changesOfPlan, type ReadBack } from "./renotate-expect.js";
import type { PlannedSign } from "./renotate-signs.js";
import { comparePlaces, type Place, type SourcePart } from "./renotate-source.js";
import type { Passage, Plan } from "./renotate.js";

/** A misprint or a poor warning as reported, or as it should be. */
export interface Report {
  readonly kind: Disagreement["kind"];
  /** Where the first note under it stands. */
  readonly bar: string;
  /** What else is said of it, such as the instruments. */
  readonly says: Readonly<Record<string, unknown>>;
}

/** Everything of the kind that is reported of a part, at its changes and elsewhere. */
export function foundReports({ changes, notices }: ReadBack): readonly Report[] {
  const found = [
    ...changes.flatMap(({ disagreements }) => disagreements),
    ...notices.flatMap((notice) => (notice.kind === "disagreement" ? [notice.disagreement] : [])),
  ];
  return inOrder(found.map(reportOf));
}

function reportOf(disagreement: Disagreement): Report {
  const { kind, barLabel, ...rest } = disagreement;
  const says = Object.entries(rest)
    .filter(([name]) => name !== "barIndex")
    .map(([name, value]) => [name, typeof value === "number" ? rounded(value) : value] as const);
  return { kind, bar: barLabel, says: Object.fromEntries(says) };
}

/** Where reports stand in the list is another matter. */
export function inOrder(reports: readonly Report[]): readonly Report[] {
  const order = ({ kind, bar }: Report) => `${kind} ${bar}`;
  return [...reports].sort((a, b) => order(a).localeCompare(order(b)));
}

/** Sums of seconds differ in the last digits with the order of adding. */
function rounded(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}

/** What of a plan is announced too late or not at all, from its signs and from the seconds that were measured. */
export function expectedWarnings(plan: Plan, read: ReadBack): readonly Report[] {
  return changesOfPlan(plan).flatMap(({ passage }, k): readonly Report[] => {
    const measured = read.changes[k];
    if (!passage?.change || !measured) return [];
    const { source } = plan;
    const bar = labelOf(source, passage.entry);
    const says = { restBarLabel: restBarLabel(source, passage), to: passage.inHand };
    const first = firstPrinted(passage.change.signs);
    if (!first) return [{ kind: "nothing-printed", bar, says }];
    const neededSeconds = rounded(measured.needed.seconds);
    const seconds = rounded(secondsToEntry(plan, first.at, passage.entry, measured, read));
    const isLate =
      comparePlaces(first.at, passage.change.seam.leave) > 0 &&
      seconds < neededSeconds &&
      measured.rest.seconds.short >= neededSeconds;
    if (!isLate) return [];
    const sign = { words: first.text, wordsBarLabel: labelOf(source, first.at) };
    return [{ kind: "late-warning", bar, says: { ...says, ...sign, seconds, neededSeconds } }];
  });
}

/** The first sign that a player can read; at one place a name display is printed before words. */
function firstPrinted(signs: readonly PlannedSign[]): PlannedSign | undefined {
  const rank = ({ kind }: PlannedSign) => (kind === "words" ? 1 : 0);
  return signs
    .filter(({ kind }) => kind !== "instrument-change")
    .sort((a, b) => comparePlaces(a.at, b.at) || rank(a) - rank(b))[0];
}

/** Seconds at the fast tempo, less what grace notes before the beat of the entry take off its rest. */
function secondsToEntry(
  { source }: Plan,
  from: Place,
  entry: Place,
  { rest, leave, enter }: ReadBack["changes"][number],
  { context: { clock } }: ReadBack,
): number {
  const between = source.bars.slice(from.bar, entry.bar).reduce((sum, bar) => sum + bar.length, 0);
  const quarters = fraction(between + entry.at - from.at, source.divisions);
  const ofRest = clock.secondsBetween(leave.quarters, enter.quarters).short;
  const grace = ofRest - rest.seconds.short;
  return clock.secondsBetween(enter.quarters.sub(quarters), enter.quarters).short - grace;
}

/** The bar in which the last note ends: one that ends at a barline was played in the bar before. */
function restBarLabel(source: SourcePart, { change }: Passage): string {
  if (!change) return "";
  const { bar, at } = change.seam.leave;
  return labelOf(source, { bar: at === 0 ? bar - 1 : bar });
}

export function labelOf({ bars }: SourcePart, { bar }: Pick<Place, "bar">): string {
  return bars[bar]?.label ?? "";
}
