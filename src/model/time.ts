import type { Fraction } from "./fraction.js";

/** Where a tempo came from, the strongest first. */
export const TEMPO_SOURCES = [
  "recording",
  "sheet",
  "metronome",
  "sound",
  "words",
  "assumed",
] as const;
export type TempoSource = (typeof TEMPO_SOURCES)[number];

/** Quarters a minute. */
export interface TempoRange {
  readonly slow: number;
  readonly likely: number;
  readonly fast: number;
}

/** Seconds; `short` at the fast tempo, `long` at the slow one. */
export interface SecondsRange {
  readonly short: number;
  readonly likely: number;
  readonly long: number;
}

/** One time through a bar, in the order of the performance. */
export interface BarVisit {
  readonly visitIndex: number;
  readonly barIndex: number;
  /** 1 for the first time this bar is played. */
  readonly pass: number;
  /** Quarters from the start of the performance. */
  readonly startQuarters: Fraction;
  readonly lengthQuarters: Fraction;
}

/** A moment of the performance, with the place a player looks for on the page. */
export interface Moment {
  readonly visitIndex: number;
  readonly barIndex: number;
  readonly barLabel: string;
  /** Which movement of the file, from 1; there only where it has several, whose bars have the same numbers. */
  readonly movement?: number;
  readonly pass: number;
  /** Whether the bar is played more than once, so that `pass` needs saying. */
  readonly repeated: boolean;
  /** 1-based, in the beats the player counts; 1.5 is halfway through the first. */
  readonly beat: number;
  /** Whether it is the very end of the bar: where a note ends that fills it. */
  readonly atBarEnd: boolean;
  /** Quarters from the start of the performance. */
  readonly quarters: Fraction;
}

/** A moment as plain data: where on the page, without its exact time. */
export type PlaceOnPage = Omit<Moment, "quarters" | "visitIndex">;

/** A moment with its seconds from the start of the performance, fermatas not counted. */
export interface TimedMoment extends Moment {
  readonly seconds: SecondsRange;
}
