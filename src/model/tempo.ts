import type { Fraction } from "./fraction.js";
import type { Position } from "./score.js";
import type { TempoRange } from "./time.js";

/** A number as the conductor reads it: a metronome mark. */
export interface PrintedTempo {
  /** The number given, or the middle of a printed range. */
  readonly quartersPerMinute: number;
  /** For a printed range, such as "112-120"; quarters a minute. */
  readonly range?: { readonly low: number; readonly high: number };
  /** Printed with "ca." or the like. */
  readonly approximate: boolean;
  /** In brackets: an addition of the editor's, not the composer's (common practice, no source). */
  readonly editorial: boolean;
  /** As printed, for the player to recognise: `dotted quarter = 40`. */
  readonly text: string;
}

/** "Old value = new value": both last equally long. */
export interface TempoEquation {
  readonly oldQuarters: Fraction;
  readonly newQuarters: Fraction;
  /** As printed: `quarter = dotted quarter`. */
  readonly text: string;
}

/** All that one place of the page, or of the file, says about the tempo. */
export interface TempoSign {
  readonly at: Position;
  readonly partId: string;
  /** Printed words, each direction's in one line, whatever they speak of. */
  readonly words: readonly string[];
  /** Those of them that stand beside the number that holds. */
  readonly numberWords?: string;
  readonly printed?: PrintedTempo;
  readonly equation?: TempoEquation;
  /** The number a program plays at (`<sound tempo>`), in quarters a minute; nobody reads it. */
  readonly playback?: number;
  /** Lines of dashes that begin or end here; they show how far a gradual change reaches. */
  readonly dashes: readonly { readonly type: "start" | "stop"; readonly number: string }[];
}

/** No music is counted slower or faster than this in any beat, a minute; such numbers are slips. */
export const BEATS_PER_MINUTE = { least: 4, most: 1200 } as const;

export type PauseKind =
  | "fermata"
  | "caesura"
  | "breath-mark"
  | "general-pause"
  /** The pause after a movement. */
  | "movement-end"
  /** A final barline after which the numbers of the bars go on. */
  | "final-barline";

/** What holds the time up beyond the notated values. */
export interface PauseSign {
  readonly at: Position;
  readonly partId: string;
  readonly sign: PauseKind;
}

/** A line of the player's own tempo sheet. */
export interface SheetTempo {
  /** The printed number of the bar. */
  readonly barLabel: string;
  /** Where in the bar, in the beats the player counts, from 1. */
  readonly beat: number;
  /** For one time through the bar only; every time when it is missing. */
  readonly pass?: number;
  readonly quartersPerMinute: TempoRange;
  /** As the player wrote it: `half = 66-70`. */
  readonly text: string;
}

/** A place of a performance and the second at which it was heard. */
export interface TimedPlace {
  readonly barLabel: string;
  /** In the beats the player counts, from 1. */
  readonly beat: number;
  /** Time through the bar; the next one in the order of performance when it is missing. */
  readonly pass?: number;
  readonly seconds: number;
}

/** Timings noted down from a recording, in the order of the performance. */
export interface Recording {
  /** For the report: the name of the file they were read from. */
  readonly name: string;
  readonly places: readonly TimedPlace[];
}

/** Which repeats the conductor takes: all, the first of the movement, none, or those that end at the bars named. */
export type RepeatChoice = "all" | "first-only" | "none" | readonly string[];

/** What the player knows of the performance that the page does not say. */
export interface PerformanceWishes {
  readonly tempoSheet?: readonly SheetTempo[];
  readonly recordings?: readonly Recording[];
  readonly repeats?: RepeatChoice;
}
