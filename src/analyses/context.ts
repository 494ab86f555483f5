import type { Disagreement } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { OtherPart } from "../model/other-part.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { Moment, TimedMoment } from "../model/time.js";
import { ZERO } from "../theory/fraction.js";
import type { InstrumentsInHand } from "./instruments-in-hand.js";
import type { PerformedPart } from "./performed.js";
import type { PlayedStretch } from "./stretches.js";

/** What every analysis is given: the part as printed, as performed, and as timed. */
export interface AnalysisContext extends PerformedPart {
  readonly inHand: InstrumentsInHand;
  /** Wrong key signatures, by the index of the first note under each. */
  readonly keyFaults: ReadonlyMap<number, Disagreement>;
  readonly stretches: readonly PlayedStretch[];
  /** Notes that are reached under a slur, by their index in the timeline. */
  readonly slurred: ReadonlySet<number>;
  readonly profile: ChangeoverProfile;
  readonly instruments: readonly InstrumentId[];
  /** The other parts of the score; none where the part stands alone, or nothing is asked of them. */
  readonly orchestra: readonly OtherPart[];
  /** Instruments wanted for their own sound whose music others of their family may take all the same. */
  readonly mayLeave?: readonly InstrumentId[];
}

/** A moment with its seconds from the start. */
export function timed({ clock }: Pick<PerformedPart, "clock">, moment: Moment): TimedMoment {
  return { ...moment, seconds: clock.secondsBetween(ZERO, moment.quarters) };
}
