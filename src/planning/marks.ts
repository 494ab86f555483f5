import type { AnalysisContext } from "../analyses/context.js";
import { beatFrom } from "../analyses/look-up.js";
import { isMisprint, type Disagreement, type Hazard } from "../model/finding.js";
import type { MarkContent, PartMark } from "../model/marks.js";
import type { InstrumentChange, PartReport } from "../model/report.js";
import type { Position } from "../model/score.js";
import type { Moment } from "../model/time.js";
import type { MultipleRest } from "../musicxml/multiple-rests.js";
import { ZERO } from "../theory/fraction.js";
import { groupBy } from "../theory/search.js";
import type { Performance } from "../timing/performance.js";

/** A mark for one time through its bar. */
interface MarkOnce extends Omit<PartMark, "passes"> {
  readonly pass: number;
}

/** Says in words what a mark says; two marks are one where that is the same. */
export type MarkWording = (mark: PartMark) => string;

/**
 * The pencil marks that the changes of a report ask for, in the order of the page. What holds for some of the
 * times through a bar says for which, unless all its times say the same.
 * @param rests the multiple rests of the page, at whose beginning stands what falls inside
 */
export function partMarks(
  { performance }: Pick<AnalysisContext, "performance">,
  { changes, notices }: Pick<PartReport, "changes" | "notices">,
  rests: readonly MultipleRest[],
  wording: MarkWording,
): readonly PartMark[] {
  const once = changes.flatMap((change) =>
    marksOfChange(performance, change).map(({ content, at }) =>
      onPage(performance, rests, content, at),
    ),
  );
  const misprints = [
    ...changes.flatMap(({ disagreements, enter }) =>
      disagreements.map((each): [Disagreement, Moment] => [each, enter]),
    ),
    ...notices.flatMap((notice): [Disagreement, undefined][] =>
      notice.kind === "disagreement" ? [[notice.disagreement, undefined]] : [],
    ),
  ]
    .filter(([each]) => isMisprint(each))
    .map(([disagreement, enter]): PartMark => {
      const { barIndex } = disagreement;
      const isAtEntry = enter?.barIndex === barIndex;
      const at = isAtEntry ? positionOf(performance, enter) : { barIndex, offset: ZERO };
      return { content: { kind: "misprint", disagreement }, at };
    });
  const marks = [...joinPasses(performance, once, wording), ...distinct(misprints, wording)];
  return marks.sort((a, b) => a.at.barIndex - b.at.barIndex || a.at.offset.compare(b.at.offset));
}

interface MarkInTime {
  readonly content: MarkContent;
  readonly at: Moment;
}

/** What one change asks for: its own mark, where to look up, and the cue. */
function marksOfChange(performance: Performance, change: InstrumentChange): readonly MarkInTime[] {
  const { leave, ready, to, rest, needed, verdict } = change;
  const hazards = change.hazards.filter(isShort);
  // Named by the rest that begins here, not by the note that ends.
  const begin = performance.momentAt(leave.quarters);
  const marks: MarkInTime[] = [
    {
      at: begin,
      content: { kind: "change", to, rest, neededSeconds: needed.seconds, verdict, hazards },
    },
  ];
  const cue = cueMoment(performance, change);
  // In the pause between two movements the hands are ready before anybody has to look.
  const looksUp = ready !== null && !ready.quarters.equals(leave.quarters);
  if (!looksUp) return cue ? [...marks, { at: cue, content: { kind: "cue" } }] : marks;
  // There is hardly room for a second mark in one bar, and none for it within a beat.
  const isAtCue = cue?.quarters.equals(beatFrom(performance, ready.quarters).quarters) === true;
  const isOne = isAtCue || cue?.visitIndex === ready.visitIndex;
  marks.push({ at: isAtCue ? cue : ready, content: { kind: "look-up", cue: isOne } });
  return cue && !isOne ? [...marks, { at: cue, content: { kind: "cue" } }] : marks;
}

/** What a player who looks down wants to know beforehand, as far as a pencil mark has room for it. */
function isShort(hazard: Hazard): boolean {
  return hazard.kind === "meter-change" || (hazard.kind === "tempo-change" && !hazard.gradual);
}

/** Where the cue that the report asks for is to come. */
function cueMoment(
  performance: Performance,
  { advice, leave, enter }: InstrumentChange,
): Moment | undefined {
  const asked = advice.find((each) => each.kind === "ask-for-cue");
  if (asked?.kind !== "ask-for-cue") return undefined;
  if (asked.when === "entry") return enter;
  const visit = performance.visits.find(
    (each) =>
      each.startQuarters.compare(leave.quarters) >= 0 &&
      each.pass === asked.pass &&
      performance.barOf(each).barLabel === asked.barLabel,
  );
  return visit && performance.moment(visit, ZERO);
}

function positionOf({ visits }: Performance, { visitIndex, barIndex, quarters }: Moment): Position {
  return { barIndex, offset: quarters.sub(visits[visitIndex]?.startQuarters ?? ZERO) };
}

/** Where a mark stands on the page; inside a multiple rest it moves to the first bar and names its own. */
function onPage(
  performance: Performance,
  rests: readonly MultipleRest[],
  content: MarkContent,
  moment: Moment,
): MarkOnce {
  const at = positionOf(performance, moment);
  const rest = rests.find(({ first, last }) => first <= at.barIndex && at.barIndex <= last);
  const begin = rest && { barIndex: rest.first, offset: ZERO };
  const { pass } = moment;
  if (!begin || isSame(begin, at)) return { content, at, pass };
  return { content, at: begin, pass, about: beatFrom(performance, moment.quarters) };
}

function isSame(a: Position, b: Position): boolean {
  return a.barIndex === b.barIndex && a.offset.equals(b.offset);
}

/** One mark for all the times through a bar that say the same; else each says for which it is. */
function joinPasses(
  { visits }: Performance,
  marks: readonly MarkOnce[],
  wording: MarkWording,
): readonly PartMark[] {
  const same = groupBy(marks, (mark) => keyOf(mark, wording));
  return [...same.values()].flatMap((group): readonly PartMark[] => {
    const [first] = group;
    if (!first) return [];
    const { content, at, about } = first;
    const passes = [...new Set(group.map(({ pass }) => pass))].sort((a, b) => a - b);
    const times = visits.filter(({ barIndex }) => barIndex === at.barIndex).length;
    return [{ content, at, ...(about && { about }), ...(passes.length < times && { passes }) }];
  });
}

function distinct(marks: readonly PartMark[], wording: MarkWording): readonly PartMark[] {
  const same = groupBy(marks, (mark) => keyOf(mark, wording));
  return [...same.values()].flatMap((group) => group.slice(0, 1));
}

function keyOf({ content, at, about }: MarkOnce | PartMark, wording: MarkWording): string {
  const words = wording({ content, at, ...(about && { about }) });
  return `${at.barIndex} ${at.offset.toFraction()} ${content.kind} ${words}`;
}
