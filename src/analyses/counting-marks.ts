import type { CountMark, JumpKind } from "../model/count.js";
import type { Fraction } from "../model/fraction.js";
import type { HeldPlace, TempoSpan } from "../model/report.js";
import type { Bar } from "../model/score.js";
import type { BarVisit } from "../model/time.js";
import { AFTER_BEND } from "../timing/page-tempi.js";
import type { AnalysisContext } from "./context.js";
import { listTempi } from "./tempi.js";

/** The tempi of the performance with the moments at which they begin, found once for a part. */
export interface LaidTempi {
  readonly starts: readonly Fraction[];
  readonly spans: readonly TempoSpan[];
}

export function laidTempi(context: AnalysisContext): LaidTempi {
  return {
    starts: context.tempoMap.stretches.map(({ startQuarters }) => startQuarters),
    spans: listTempi(context),
  };
}

/** What stands at the barline that a visit begins with, in the order in which it is met. */
export function marksAtBar(
  { performance, timeline }: AnalysisContext,
  visit: BarVisit,
): readonly CountMark[] {
  const before = performance.visits[visit.visitIndex - 1];
  const bar = performance.barOf(visit);
  const at = performance.momentAt(visit.startQuarters);
  const marks: CountMark[] = [];
  if (before) {
    const barBefore = performance.barOf(before);
    const goesOn = bar.barIndex === barBefore.barIndex + 1;
    if (!goesOn) marks.push({ at, kind: "jump", ...jumpBetween(performance.bars, before, visit) });
    const last = performance.momentAt(before.startQuarters);
    if (last.movement !== at.movement) marks.push({ at, kind: "movement" });
    if (goesOn && barBefore.doubleBarline) marks.push({ at, kind: "double-bar" });
    if (goesOn && timeline.pagesArePlayers && bar.newPage) marks.push({ at, kind: "new-page" });
  }
  if (bar.rehearsal !== undefined) marks.push({ at, kind: "rehearsal", text: bar.rehearsal });
  const meterBefore = before && performance.barOf(before).meter.label;
  if (meterBefore !== undefined && meterBefore !== bar.meter.label) {
    marks.push({ at, kind: "meter", from: meterBefore, to: bar.meter.label });
  }
  return marks;
}

/**
 * The tempi that begin from one moment on and before another. What is only reckoned after a change without a
 * goal is printed nowhere and left out, and so is a tempo without words that is no new one.
 */
export function tempoMarks(
  { starts, spans }: LaidTempi,
  isWithin: (start: Fraction) => boolean,
): readonly CountMark[] {
  return spans.flatMap((span, k): CountMark[] => {
    const start = starts[k];
    if (!start || !isWithin(start)) return [];
    const before = spans[k - 1];
    const { text, bend, source } = span;
    if (bend === "gradual" && text.startsWith(AFTER_BEND)) return [];
    const last = before && (before.endQuartersPerMinute ?? before.quartersPerMinute).likely;
    const isNew = last !== span.quartersPerMinute.likely && source !== "assumed";
    return text !== "" || isNew ? [{ at: span.from, kind: "tempo", span }] : [];
  });
}

export function pauseMark({ at, on, sign, extraSeconds }: HeldPlace): CountMark {
  return { at, kind: "pause", on, sign, extraSeconds };
}

/** Why the bar after one visit is not the next of the page. */
function jumpBetween(bars: readonly Bar[], before: BarVisit, visit: BarVisit) {
  const from = bars[before.barIndex];
  const to = bars[visit.barIndex];
  const back = visit.barIndex <= before.barIndex;
  const how = back ? backward(from, before.pass) : forward(from, to);
  const passes = how === "ending" ? to?.endingStart?.passes : undefined;
  return { how, back, fromBarLabel: from?.barLabel ?? "", ...(passes && { passes }) };
}

/** A bar may close a repeat and then ask for a D.C.: the repeats come first. */
function backward(from: Bar | undefined, pass: number): JumpKind {
  const { repeatEnd, jumps } = from ?? {};
  if (repeatEnd && pass < (repeatEnd.times ?? 2)) return "repeat";
  if (jumps?.daCapo) return "da-capo";
  if (jumps?.dalSegno !== undefined) return "dal-segno";
  return repeatEnd ? "repeat" : "other";
}

function forward(from: Bar | undefined, to: Bar | undefined): JumpKind {
  if (from?.jumps?.toCoda !== undefined && to?.jumps?.coda !== undefined) return "coda";
  if (to?.endingStart) return "ending";
  return from?.jumps?.fine ? "fine" : "other";
}
