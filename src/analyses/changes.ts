import { isMisprint, type Disagreement, type Evidence } from "../model/finding.js";
import type { Fraction } from "../model/fraction.js";
import type { InstrumentId } from "../model/instrument.js";
import type { Advice, CheckedChange, InstrumentChange } from "../model/report.js";
import { fraction, minFraction, toNumber } from "../theory/fraction.js";
import { countedBarQuarters } from "../timing/counted-bars.js";
import { changeoverTime, changeVerdict } from "./changeover.js";
import { timed, type AnalysisContext } from "./context.js";
import { breakSeconds } from "./movement-breaks.js";
import { findHazards } from "./hazards.js";
import { heardBefore } from "./heard-before.js";
import type { InstrumentSwitch } from "./instruments-in-hand.js";
import { lyingBefore } from "./lying.js";
import { GRACE_NOTE_SECONDS, measureRest } from "./rests.js";
import { endMoment, type PlayedStretch } from "./stretches.js";
import { warningFaults } from "./warnings.js";

/** Every change of instrument in the order of performance, those that a repeat makes included. */
export function findChanges(context: AnalysisContext): readonly CheckedChange[] {
  const changes: CheckedChange[] = [];
  const lastEnds = new Map<InstrumentId, Fraction>();
  context.stretches.forEach((stretch, k) => {
    const before = context.stretches[k - 1];
    if (before && before.instrument !== stretch.instrument) {
      const change = measureChange(context, before, stretch, changes.length + 1);
      const lying = lyingBefore(context, stretch, lastEnds.get(stretch.instrument));
      changes.push({ ...change, lying, ...heardBefore(context, stretch, change.ready) });
    }
    lastEnds.set(stretch.instrument, stretch.endQuarters);
  });
  return changes;
}

/**
 * What leaving one stretch and entering the next comes to. The two need not be on the instruments that are printed.
 * @param number its place among the changes
 */
export function measureChange(
  context: AnalysisContext,
  before: PlayedStretch,
  after: PlayedStretch,
  number: number,
): InstrumentChange {
  const { performance, clock, profile } = context;
  const to = after.startQuarters;
  const from = after.silentFrom ?? to;
  const rest = measureRest(context, from, to, after);
  const needed = changeoverTime(
    profile,
    before.instrument,
    after.instrument,
    pageTurns(context, before, after),
  );
  // A recording that covers the rest has the pause in it.
  const pause = rest.recordings.length > 0 ? 0 : breakSeconds(rest.pauses).short;
  const lookUpSeconds = rest.seconds.short + pause - needed.seconds;
  // Before the next movement everybody waits until the hands are ready.
  const blindSeconds = Math.max(0, needed.seconds - pause);
  const ready = Math.min(clock.quartersAfterSeconds(from, blindSeconds), toNumber(to));
  const readyAt = minFraction(nearestTick(ready), to);
  const lookUpBars = lookUpSeconds > 0 ? barsBefore(context, ready, after) : 0;
  const isBlind = blindSeconds > 0;
  const verdict = changeVerdict(
    rest.seconds.short + pause,
    needed.seconds,
    isBlind ? lookUpBars : Infinity,
  );
  const hazards = isBlind
    ? findHazards(context, { from, untilQuarters: ready }, to, lookUpBars, rest.pauses)
    : [];
  const enter = timed(context, performance.momentAt(to));
  const { evidence, disagreements: printFaults, printed } = reasons(context, before, after);
  const warnings = printed
    ? warningFaults(context, {
        printed,
        rest,
        needed,
        graceNotes: after.graceNotes,
        from,
        to,
        pause,
      })
    : [];
  const advice: Advice[] = [];
  if (verdict === "impossible") {
    advice.push({ kind: "not-playable-as-printed", missingSeconds: -lookUpSeconds });
  }
  if (hazards.length > 0) advice.push(cueAdvice(context, toNumber(readyAt), to));
  const disagreements = [...printFaults, ...warnings];
  const misprint = disagreements.find(isMisprint);
  if (misprint) advice.push({ kind: "check-print", barLabel: misprint.barLabel });
  if (warnings.length > 0) {
    const { barLabel } = endMoment(performance, from);
    advice.push({ kind: "pencil-in", barLabel, to: after.instrument });
  }
  return {
    number,
    from: before.instrument,
    to: after.instrument,
    leave: timed(context, endMoment(performance, from)),
    enter,
    rest,
    needed,
    ready: lookUpSeconds < 0 ? null : performance.momentAt(readyAt),
    lookUp: { seconds: lookUpSeconds, bars: lookUpBars },
    verdict,
    entersIn: entersIn(context, from, to),
    hazards,
    evidence,
    disagreements,
    advice,
  };
}

/** Fine enough for any page; a moment that is a barline but for the last binary digit is the barline. */
const TICKS_PER_QUARTER = 960;

/** A moment reckoned in seconds as a place of the page. */
function nearestTick(quarters: number): Fraction {
  return fraction(Math.round(quarters * TICKS_PER_QUARTER), TICKS_PER_QUARTER);
}

/** Meter and tempo of the entry, where they are not those that were left. */
function entersIn(
  { performance, tempoMap }: AnalysisContext,
  from: Fraction,
  to: Fraction,
): InstrumentChange["entersIn"] {
  const [left, entered] = [performance.visitEndingAt(from), performance.visitAt(to)].map(
    (visit) => performance.barOf(visit).meter.label,
  );
  const tempi = tempoMap.stretches;
  const before = tempi.findLast(({ startQuarters }) => startQuarters.compare(from) < 0) ?? tempi[0];
  const after = tempoMap.stretchAt(to);
  const isNewTempo =
    before !== undefined && before !== after && before.from.likely !== after.from.likely;
  return {
    ...(entered !== undefined && entered !== left && { meter: entered }),
    ...(isNewTempo && { tempo: after.text }),
  };
}

/** A cue where the player looks up again, or at the entry where that is no earlier. */
function cueAdvice(
  { performance }: AnalysisContext,
  readyQuarters: number,
  enter: Fraction,
): Advice {
  const lookUpBar = performance.visits.find(
    ({ startQuarters }) => toNumber(startQuarters) >= readyQuarters,
  );
  const early = lookUpBar !== undefined && lookUpBar.startQuarters.compare(enter) < 0;
  const { barLabel, pass } = performance.momentAt(early ? lookUpBar.startQuarters : enter);
  const entryBar = performance.momentAt(enter);
  const sameBar = entryBar.barLabel === barLabel && entryBar.pass === pass;
  return { kind: "ask-for-cue", when: early && !sameBar ? "look-up" : "entry", barLabel, pass };
}

/** Bars from the moment the hands are ready to the entry. */
function barsBefore(
  { performance, tempoMap }: AnalysisContext,
  readyQuarters: number,
  { startQuarters, graceNotes }: PlayedStretch,
): number {
  const { visits } = performance;
  const last = performance.visitEndingAt(startQuarters);
  // Grace notes before the beat bring the entry forward.
  const perSecond = tempoMap.tempoAt(last.startQuarters).fast / 60;
  const enter = toNumber(startQuarters) - graceNotes * GRACE_NOTE_SECONDS * perSecond;
  let bars = 0;
  for (let k = last.visitIndex; k >= 0; k--) {
    const visit = visits[k];
    if (!visit) break;
    const start = toNumber(visit.startQuarters);
    const end = Math.min(start + toNumber(visit.lengthQuarters), enter);
    const counted = toNumber(countedBarQuarters(performance.barOf(visit)));
    bars += Math.max(0, end - Math.max(start, readyQuarters)) / counted;
    if (start <= readyQuarters) break;
  }
  return bars;
}

/** Pages turned in the rest, forward or back, where the pages of the file are the player's own. */
function pageTurns(
  { timeline, performance }: AnalysisContext,
  before: PlayedStretch,
  after: PlayedStretch,
): number {
  const last = before.notes.at(-1);
  if (!timeline.pagesArePlayers || !last) return 0;
  const pageOf = (barIndex: number) =>
    timeline.bars.filter((bar) => bar.newPage && bar.barIndex <= barIndex).length;
  const entered = performance.visitAt(after.startQuarters).barIndex;
  return Math.abs(pageOf(entered) - pageOf(last.visit.barIndex));
}

/** What the page says of the change; where the two notes are no neighbours on the page, a repeat made it. */
function reasons(
  { inHand, keyFaults, performance }: AnalysisContext,
  before: PlayedStretch,
  after: PlayedStretch,
): {
  readonly evidence: readonly Evidence[];
  readonly disagreements: readonly Disagreement[];
  readonly printed?: InstrumentSwitch;
} {
  const last = before.notes.at(-1);
  const first = after.notes[0];
  if (!last || !first) throw new Error("a stretch has at least one note");
  const onPage = inHand.previousOnPage.get(first.noteIndex);
  const followsOnPage =
    onPage !== undefined && before.notes.some(({ noteIndex }) => noteIndex === onPage);
  const printed = inHand.switches.get(first.noteIndex);
  const keyFault = keyFaults.get(first.noteIndex);
  const ofKey = keyFault ? [keyFault] : [];
  if (followsOnPage && printed) {
    const { evidence, disagreements } = printed;
    return { evidence, disagreements: [...disagreements, ...ofKey], printed };
  }
  const { barIndex, barLabel } = performance.momentAt(first.startQuarters);
  const from = performance.barOf(last.visit).barLabel;
  const to = performance.barOf(first.visit).barLabel;
  return {
    evidence: [
      {
        kind: "repeat",
        barIndex,
        barLabel,
        text: `from bar ${from} ${first.visit.barIndex < last.visit.barIndex ? "back" : "on"} to bar ${to}`,
      },
    ],
    disagreements: ofKey,
  };
}
