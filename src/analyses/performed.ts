import type { Notice } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { PartTimeline } from "../model/score.js";
import type { PauseSign, PerformanceWishes, SheetTempo } from "../model/tempo.js";
import { createPerformance, type Performance } from "../timing/performance.js";
import { performedOrder } from "../timing/performed-order.js";
import { readPageTempi } from "../timing/page-tempi.js";
import { groupByBar, type SignsByBar } from "../timing/places.js";
import { pausesInWords } from "../timing/pauses.js";
import { clockOf, layRecording, type RecordedTime } from "../timing/recorded-time.js";
import { createTempoMap, type Clock, type TempoMap } from "../timing/tempo-map.js";
import { tempoNotices } from "./tempo-notices.js";

/** A part as printed, performed and timed, before anything is asked of the player's hands. */
export interface PerformedPart {
  readonly timeline: PartTimeline;
  readonly performance: Performance;
  /** By the marks of the page and the player's sheet. */
  readonly tempoMap: TempoMap;
  readonly recordings: readonly RecordedTime[];
  /** What the report goes by: the recordings where there are any, else the tempo map. */
  readonly clock: Clock;
  /** What holds the time up: signs and words. */
  readonly pauses: SignsByBar<PauseSign>;
}

/**
 * Unfolds a part and times it.
 * @throws InputError when its repeats never end, or a wish names a place that is not in it
 */
export function performPart(timeline: PartTimeline, wishes: PerformanceWishes = {}) {
  const order = performedOrder(timeline.bars, wishes.repeats);
  const performance = createPerformance(timeline.bars, order.visits);
  refuseUnplayedPasses(performance, wishes.tempoSheet ?? []);
  const pageTempi = readPageTempi(timeline.bars, timeline.tempoSigns, wishes.tempoSheet);
  const tempoMap = createTempoMap(performance, pageTempi);
  const recordings = (wishes.recordings ?? []).map((each) =>
    layRecording(performance, tempoMap, each),
  );
  const performed: PerformedPart = {
    timeline,
    performance,
    tempoMap,
    recordings,
    clock: clockOf(tempoMap, recordings),
    pauses: groupByBar([
      ...timeline.pauses,
      ...pausesInWords(timeline.tempoSigns, timeline.pauses),
    ]),
  };
  const notices: { readonly tempo: readonly Notice[]; readonly order: readonly Notice[] } = {
    tempo: tempoNotices(performed, pageTempi.unread),
    order: order.notices,
  };
  return { performed, notices };
}

/** A line for a time through that never comes would do nothing, and nobody would know. */
function refuseUnplayedPasses(performance: Performance, sheet: readonly SheetTempo[]): void {
  const withPass = sheet.filter(({ pass }) => pass !== undefined);
  if (withPass.length === 0) return;
  const played = new Set(
    performance.visits.map((visit) => `${visit.pass} ${performance.barOf(visit).barLabel}`),
  );
  for (const { barLabel, pass } of withPass) {
    if (!played.has(`${pass} ${barLabel}`)) {
      const message = `the tempo sheet has a tempo for time ${pass} through bar ${barLabel}, which is not played so often`;
      throw new InputError("no-matching-bar", message);
    }
  }
}
