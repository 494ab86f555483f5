import { VERDICTS } from "../model/finding.js";
import type { CueReport, CueRequest, MeterRun } from "../model/cues.js";
import type { Advice, CheckedChange } from "../model/report.js";
import type { BarVisit } from "../model/time.js";
import type { AnalysisContext } from "./context.js";
import { findChanges } from "./changes.js";
import { headingOf } from "./heading.js";
import type { PartSource } from "./index.js";

/**
 * What to ask the conductor for: every change for which a cue is advised, and every one that cannot be ready.
 * The worst verdict first, then what would be missed most, then the least time to look up.
 */
export function cueReport(context: AnalysisContext, source: PartSource): CueReport {
  const requests = findChanges(context).flatMap((change): CueRequest[] => {
    const cue = change.advice.find((each) => each.kind === "ask-for-cue");
    return cue || change.verdict === "impossible" ? [requestFor(context, change, cue)] : [];
  });
  return {
    ...headingOf(context.timeline, context, source),
    requests: requests.sort((a, b) => compareUrgency(a.change, b.change)),
  };
}

function compareUrgency(a: CheckedChange, b: CheckedChange): number {
  return (
    VERDICTS.indexOf(b.verdict) - VERDICTS.indexOf(a.verdict) ||
    (b.exposure?.missed.weight ?? 0) - (a.exposure?.missed.weight ?? 0) ||
    a.lookUp.seconds - b.lookUp.seconds ||
    a.number - b.number
  );
}

type CueAdvice = Extract<Advice, { readonly kind: "ask-for-cue" }>;

function requestFor(
  { performance }: AnalysisContext,
  change: CheckedChange,
  cue: CueAdvice | undefined,
): CueRequest {
  const { leave, enter } = change;
  const between = performance.visits.slice(leave.visitIndex, enter.visitIndex + 1);
  const isCue = (visit: BarVisit) =>
    performance.barOf(visit).barLabel === cue?.barLabel && visit.pass === cue.pass;
  const isEarly = cue?.when === "look-up";
  const visit = (isEarly ? between.find(isCue) : undefined) ?? performance.visits[enter.visitIndex];
  const cueIndex = visit?.visitIndex ?? enter.visitIndex;
  // A note that ends with its bar leaves that bar played.
  const first = leave.atBarEnd ? leave.visitIndex + 1 : leave.visitIndex;
  const labelOf = (each: BarVisit) => performance.barOf(each).meter.label;
  const runs = meterRuns(performance.visits.slice(first, cueIndex).map(labelOf));
  const stays = visit !== undefined && runs.every(({ meter }) => meter === labelOf(visit));
  return {
    change,
    at: isEarly && visit ? performance.momentAt(visit.startQuarters) : enter,
    when: cue?.when ?? "entry",
    metersBefore: stays ? [] : runs,
  };
}

function meterRuns(labels: readonly string[]): readonly MeterRun[] {
  const runs: { meter: string; bars: number }[] = [];
  for (const meter of labels) {
    const last = runs.at(-1);
    if (last?.meter === meter) last.bars++;
    else runs.push({ meter, bars: 1 });
  }
  return runs;
}
