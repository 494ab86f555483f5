import type { PartTimeline } from "../../src/model/score.js";
import type { PerformanceWishes } from "../../src/model/tempo.js";
import { ZERO } from "../../src/theory/fraction.js";
import { readPageTempi, type PageTempi } from "../../src/timing/page-tempi.js";
import { createPerformance } from "../../src/timing/performance.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { createTempoMap } from "../../src/timing/tempo-map.js";
import { scoreXml, timelineOf, type PartXml } from "../support/score-xml.js";

/** A part as performed: its order, its tempi and the seconds of the whole. */
export function perform(timeline: PartTimeline, { tempoSheet, repeats }: PerformanceWishes = {}) {
  const tempi = readPageTempi(timeline.bars, timeline.tempoSigns, tempoSheet);
  return { ...laidOut(timeline, tempi, repeats), tempi };
}

/**
 * The same with every number taken as it stands and everything else left aside: what a program plays
 * that knows no words. For comparison with such programs.
 */
export function performAsEncoded(timeline: PartTimeline) {
  // Verovio, and others, play at quarter = 120 where nothing is given.
  const from = { slow: 120, likely: 120, fast: 120 };
  const start = { startWritten: ZERO, from, to: from, source: "sound" as const, text: "" };
  const segments = timeline.tempoSigns.flatMap(({ at, printed, playback }) => {
    const number = printed?.quartersPerMinute ?? playback;
    const bar = timeline.bars[at.barIndex];
    if (number === undefined || !bar) return [];
    const tempo = { slow: number, likely: number, fast: number };
    const startWritten = bar.writtenQuarters.add(at.offset);
    return [{ startWritten, from: tempo, to: tempo, source: "sound" as const, text: "" }];
  });
  return laidOut(timeline, { ofPass: () => [start, ...segments], unread: [] });
}

function laidOut(timeline: PartTimeline, tempi: PageTempi, repeats?: PerformanceWishes["repeats"]) {
  const { visits } = performedOrder(timeline.bars, repeats);
  const performance = createPerformance(timeline.bars, visits);
  const map = createTempoMap(performance, tempi);
  const total = performance.totalQuarters;
  return { timeline, performance, map, total, seconds: map.secondsBetween(ZERO, total) };
}

/** The first part of a score, as performed. */
export function performFirst(parts: readonly PartXml[], wishes: PerformanceWishes = {}) {
  return perform(timelineOf(scoreXml(parts)), wishes);
}

/** A tempo for playback only, in quarters a minute. */
export function playback(tempo: number, inside = ""): string {
  return `<sound tempo="${tempo}">${inside}</sound>`;
}

/** A repeat that ends with the bar. */
export const BACK = `<barline><repeat direction="backward"/></barline>`;
