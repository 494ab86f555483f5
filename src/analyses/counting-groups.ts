import type { CountedGroup, CountMark } from "../model/count.js";
import type { Fraction } from "../model/fraction.js";
import type { HeldPlace } from "../model/report.js";
import { ZERO } from "../theory/fraction.js";
import { lastIndexWhere } from "../theory/search.js";
import { silentPieces, type SilentPiece } from "../timing/counted-bars.js";
import type { AnalysisContext } from "./context.js";
import { marksAtBar, pauseMark, tempoMarks, type LaidTempi } from "./counting-marks.js";

interface MarkedPiece extends SilentPiece {
  readonly marks: readonly CountMark[];
}

/**
 * A rest in groups of bars that are counted in one go: a group ends where the meter changes, where anything
 * is met that a player counting would look for, and where the page is left.
 * @param pauses those of the rest, each of which stands in one group or before the first
 */
export function countedGroups(
  context: AnalysisContext,
  tempi: LaidTempi,
  span: { readonly from: Fraction; readonly to: Fraction },
  pauses: readonly HeldPlace[],
): { readonly groups: readonly CountedGroup[]; readonly before: readonly CountMark[] } {
  const { performance } = context;
  const pieces = silentPieces(performance, span.from, span.to);
  const isInPiece = ({ on, at }: HeldPlace, { visit, from }: SilentPiece) =>
    on === "rest" && at.visitIndex === visit.visitIndex && at.quarters.compare(from) >= 0;
  const marked = pieces.map((piece): MarkedPiece => {
    const { visit, from, to } = piece;
    const atBar = from.equals(visit.startQuarters) ? marksAtBar(context, visit) : [];
    const inTempo = tempoMarks(tempi, (at) => at.compare(from) >= 0 && at.compare(to) < 0);
    const held = pauses.filter((pause) => isInPiece(pause, piece)).map(pauseMark);
    // The order of equal moments is kept: barline, tempo, pause.
    const marks = [...atBar, ...inTempo, ...held];
    return { ...piece, marks: marks.sort((a, b) => a.at.quarters.compare(b.at.quarters)) };
  });
  return {
    groups: toGroups(context, tempi, marked),
    before: pauses
      .filter((pause) => !pieces.some((piece) => isInPiece(pause, piece)))
      .map(pauseMark),
  };
}

function toGroups(
  { performance, clock }: AnalysisContext,
  tempi: LaidTempi,
  pieces: readonly MarkedPiece[],
): readonly CountedGroup[] {
  const groups: CountedGroup[] = [];
  let counted = 0;
  let barsSoFar = ZERO;
  for (const inGroup of together(pieces)) {
    const first = inGroup[0];
    const last = inGroup.at(-1);
    if (!first || !last) continue;
    if (first.marks.some(({ kind }) => kind === "movement")) counted = 0;
    const numbered = first.counts === "second-half" ? counted : counted + 1;
    const count =
      first.counts === "part" ? null : { from: numbered, to: numbered + inGroup.length - 1 };
    counted = count?.to ?? counted;
    const quarters = sum(inGroup.map((piece) => piece.quarters));
    const bars = sum(inGroup.map(({ share }) => share));
    barsSoFar = barsSoFar.add(bars);
    const { meter } = first.bar;
    groups.push({
      from: performance.moment(first.visit, first.from.sub(first.visit.startQuarters)),
      lastBar: performance.moment(last.visit, last.from.sub(last.visit.startQuarters)),
      meter,
      kind: KINDS[first.counts],
      bars,
      beats: quarters.div(meter.beatQuarters),
      quarters,
      count,
      barsSoFar,
      seconds: clock.secondsBetween(first.from, last.to),
      tempo: tempoAt(tempi, first.from),
      marks: inGroup.flatMap(({ marks }) => marks),
    });
  }
  return groups;
}

const KINDS: Readonly<Record<SilentPiece["counts"], CountedGroup["kind"]>> = {
  whole: "bars",
  part: "part",
  "first-half": "half",
  "second-half": "half",
};

/** Pieces that are counted in one go, group by group. */
function together(pieces: readonly MarkedPiece[]): readonly (readonly MarkedPiece[])[] {
  const groups: MarkedPiece[][] = [];
  for (const piece of pieces) {
    const before = groups.at(-1)?.at(-1);
    if (before && goesOn(before, piece)) groups.at(-1)?.push(piece);
    else groups.push([piece]);
  }
  return groups;
}

function goesOn(before: MarkedPiece, piece: MarkedPiece): boolean {
  return (
    before.counts === "whole" &&
    piece.counts === "whole" &&
    before.bar.meter.label === piece.bar.meter.label &&
    before.quarters.equals(piece.quarters) &&
    before.visit.pass === piece.visit.pass &&
    !before.marks.some((mark) => staysAlone(mark, before)) &&
    // What stands at the very end of a bar does not part it from those before.
    piece.marks.every(({ at }) => at.quarters.equals(piece.to))
  );
}

/** A bar in which something is met after its beginning, or under a pause, is counted by itself. */
function staysAlone({ kind, at }: CountMark, { from }: SilentPiece): boolean {
  return kind === "pause" || at.quarters.compare(from) > 0;
}

function tempoAt({ starts, spans }: LaidTempi, quarters: Fraction) {
  const span = spans[lastIndexWhere(spans.length, (k) => (starts[k]?.compare(quarters) ?? 1) <= 0)];
  if (!span) throw new Error("a performance has at least one tempo");
  return span;
}

function sum(fractions: readonly Fraction[]): Fraction {
  return fractions.reduce((total, each) => total.add(each), ZERO);
}
