import type { Disagreement, Evidence, Hazard, Notice, Verdict } from "./finding.js";
import type { Exposure } from "./exposure.js";
import type { Fraction } from "./fraction.js";
import type { InstrumentId } from "./instrument.js";
import type { CheckedCue, Landmark } from "./landmark.js";
import type { MoveCause, Register, TrillVerdict } from "./fingering.js";
import type { UsedTemperature } from "./profile.js";
import type { Dynamic, PartInfo, SpelledPitch } from "./score.js";
import type { PauseKind } from "./tempo.js";
import type { Moment, SecondsRange, TempoRange, TempoSource, TimedMoment } from "./time.js";

/** What holds the time up in a rest, or on the last note before it, which the player then leaves late. */
export interface HeldPlace {
  readonly at: Moment;
  readonly on: "last-note" | "rest";
  readonly sign: PauseKind;
  /** What it may add to the notated time: an assumption, in no other figure of the report. */
  readonly extraSeconds: SecondsRange;
}

/** Seconds by one recording. */
export interface MeasuredSeconds {
  readonly recording: string;
  readonly seconds: number;
}

/** A silence before an entry, in every unit a player counts in. */
export interface Rest {
  readonly quarters: Fraction;
  /** Bars, counting a part of a bar as a fraction of that bar. */
  readonly bars: number;
  /** Beats as the player counts them: a dotted quarter in 6/8. */
  readonly beats: number;
  /** By the recordings where the player gave any, else by the tempi. */
  readonly seconds: SecondsRange;
  /** The weakest source among the tempi inside the rest. */
  readonly tempoSource: TempoSource;
  /** By the tempi of the page and the sheet, whatever the recordings say; there only with recordings. */
  readonly marked?: { readonly seconds: SecondsRange; readonly tempoSource: TempoSource };
  /** Every recording that covers the rest. */
  readonly recordings: readonly MeasuredSeconds[];
  /** Words in it whose effect on the seconds is only assumed: a "rit." without a goal, a "rubato". */
  readonly tempoWords: readonly { readonly at: Moment; readonly text: string }[];
  /** What holds the rest up is the conductor's and is not in the seconds. */
  readonly pauses: readonly HeldPlace[];
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
  /** One of two things in print is wrong. */
  | { readonly kind: "check-print"; readonly barLabel: string }
  /** The change is not announced in time. */
  | { readonly kind: "pencil-in"; readonly barLabel: string; readonly to: InstrumentId };

/** Leaving one instrument and entering on another. */
export interface InstrumentChange {
  readonly number: number;
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly leave: TimedMoment;
  readonly enter: TimedMoment;
  readonly rest: Rest;
  readonly needed: ChangeoverTime;
  /**
   * When the hands are ready and the eyes can go up, at the fast tempo; null where that is not before the
   * entry. Where the pause between two movements is enough it is the beginning of the rest.
   */
  readonly ready: Moment | null;
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

/** How long an instrument has lain when it is entered on, and what the cold does to it. An estimate. */
export interface Lying {
  /** The end of its last note; null where it was not played yet and has lain, warm, since the beginning. */
  readonly since: TimedMoment | null;
  /** To the entry; the pauses between movements are in it. */
  readonly seconds: SecondsRange;
  /** Its pitch against when it is warm, after those seconds; negative is flat. */
  readonly cents: { readonly short: number; readonly likely: number; readonly long: number };
  /** Whether that is enough to be told of on the page. */
  readonly matters: boolean;
  readonly temperature: UsedTemperature;
}

/** What of the other parts matters to an entry. */
export interface HeardFromOthers {
  /** What to listen for before the entry, the best first; none where the part stands alone. */
  readonly landmarks: readonly Landmark[];
  /** Cue notes in the rest, held against the score. */
  readonly cues: readonly CheckedCue[];
  /** How the entry lies in the orchestra; left out where the part stands alone. */
  readonly exposure?: Exposure;
}

/** A change of the part as printed, with what its place in the whole performance adds. */
export interface CheckedChange extends InstrumentChange, HeardFromOthers {
  readonly lying: Lying;
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

/** The place of a passage that takes most of the fingers. */
export interface HardSpot {
  readonly at: Moment;
  /** Written, on the instrument in question; null where the move begins after a rest. */
  readonly from: SpelledPitch | null;
  readonly to: SpelledPitch;
  readonly notesPerSecond: number;
  /** In points of the difficulty. */
  readonly strain: number;
  readonly cause: MoveCause;
  /** The same notes on the other instruments, written for them. */
  readonly elsewhere: readonly {
    readonly instrument: InstrumentId;
    readonly from: SpelledPitch | null;
    readonly to: SpelledPitch;
    readonly strain: number;
  }[];
}

/** A trill, or a tremolo between two notes, as the fingers have it. Written pitches. */
export interface RatedTrill {
  readonly at: Moment;
  readonly kind: "trill" | "tremolo";
  readonly lower: SpelledPitch;
  readonly upper: SpelledPitch;
  readonly verdict: TrillVerdict;
  readonly cause: MoveCause | null;
}

/**
 * How hard a passage lies: 0 is nothing to think of, 1 a fluent scale of F major in sixteenths at
 * quarter = 120, 5 the limit of a professional (see fingering/weights.ts).
 */
export interface Difficulty {
  readonly score: number;
  /** What the fingers add; null for instruments without a table of fingerings. */
  readonly fingers: number | null;
  /** What the key signature and the printed accidentals add. */
  readonly reading: number;
  readonly reasons: readonly DifficultyReason[];
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
  /** Notes by register; null for instruments without a table of fingerings. */
  readonly registers: Readonly<Record<Register, number>> | null;
  /** How often the fingers go over the break. */
  readonly breakCrossings: number;
  readonly difficulty: Difficulty;
  /** The worst places, the worst first. */
  readonly spots: readonly HardSpot[];
  readonly trills: readonly RatedTrill[];
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
  /** The mean over its notes, and over the quickest eight in a row; null for a single note. */
  readonly notesPerSecond: { readonly mean: number; readonly quickest: number } | null;
  readonly choices: readonly InstrumentChoice[];
}

/** What a passage asks of tongue, breath or lip, beyond a stated limit. */
export type Demand = { readonly from: Moment; readonly to: Moment } & (
  | {
      readonly kind: "fast-tonguing";
      readonly strokes: number;
      readonly strokesPerSecond: number;
      readonly limit: Limit;
    }
  | { readonly kind: "long-phrase"; readonly seconds: number; readonly limit: Limit }
  | {
      readonly kind: "soft-high-note";
      readonly seconds: number;
      readonly pitch: SpelledPitch;
      readonly dynamic: Dynamic;
      readonly limit: Limit;
    }
);

/** A limit of the player's, or a usual one. */
export interface Limit {
  readonly value: number;
  readonly assumed: boolean;
}

/** A tempo of the performance, as used. */
export interface TempoSpan {
  readonly from: Moment;
  /** Quarters in the beat that the player counts there. */
  readonly beatQuarters: number;
  /** At its start, quarters a minute. */
  readonly quartersPerMinute: TempoRange;
  /** At its end, where it changes gradually on the way. */
  readonly endQuartersPerMinute?: TempoRange;
  /** Whether its effect is only assumed: how far a gradual change goes, or a tempo that is free. */
  readonly bend?: "gradual" | "free";
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
  readonly changes: readonly CheckedChange[];
  readonly entries: readonly Entry[];
  readonly passages: readonly Passage[];
  readonly demands: readonly Demand[];
  readonly tempi: readonly TempoSpan[];
  /** Seconds of the whole movement at the likely tempo. */
  readonly durationSeconds: SecondsRange;
  readonly notices: readonly Notice[];
}

/** What a report of any kind says of its part at the top. */
export type PartHeading = Pick<
  PartReport,
  | "file"
  | "title"
  | "movement"
  | "part"
  | "barLabels"
  | "barCount"
  | "playedBars"
  | "durationSeconds"
>;

/** An input that could not be read; the rest of a batch goes on. */
export interface InputFailure {
  readonly file: string;
  readonly code: string;
  readonly message: string;
  readonly part?: string;
  readonly bar?: string;
}

/** What a run over the parts of some files has to say, and what could not be read. */
export interface RunReport<Part> {
  readonly parts: readonly Part[];
  readonly errors: readonly InputFailure[];
}

/** What a run of `check` has to say. */
export type CheckReport = RunReport<PartReport>;

/** A tempo of the performance and the time it lasts. */
export interface TimedTempo extends TempoSpan {
  /** Where the next one begins, or the end. */
  readonly until: Moment;
  readonly seconds: SecondsRange;
  /** The mean tempo of the recordings, quarters a minute; there only where they cover it. */
  readonly measuredQuartersPerMinute?: number;
  /** How often its bars are played, where they come back within it. */
  readonly timesThrough: number;
}

/** The tempi of one part, whatever it is played on: what `muta tempo` has to say. */
export interface TempoReport {
  readonly file: string;
  readonly title: string;
  readonly movement: string;
  readonly part: PartInfo;
  readonly barLabels: { readonly first: string; readonly last: string };
  readonly barCount: number;
  /** Bars as played, repeats counted. */
  readonly playedBars: number;
  readonly tempi: readonly TimedTempo[];
  /** What holds the time up; in no figure of the report. */
  readonly pauses: readonly Omit<HeldPlace, "on">[];
  /** By the recordings where the player gave any, else by the tempi. */
  readonly durationSeconds: SecondsRange;
  readonly recordings: readonly MeasuredSeconds[];
  readonly notices: readonly Notice[];
}
