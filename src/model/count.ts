import type { Fraction } from "./fraction.js";
import type { InstrumentId } from "./instrument.js";
import type {
  HeldPlace,
  HeardFromOthers,
  InstrumentChange,
  PartHeading,
  Rest,
  TempoSpan,
} from "./report.js";
import type { Notice } from "./finding.js";
import type { Meter } from "./score.js";
import type { Moment, SecondsRange, TimedMoment } from "./time.js";

/** Why the performance does not go on with the next bar of the page. */
export type JumpKind =
  | "repeat"
  /** Past the ending of a time through before. */
  | "ending"
  | "da-capo"
  | "dal-segno"
  | "coda"
  /** From a Fine to the next movement. */
  | "fine"
  | "other";

/** What a player who counts meets on the way: seen on the page, or heard in the hall. */
export type CountMark = { readonly at: Moment } & (
  | { readonly kind: "rehearsal"; readonly text: string }
  /** Before the bar at which it is told. */
  | { readonly kind: "double-bar" }
  | { readonly kind: "meter"; readonly from: string; readonly to: string }
  | { readonly kind: "tempo"; readonly span: TempoSpan }
  | ({ readonly kind: "pause" } & Omit<HeldPlace, "at">)
  | {
      readonly kind: "jump";
      readonly how: JumpKind;
      readonly back: boolean;
      readonly fromBarLabel: string;
      /** For an ending: the times through for which it holds. */
      readonly passes?: readonly number[];
    }
  /** The first bar of the next movement. */
  | { readonly kind: "movement" }
  /** Only where the pages of the file are the player's. */
  | { readonly kind: "new-page" }
);

/** Bars that are counted in one go, or the silent part of one bar. */
export interface CountedGroup {
  /** Where it begins, and where its last bar begins. */
  readonly from: Moment;
  readonly lastBar: Moment;
  readonly meter: Meter;
  /**
   * Whole bars; a part of a bar, which no player counts as one (the bars begun and left, a pick-up); or one
   * half of a bar that a barline divides, both halves of which are silent.
   */
  readonly kind: "bars" | "part" | "half";
  /** Bars, each part of one as the fraction that it is. */
  readonly bars: Fraction;
  /** Beats, as counted in its meter. */
  readonly beats: Fraction;
  readonly quarters: Fraction;
  /**
   * What is counted aloud, from 1 at the beginning of the rest and again at the beginning of a movement; null
   * for a part of a bar. The halves of a divided bar have one number.
   */
  readonly count: { readonly from: number; readonly to: number } | null;
  /** Bars of the rest up to its end, parts of bars as fractions, movements or not. */
  readonly barsSoFar: Fraction;
  readonly seconds: SecondsRange;
  /** The tempo in force where it begins. */
  readonly tempo: TempoSpan;
  /** In the order of the performance; at its beginning, in its only bar, or at its end. */
  readonly marks: readonly CountMark[];
}

/** Where the player comes in. */
export interface CountedEntry {
  readonly at: TimedMoment;
  readonly instrument: InstrumentId;
  readonly meter: Meter;
  /** Played before the beat of the entry. */
  readonly graceNotes: number;
  /** What begins with the entry. */
  readonly marks: readonly CountMark[];
}

/** The hands in a change of instrument, and the eyes with them. */
export type BusyHands = {
  /** What they need. */
  readonly seconds: number;
} & (
  | {
      readonly ready: "in-rest";
      /** The first beat at which the hands are ready, at the fast tempo. */
      readonly lookUp: Moment;
      /** The bar of that beat as counted; null in a part of a bar. */
      readonly count: number | null;
    }
  /** In the pause between two movements, in which nobody counts. */
  | { readonly ready: "in-pause" }
  /** Not before the entry. */
  | { readonly ready: "too-late" }
);

/** A silence of the part, laid out to be counted. */
export interface CountedRest {
  /** Among the rests that are told, from 1. */
  readonly number: number;
  /** The end of the last note; null where nothing was played yet. */
  readonly leave: TimedMoment | null;
  readonly rest: Rest;
  /** What precedes the count: a fermata on the last note, the end of the movement with it. */
  readonly before: readonly CountMark[];
  /** None where a change leaves no rest. */
  readonly groups: readonly CountedGroup[];
  /** Null where the part is silent to the end. */
  readonly entry: CountedEntry | null;
  /** The change of instrument that falls into it. */
  readonly change: InstrumentChange | null;
  readonly hands: BusyHands | null;
  /** Of the other parts; null where the part is silent to the end. */
  readonly heard: HeardFromOthers | null;
}

/** What `muta count` has to say of one part. */
export interface CountReport extends PartHeading {
  /** Rests of so many bars or more are told, and every change. */
  readonly fromBars: number;
  readonly rests: readonly CountedRest[];
  readonly notices: readonly Notice[];
}
