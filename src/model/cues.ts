import type { CheckedChange, PartHeading } from "./report.js";
import type { Moment } from "./time.js";

/** Bars in a row in one meter, as printed. */
export interface MeterRun {
  readonly meter: string;
  readonly bars: number;
}

/** What a player asks of the conductor for one change. */
export interface CueRequest {
  readonly change: CheckedChange;
  /** The bar of the cue. */
  readonly at: Moment;
  /** For the entry itself, or for a bar before it in which the player looks up again. */
  readonly when: "entry" | "look-up";
  /** From the bar in which the player stops to the one before the cue; empty where the meter stays. */
  readonly metersBefore: readonly MeterRun[];
}

/** The list for the conductor. */
export interface CueReport extends PartHeading {
  /** The worst first. */
  readonly requests: readonly CueRequest[];
}
