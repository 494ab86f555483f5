import type { PartTimeline } from "../../src/model/score.js";
import { ZERO } from "../../src/theory/fraction.js";
import { createPerformance } from "../../src/timing/performance.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { createTempoMap } from "../../src/timing/tempo-map.js";
import { scoreXml, timelineOf, type PartXml } from "../support/score-xml.js";

/** A part as performed: its order, its tempi and the seconds of the whole. */
export function perform(timeline: PartTimeline) {
  const performance = createPerformance(timeline.bars, performedOrder(timeline.bars).visits);
  const map = createTempoMap(performance, timeline.tempoMarks);
  const total = performance.totalQuarters;
  return { timeline, performance, map, total, seconds: map.secondsBetween(ZERO, total) };
}

/** The first part of a score, as performed. */
export function performFirst(parts: readonly PartXml[]) {
  return perform(timelineOf(scoreXml(parts)));
}

/** A tempo for playback only, in quarters a minute. */
export function playback(tempo: number, inside = ""): string {
  return `<sound tempo="${tempo}">${inside}</sound>`;
}

/** A repeat that ends with the bar. */
export const BACK = `<barline><repeat direction="backward"/></barline>`;
