import type { Disagreement, Hazard, Verdict } from "./finding.js";
import type { InstrumentId } from "./instrument.js";
import type { Rest } from "./report.js";
import type { Position } from "./score.js";
import type { Moment } from "./time.js";

/** What a pencil mark has to say; reporters word it. */
export type MarkContent =
  /** Where the rest begins: what to take up, and in what time. */
  | {
      readonly kind: "change";
      readonly to: InstrumentId;
      readonly rest: Pick<Rest, "seconds" | "pauses">;
      readonly neededSeconds: number;
      readonly verdict: Verdict;
      /** New meters and tempi while the eyes are down. */
      readonly hazards: readonly Hazard[];
    }
  /** Where the hands are ready; with the cue where that is to come in the same bar. */
  | { readonly kind: "look-up"; readonly cue: boolean }
  | { readonly kind: "cue" }
  /** Where the first note under a misprint stands. */
  | { readonly kind: "misprint"; readonly disagreement: Disagreement };

/** A pencil mark on the page. */
export interface PartMark {
  readonly content: MarkContent;
  readonly at: Position;
  /**
   * The moment it is about, where it cannot stand there: inside a multiple rest, of which programs print one
   * sign only. To the beat.
   */
  readonly about?: Pick<Moment, "barLabel" | "beat">;
  /** The times through its bar for which it holds; left out where that is each time. */
  readonly passes?: readonly number[];
}
