import type { InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PartTimeline, PrintedWords } from "../model/score.js";
import type { Moment, TimedMoment } from "../model/time.js";
import { ZERO } from "../theory/fraction.js";
import type { Performance } from "../timing/performance.js";
import type { TempoMap } from "../timing/tempo-map.js";
import type { InstrumentsInHand } from "./instruments-in-hand.js";
import type { PlayedStretch } from "./stretches.js";

/** What every analysis is given: the part as printed, as performed, and as timed. */
export interface AnalysisContext {
  readonly timeline: PartTimeline;
  readonly performance: Performance;
  readonly tempoMap: TempoMap;
  /** Words that speak of the tempo and stand beside no number, in the order of the page. */
  readonly tempoWords: readonly PrintedWords[];
  readonly inHand: InstrumentsInHand;
  readonly stretches: readonly PlayedStretch[];
  readonly profile: ChangeoverProfile;
  readonly instruments: readonly InstrumentId[];
}

/** A moment with its seconds from the start. */
export function timed(
  { tempoMap }: Pick<AnalysisContext, "tempoMap">,
  moment: Moment,
): TimedMoment {
  return { ...moment, seconds: tempoMap.secondsBetween(ZERO, moment.quarters) };
}
