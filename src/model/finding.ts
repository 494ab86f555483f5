import type { InstrumentId } from "./instrument.js";
import type { PauseKind } from "./tempo.js";
import type { Moment, TempoRange } from "./time.js";

/** How severe a change is, the worst last. */
export const VERDICTS = ["ample", "workable", "tight", "impossible"] as const;
export type Verdict = (typeof VERDICTS)[number];

/** What a player may miss while the hands are busy and the eyes are down. */
export type Hazard =
  | {
      readonly kind: "meter-change";
      readonly at: Moment;
      readonly from: string;
      readonly to: string;
    }
  | {
      readonly kind: "tempo-change";
      readonly at: Moment;
      /** Quarters a minute, the likely ones. */
      readonly from: number;
      readonly to: number;
      /** The new tempo as printed; empty where only a number is known. */
      readonly mark: string;
      /** Whether it begins to change here, little by little. */
      readonly gradual: boolean;
    }
  | { readonly kind: "pause"; readonly at: Moment; readonly sign: PauseKind }
  | { readonly kind: "late-look-up"; readonly at: Moment; readonly lookUpBars: number };

/** Where the file says that the instrument changes. */
export interface Evidence {
  readonly kind:
    | "transpose"
    | "instrument-change"
    | "note-instrument"
    | "part-name-display"
    | "words"
    | "repeat";
  /** Where it is printed, which may be well before it takes effect. */
  readonly barIndex: number;
  readonly barLabel: string;
  readonly text: string;
}

/** Words and transposition that cannot both be right: copyists make that mistake. */
export interface Disagreement {
  readonly kind: "words-against-transposition";
  /** Where the first note under the disagreement stands. */
  readonly barIndex: number;
  readonly barLabel: string;
  readonly words: string;
  readonly wordsBarLabel: string;
  readonly wordsMean: InstrumentId;
  /** Instruments that the transposition in force would fit; empty when it fits none. */
  readonly transpositionFits: readonly InstrumentId[];
}

/** A thing assumed, ignored or odd in the input. Facts only; the wording is the reporters'. */
export type Notice = {
  readonly barLabel?: string;
  readonly partId?: string;
} & (
  | {
      readonly kind: "tempo-assumed";
      readonly quartersPerMinute: TempoRange;
      readonly fromBarLabel: string;
      readonly untilBarLabel?: string;
    }
  | { readonly kind: "tempo-from-playback"; readonly count: number }
  | { readonly kind: "tempo-from-words"; readonly count: number }
  | {
      /** How far a gradual change goes is assumed, or the tempo is free. */
      readonly kind: "tempo-bends";
      readonly marks: readonly { readonly text: string; readonly barLabel: string }[];
    }
  | { readonly kind: "tempo-printed-twice"; readonly taken: string; readonly other: string }
  | {
      readonly kind: "recording-incomplete";
      readonly recording: string;
      readonly fromBarLabel: string;
      readonly untilBarLabel: string;
    }
  | {
      readonly kind: "recording-odd";
      readonly recording: string;
      readonly fromBarLabel: string;
      readonly untilBarLabel: string;
      readonly quartersPerMinute: number;
    }
  | {
      readonly kind: "tempo-words-unread";
      readonly marks: readonly { readonly text: string; readonly barLabel: string }[];
    }
  | { readonly kind: "tempo-unreadable"; readonly text: string }
  | { readonly kind: "tempo-contradiction"; readonly printed: string; readonly playback: number }
  | { readonly kind: "profile-assumed"; readonly all: boolean }
  | { readonly kind: "instrument-assumed"; readonly instrument: InstrumentId }
  | {
      readonly kind: "name-against-transposition";
      readonly name: string;
      readonly transpositionFits: readonly InstrumentId[];
    }
  | { readonly kind: "transposition-unknown"; readonly semitones: number }
  | { readonly kind: "disagreement"; readonly disagreement: Disagreement }
  | { readonly kind: "instruction-unclear"; readonly text: string }
  | {
      readonly kind: "bar-length";
      readonly quarters: number;
      readonly meterQuarters: number;
      readonly meter: string;
    }
  | { readonly kind: "measure-repeat"; readonly count: number }
  | { readonly kind: "backup-before-bar" }
  | { readonly kind: "missing-duration"; readonly count: number }
  | { readonly kind: "odd-number"; readonly element: string; readonly text: string }
  | { readonly kind: "meter-unreadable"; readonly text: string }
  | { readonly kind: "repeat-unclosed" }
  /** Because the player asked for it; not those that a jump leaves out. */
  | { readonly kind: "repeats-left-out"; readonly bars: readonly string[] }
  | { readonly kind: "jump-not-followed"; readonly text: string }
  | { readonly kind: "jump-unreadable"; readonly text: string }
  | { readonly kind: "bars-not-reached"; readonly lastBarLabel: string; readonly bars: number }
  | { readonly kind: "ending-unreadable"; readonly text: string }
  | { readonly kind: "concert-score" }
  | { readonly kind: "grace-before-entry"; readonly count: number; readonly seconds: number }
  | { readonly kind: "unpitched"; readonly count: number }
);
export type NoticeKind = Notice["kind"];
