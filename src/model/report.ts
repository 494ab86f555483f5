import type { Disagreement, Evidence, Hazard, Notice, Verdict } from "./finding.js";
import type { Fraction } from "./fraction.js";
import type { InstrumentId } from "./instrument.js";
import type { PartInfo, SpelledPitch } from "./score.js";
import type { Moment, SecondsRange, TempoRange, TempoSource, TimedMoment } from "./time.js";

/** A fermata in a rest, which lengthens it, or on the last note before it, which the player leaves late. */
export interface HeldPlace {
  readonly at: Moment;
  readonly on: "last-note" | "rest";
}

/** A silence before an entry, in every unit a player counts in. */
export interface Rest {
  readonly quarters: Fraction;
  /** Bars, counting a part of a bar as a fraction of that bar. */
  readonly bars: number;
  /** Beats as the player counts them: a dotted quarter in 6/8. */
  readonly beats: number;
  readonly seconds: SecondsRange;
  /** The weakest source among the tempi inside the rest. */
  readonly tempoSource: TempoSource;
  /** Words in it that speak of the tempo and are not in the seconds. */
  readonly tempoWords: readonly { readonly at: Moment; readonly text: string }[];
  /** What holds the rest up is the conductor's and is not in the seconds. */
  readonly fermatas: readonly HeldPlace[];
  /** As the player counts it: whole bars, and the beats of the bars begun and left inside the rest. */
  readonly counted: { readonly bars: number; readonly beats: number };
}

/** One action of the changeover and what it takes. */
export interface ChangeoverStep {
  readonly action:
    "whole-change" | "put-down" | "pick-up" | "move-mouthpiece" | "settle" | "page-turn";
  readonly seconds: number;
  /** Whether it is the usual figure, not one of the player's own. */
  readonly assumed: boolean;
}

/** Seconds the hands need. */
export interface ChangeoverTime {
  readonly seconds: number;
  readonly steps: readonly ChangeoverStep[];
}

/** Advice is a kind with facts; reporters word it. */
export type Advice =
  | {
      readonly kind: "ask-for-cue";
      /** For the entry itself, or for the first bar in which the player can look up again. */
      readonly when: "entry" | "look-up";
      readonly barLabel: string;
      readonly pass: number;
    }
  | { readonly kind: "not-playable-as-printed"; readonly missingSeconds: number }
  | { readonly kind: "check-print"; readonly barLabel: string; readonly wordsBarLabel: string };

/** Leaving one instrument and entering on another. */
export interface InstrumentChange {
  readonly number: number;
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly leave: TimedMoment;
  readonly enter: TimedMoment;
  readonly rest: Rest;
  readonly needed: ChangeoverTime;
  /** What is left of the short rest: negative when the hands need longer. */
  readonly lookUp: { readonly seconds: number; readonly bars: number };
  readonly verdict: Verdict;
  /** What the player enters in, where it is not what was left: meter and tempo as printed. */
  readonly entersIn: { readonly meter?: string; readonly tempo?: string };
  readonly hazards: readonly Hazard[];
  readonly evidence: readonly Evidence[];
  readonly disagreements: readonly Disagreement[];
  readonly advice: readonly Advice[];
}

/** The first sounding note after a rest, on whatever instrument. */
export interface Entry {
  readonly at: TimedMoment;
  /** The end of the note before; null when nothing was played yet. */
  readonly leave: TimedMoment | null;
  readonly instrument: InstrumentId;
  readonly rest: Rest;
  /** Grace notes played before the beat of the entry. */
  readonly graceNotes: number;
}

/** What makes a passage hard to read, as a count of its notes. */
export interface DifficultyReason {
  readonly kind: "altered-notes" | "accidentals" | "out-of-range";
  readonly count: number;
  readonly of: number;
}

/** How a passage would lie on one instrument. */
export interface InstrumentChoice {
  readonly instrument: InstrumentId;
  readonly printed: boolean;
  /** Written key in fifths: sharps positive. Null when the passage has no traditional key. */
  readonly writtenFifths: number | null;
  /** Whether the key was respelled enharmonically to have fewer accidentals. */
  readonly respelled: boolean;
  /** Accidentals printed in front of notes under that key signature. */
  readonly accidentals: number;
  readonly lowest: SpelledPitch | null;
  readonly highest: SpelledPitch | null;
  /** Notes below or above what the instrument has, in all, and those below. */
  readonly outOfRange: number;
  readonly tooLow: number;
  readonly difficulty: { readonly score: number; readonly reasons: readonly DifficultyReason[] };
}

/** A stretch of playing on one instrument, under one key signature, between rests. */
export interface Passage {
  readonly number: number;
  readonly instrument: InstrumentId;
  readonly from: Moment;
  readonly to: Moment;
  readonly noteCount: number;
  /** Whether words and transposition disagree on the instrument. */
  readonly disputed: boolean;
  readonly soundingFifths: number | null;
  readonly choices: readonly InstrumentChoice[];
}

/** A tempo of the performance, as used. */
export interface TempoSpan {
  readonly from: Moment;
  readonly quartersPerMinute: TempoRange;
  readonly source: TempoSource;
  readonly text: string;
}

/** Everything known about one part of one file. */
export interface PartReport {
  readonly file: string;
  readonly title: string;
  readonly movement: string;
  readonly part: PartInfo;
  readonly barCount: number;
  /** Printed numbers of the first and the last bar. */
  readonly barLabels: { readonly first: string; readonly last: string };
  /** Bars as played, repeats counted. */
  readonly playedBars: number;
  readonly instruments: readonly InstrumentId[];
  readonly changes: readonly InstrumentChange[];
  readonly entries: readonly Entry[];
  readonly passages: readonly Passage[];
  readonly tempi: readonly TempoSpan[];
  /** Seconds of the whole movement at the likely tempo. */
  readonly durationSeconds: SecondsRange;
  readonly notices: readonly Notice[];
}

/** An input that could not be read; the rest of a batch goes on. */
export interface InputFailure {
  readonly file: string;
  readonly code: string;
  readonly message: string;
  readonly part?: string;
  readonly bar?: string;
}

/** What a run of `check` has to say. */
export interface CheckReport {
  readonly parts: readonly PartReport[];
  readonly errors: readonly InputFailure[];
}
