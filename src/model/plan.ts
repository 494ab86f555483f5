import type { Verdict } from "./finding.js";
import type { InstrumentId } from "./instrument.js";
import type { InstrumentChange, PartReport, PartHeading } from "./report.js";
import type { PartInfo } from "./score.js";
import type { Moment } from "./time.js";

/** What the player wants most of a plan. */
export const PLAN_PREFERENCES = [
  "balanced",
  "fewest-changes",
  "easiest-fingers",
  "safest-changes",
] as const;
export type PlanPreference = (typeof PLAN_PREFERENCES)[number];

/** Bars of the page that the player has decided on. */
export interface FixedBars {
  /** Printed numbers, both included. */
  readonly fromBar: string;
  readonly toBar: string;
  readonly instrument: InstrumentId;
}

/** What the player allows. */
export interface PlanWishes {
  readonly prefer: PlanPreference;
  /** What is printed for these stays on them. */
  readonly keep: readonly InstrumentId[];
  /** These are left at home. */
  readonly without: readonly InstrumentId[];
  readonly fixed: readonly FixedBars[];
  /** Instruments wanted for their own sound that others of their family may stand in for. */
  readonly allow: readonly InstrumentId[];
}

/** How the printed notes are read on another instrument: steps and semitones, upwards positive. */
export interface SightTransposition {
  readonly diatonic: number;
  readonly chromatic: number;
}

/** A way to play a passage. */
export interface PassageOption {
  readonly instrument: InstrumentId;
  readonly printed: boolean;
  /** In points a note (`Difficulty.score`). */
  readonly difficulty: number;
  /** Written key in fifths; null when the passage has no traditional key. */
  readonly writtenFifths: number | null;
  readonly outOfRange: number;
  readonly sight: SightTransposition;
}

/** A passage of the page and what it may be played on. */
export interface PlannablePassage {
  readonly number: number;
  readonly from: Moment;
  readonly to: Moment;
  readonly printed: InstrumentId;
  readonly noteCount: number;
  /** How often it, or some of it, is played: in repeats it has one instrument each time. */
  readonly timesPlayed: number;
  readonly disputed: boolean;
  readonly options: readonly PassageOption[];
}

/** The instruments of all passages, with what follows. */
export interface Plan {
  readonly kind: "printed" | PlanPreference;
  /** One for each passage. */
  readonly instruments: readonly InstrumentId[];
  /** In notes that are one point harder, by the weights that the player prefers. */
  readonly cost: number;
  /** The mean over the notes as performed, in points, without what transposing by sight takes. */
  readonly meanDifficulty: number;
  /** Notes, as performed, that are transposed by sight. */
  readonly transposedNotes: number;
  readonly changes: readonly InstrumentChange[];
  readonly verdicts: Readonly<Record<Verdict, number>>;
  /** The change with the least time left, on the short rest. */
  readonly tightest: InstrumentChange | null;
}

/** A passage as it would be played on another instrument than in the plan. */
export interface MovedPassage {
  readonly passage: PlannablePassage;
  readonly option: PassageOption;
  /** Points a note more than now. */
  readonly harder: number;
}

/**
 * How a colleague can take bars over, the best first: plays the same notes there anyway, rests with the
 * instrument in hand, has time to take it up, or reads them by sight on what is in hand.
 */
export const COLLEAGUE_WAYS = ["unison", "holds", "takes-up", "by-sight"] as const;
export type ColleagueWay = (typeof COLLEAGUE_WAYS)[number];

/** What a colleague has on one side of the bars taken. */
export interface ColleagueRest {
  /** At the fast tempo. */
  readonly seconds: number;
  /** There where the colleague has to take up another instrument in it. */
  readonly change?: { readonly to: InstrumentId; readonly neededSeconds: number };
}

/** Whole bars that somebody else plays, so that a change has a longer rest or need not be made. */
export interface ColleagueTakesBars {
  readonly kind: "colleague";
  /** At the end of what is played before the rest, or at the start of what comes after it. */
  readonly which: "last" | "first";
  readonly bars: number;
  /** Notes and chords that the player leaves to the colleague. */
  readonly notes: number;
  /** Where the first of them begins, and where the last ends. */
  readonly from: Moment;
  readonly to: Moment;
  /** What the short rest gains, and what the change then is; null where no change is left to make. */
  readonly gained: { readonly seconds: number; readonly verdict: Verdict } | null;
  readonly part: PartInfo;
  readonly way: ColleagueWay;
  /** What the colleague plays them on. */
  readonly instrument: InstrumentId;
  /** From the player's print to what the colleague reads. */
  readonly sight: SightTransposition;
  /** Null where the colleague has not played yet, or has nothing more to play, or plays along. */
  readonly before: ColleagueRest | null;
  readonly after: ColleagueRest | null;
}

/** What can be done about a change, with what it brings. */
export type PlanAdvice =
  | {
      /** Passages on the other instrument, so that the change comes earlier or later. */
      readonly kind: "change-earlier" | "change-later";
      /** In the order of the page. */
      readonly passages: readonly MovedPassage[];
      /** The change at its new place; null where none is left to make there. */
      readonly then: InstrumentChange | null;
      /** Tight and impossible changes of the whole part, now and then. */
      readonly unsafe: { readonly before: number; readonly after: number };
    }
  | ColleagueTakesBars
  | {
      readonly kind: "leave-out";
      /** The last notes before the rest, or the first after it. */
      readonly which: "last" | "first";
      readonly notes: number;
      readonly from: Moment;
      readonly to: Moment;
      readonly gainedSeconds: number;
      readonly verdict: Verdict;
    }
  | {
      readonly kind: "second-mouthpiece" | "second-stand";
      readonly savedSeconds: number;
      readonly neededSeconds: number;
      readonly verdict: Verdict;
    }
  | {
      readonly kind: "ask-for-cue";
      readonly when: "entry" | "look-up";
      readonly barLabel: string;
      readonly pass: number;
    };

/** A tight or impossible change with what can be done about it, the best first. */
export interface AdvisedChange {
  readonly change: InstrumentChange;
  readonly advice: readonly PlanAdvice[];
}

/** Everything `muta plan` has to say about one part. */
export interface PlanReport extends PartHeading, Pick<PartReport, "notices"> {
  readonly wishes: PlanWishes;
  readonly passages: readonly PlannablePassage[];
  readonly printed: Plan;
  /** By what the player prefers. */
  readonly best: Plan;
  /** The best by every preference, that one among them. */
  readonly plans: readonly Plan[];
  /** Of the printed plan. */
  readonly advicePrinted: readonly AdvisedChange[];
  /** Of the best plan. */
  readonly adviceBest: readonly AdvisedChange[];
  /** Whether a change is left in danger for which a colleague could be named if the file had the score. */
  readonly lacksScore: boolean;
}
