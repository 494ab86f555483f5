import type { Moment, SecondsRange, TimedMoment } from "./time.js";
import type { Dynamic } from "./score.js";

/** The groups of an orchestra, as players speak of them. */
export const ORCHESTRA_GROUPS = [
  "woodwind",
  "brass",
  "timpani",
  "percussion",
  "harp-keys",
  "voice",
  "strings",
  "other",
] as const;
export type OrchestraGroup = (typeof ORCHESTRA_GROUPS)[number];

/** A place as it lies before an entry. */
export interface BeforeEntry {
  /** Bars to the entry, a part of a bar as a fraction of it. */
  readonly bars: number;
  /** As the player counts them. */
  readonly counted: { readonly bars: number; readonly beats: number };
  readonly seconds: SecondsRange;
}

/**
 * What makes a landmark heard; each with its figure. Points are shares of the salience (see
 * `analyses/landmark-weights.ts`).
 */
export type LandmarkReason = { readonly points: number } & (
  | { readonly kind: "kind" }
  /** What stands out by its sound alone: brass, timpani. */
  | { readonly kind: "group"; readonly group: OrchestraGroup }
  /** The loudest level that is printed for one of the parts. */
  | { readonly kind: "loudness"; readonly dynamic: Dynamic }
  /** Semitones from the highest note of what else sounds up, or from the lowest line of it down. */
  | { readonly kind: "register"; readonly side: "above" | "below"; readonly semitones: number }
  /** Bars of silence before: of the parts that enter, the least. */
  | { readonly kind: "silence"; readonly bars: number; readonly sinceStart: boolean }
  /** How many of the other parts sound at that moment, those of the landmark among them. */
  | { readonly kind: "few-play"; readonly sounding: number; readonly of: number }
);

/** A silence that is noticed when it ends: of a part, and of all others of the same instrument. */
export interface LongSilence {
  readonly silentBars: number;
  /** Whether there was nothing of it before. */
  readonly sinceStart: boolean;
}

/** What happens there. */
export type LandmarkEvent =
  /** Parts that begin after a long silence. */
  | ({ readonly kind: "entrance" } & LongSilence)
  /** A line that is alone, or lines that are marked to be heard; with the silence they end, if it is long. */
  | {
      readonly kind: "solo";
      readonly alone: boolean;
      readonly marked: boolean;
      readonly silence?: LongSilence;
    }
  /** Two thirds of the orchestra or more, many of which were silent just before. */
  | { readonly kind: "tutti" }
  /** Many whose printed level goes from mp or less to f or more; the level that all of them reach. */
  | { readonly kind: "loud-arrival"; readonly dynamic: Dynamic }
  /** Many begin at once, or stop at once for two beats or more. */
  | { readonly kind: "many-start" }
  | { readonly kind: "many-stop"; readonly left: number }
  /** The bass falls a fifth (or rises a fourth) to the root of a triad, and nobody begins anything for some beats. */
  | {
      readonly kind: "cadence";
      readonly bassPart: string;
      /** Sounding pitch classes such as `D` and `G`. */
      readonly from: string;
      readonly to: string;
      readonly restBeats: number;
    };
export type LandmarkKind = LandmarkEvent["kind"];

/** Something to listen for before an entry. */
export type Landmark = LandmarkEvent & {
  /** Names of the parts, in the order of the score, as in the file. */
  readonly parts: readonly string[];
  /** Set where those parts are everybody of a group of the orchestra, or all other parts. */
  readonly all?: OrchestraGroup | "everybody";
  readonly at: TimedMoment;
  readonly before: BeforeEntry;
  /** Whether it comes when the hands are ready. */
  readonly insideLookUp: boolean;
  /** Other parts that sound at that moment (after it, where parts stop), and how many there are. */
  readonly sounding: number;
  readonly of: number;
  /** Salience times nearness. */
  readonly score: number;
  readonly reasons: readonly LandmarkReason[];
};

/** What cue notes are, held against the score. */
export const CUE_VERDICTS = [
  /** They sound as what the named part plays there. */
  "as-in-score",
  /** The same notes, whole octaves away. */
  "octave-away",
  "differs",
  /** The named part has nothing there. */
  "part-silent",
  /** No part of the score bears that name. */
  "no-such-part",
  /** There is no name by them, and they are no part's notes. */
  "not-named",
  /** The file has no other part. */
  "not-checked",
] as const;
export type CueVerdict = (typeof CUE_VERDICTS)[number];

/** Cue notes before an entry. */
export interface CheckedCue {
  readonly from: Moment;
  readonly to: Moment;
  /** The name printed by them; empty where there is none. */
  readonly label: string;
  /** The parts they were held against; where there is no label, those whose notes they are. */
  readonly parts: readonly string[];
  readonly verdict: CueVerdict;
}
