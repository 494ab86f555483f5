import type { Verdict } from "../model/finding.js";
import type { PlanPreference } from "../model/plan.js";

/**
 * What a plan is judged by. The unit is one note that is one point of difficulty harder (`Difficulty`),
 * so that a price says how many such notes the player would rather play than make the change.
 * All figures are assumptions (no source).
 */
export interface PlanWeights {
  /** What reading by sight in another key than the print adds to every note of a passage, in points. */
  readonly transposing: number;
  /** The price of one change of instrument, by its verdict. */
  readonly change: Readonly<Record<Verdict, number>>;
}

/**
 * Dearer than any difficulty: ten points, twice the limit of a professional, on each of ten thousand notes.
 * No plan then has an impossible change more to be spared anything that can be played.
 */
const IMPOSSIBLE = 100_000;

export const PLAN_WEIGHTS: Readonly<Record<PlanPreference, PlanWeights>> = {
  balanced: {
    // The gain under which `muta keys` leaves a passage on the printed instrument.
    transposing: 0.2,
    change: {
      // A cold instrument and a new embouchure: ten notes at 0.2 more.
      ample: 2,
      // No time for anything else in the rest: as much as forty such notes.
      workable: 8,
      // A missed entry is likely: a page of them.
      tight: 60,
      impossible: IMPOSSIBLE,
    },
  },
  // One change less is worth any difficulty; among plans with as many, the balanced prices.
  "fewest-changes": {
    transposing: 0.2,
    change: {
      ample: IMPOSSIBLE + 2,
      workable: IMPOSSIBLE + 8,
      tight: IMPOSSIBLE + 60,
      // As dear as a hundred changes: fewer changes never buy one that cannot be made.
      impossible: 100 * IMPOSSIBLE,
    },
  },
  // Who asks for this reads by sight at no cost, and minds only changes that endanger the entry.
  "easiest-fingers": {
    transposing: 0,
    change: { ample: 0.5, workable: 2, tight: 10, impossible: IMPOSSIBLE },
  },
  // Every tight change less is worth any difficulty, every workable one a long passage.
  "safest-changes": {
    transposing: 0.2,
    change: { ample: 2, workable: 200, tight: IMPOSSIBLE, impossible: 100 * IMPOSSIBLE },
  },
};

/**
 * What a stand of its own for each instrument, at the knee, saves of putting down and picking up, in seconds;
 * an assumption, never more than half of the two actions.
 */
export const SECOND_STAND_SAVES_SECONDS = 0.4;

/**
 * What somebody who goes from one line to another wants in between, in seconds: a breath and a look at the other
 * page. An assumption.
 */
export const BREATH_SECONDS = 1;
