import type { InstrumentId } from "./instrument.js";
import type { UsedTemperature } from "./profile.js";
import type { PartInfo } from "./score.js";
import type { PauseKind } from "./tempo.js";
import type { Moment, TempoRange } from "./time.js";

/** How severe a change is, the worst last. */
export const VERDICTS = ["ample", "workable", "tight", "impossible"] as const;
export type Verdict = (typeof VERDICTS)[number];

/**
 * What a player may miss while the hands are busy and the eyes are down.
 * @typeParam Place a moment, or the place on the page where plain data is wanted
 */
export type Hazard<Place = Moment> =
  | {
      readonly kind: "meter-change";
      readonly at: Place;
      readonly from: string;
      readonly to: string;
    }
  | {
      readonly kind: "tempo-change";
      readonly at: Place;
      /** Quarters a minute, the likely ones. */
      readonly from: number;
      readonly to: number;
      /** The new tempo as printed; empty where only a number is known. */
      readonly mark: string;
      /** Whether it begins to change here, little by little. */
      readonly gradual: boolean;
    }
  | { readonly kind: "pause"; readonly at: Place; readonly sign: PauseKind }
  | { readonly kind: "late-look-up"; readonly at: Place; readonly lookUpBars: number };

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

/**
 * Two things in print, or in print and in the file, that cannot both be right, or a change that the print
 * does not announce in time. Copyists make such mistakes, and they cost rehearsal time.
 */
export type Disagreement = {
  /** Where the first note under it stands. */
  readonly barIndex: number;
  readonly barLabel: string;
} & (
  | (WordsAgainst & {
      /** The words are followed, because the player obeys them. */
      readonly kind: "words-against-transposition";
      /** Which of the two the key signature is right for, where the score tells. */
      readonly keyFits?: "words" | "transposition";
    })
  | {
      /** What only the file says, of the notes or in a `<sound>`, against the transposition. */
      readonly kind: "encoded-against-transposition";
      readonly encoded: string;
      readonly encodedBarLabel: string;
      readonly encodedMeans: InstrumentId;
      readonly transpositionFits: readonly InstrumentId[];
      readonly followed: InstrumentId;
    }
  | {
      /** Two signs for one change that name different instruments. */
      readonly kind: "words-against-words";
      readonly words: string;
      readonly wordsBarLabel: string;
      readonly otherWords: string;
      readonly otherWordsBarLabel: string;
      readonly followed: InstrumentId;
    }
  | {
      /** Words that are heeded only at a later entry, since the notes between are for what was in hand. */
      readonly kind: "words-before-transposition";
      readonly words: string;
      readonly wordsBarLabel: string;
      readonly wordsMean: InstrumentId;
      /** The entry that was still played on the instrument before. */
      readonly passedBarLabel: string;
    }
  | {
      /** The key signature is not that of the other players, as this instrument reads it. */
      readonly kind: "key-against-score";
      /** Where the signature is printed. */
      readonly keyBarLabel: string;
      /** Where the other players' key that it contradicts is printed. */
      readonly scoreKeyBarLabel: string;
      readonly instrument: InstrumentId;
      /** Fifths as written for the instrument: as printed, and as they should be. */
      readonly writtenFifths: number;
      readonly expectedFifths: number;
    }
  | {
      /** A change that is in the file only: no word, label or name tells the player. */
      readonly kind: "nothing-printed";
      /** Where the rest begins and the words should stand. */
      readonly restBarLabel: string;
      readonly to: InstrumentId;
    }
  | {
      /** Words that leave the hands less time than they need, where the rest has enough. */
      readonly kind: "late-warning";
      readonly words: string;
      readonly wordsBarLabel: string;
      readonly restBarLabel: string;
      /** From the words to the entry, at the fast tempo. */
      readonly seconds: number;
      readonly neededSeconds: number;
      readonly to: InstrumentId;
    }
);

/** Kinds of disagreement that are faults of the print; the others are only poor warnings. */
const POOR_WARNINGS: ReadonlySet<Disagreement["kind"]> = new Set([
  "nothing-printed",
  "late-warning",
]);

/** Whether one of two things in print must be wrong, rather than a true change be announced badly. */
export function isMisprint({ kind }: Disagreement): boolean {
  return !POOR_WARNINGS.has(kind);
}

interface WordsAgainst {
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
  /** Some instrument has lain so long that its pitch is told of; what that was reckoned from. */
  | { readonly kind: "pitch-after-lying"; readonly temperature: UsedTemperature }
  | {
      readonly kind: "instrument-assumed";
      readonly instrument: InstrumentId;
      readonly by: "transposition" | "words";
    }
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
  /** A part without transpositions whose notes were taken for sounding ones. */
  | {
      readonly kind: "score-in-c";
      readonly instrument: InstrumentId;
      readonly because: "key" | "no-transpositions";
    }
  /** "in B", and why it was read as B-flat. */
  | {
      readonly kind: "bare-b";
      readonly text: string;
      readonly because: "transposition" | "german" | "italian" | "no-such-instrument";
    }
  /** Several players read this staff, and none was asked for. */
  | { readonly kind: "shared-staff"; readonly players: readonly number[] }
  /** Bars of a shared staff that do not say who plays; they were taken for all. */
  | {
      readonly kind: "players-unmarked";
      readonly spans: readonly { readonly fromBarLabel: string; readonly untilBarLabel: string }[];
    }
  /** Bass-clef notes with the transposition of the treble-clef notation: an octave too low in the file. */
  | { readonly kind: "bass-clef-octave"; readonly count: number }
  | { readonly kind: "grace-before-entry"; readonly count: number; readonly seconds: number }
  /** A bar of another part; it was asked for its key only. */
  | { readonly kind: "other-part-unreadable" }
  /** Of a part that stands alone: what a score would let one say besides. */
  | { readonly kind: "listen-with-score" }
  | { readonly kind: "unpitched"; readonly count: number }
  /** A colleague's part that was not looked at for who could take bars over; the reason as a sentence, or its bars. */
  | {
      readonly kind: "colleague-left-out";
      readonly part: Pick<PartInfo, "id" | "name" | "player">;
      readonly because: { readonly message: string } | "other-bars";
    }
);
export type NoticeKind = Notice["kind"];

/** Whether a notice explains figures that `muta check` gives and `muta keys` and `muta plan` do not. */
export function isOfCheckOnly({ kind }: Notice): boolean {
  return kind === "pitch-after-lying";
}
