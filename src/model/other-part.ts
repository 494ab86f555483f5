import type { Fraction } from "./fraction.js";
import type { Dynamic, FromHere, PartInfo, PartNote, Position, SpelledPitch } from "./score.js";

/** A note or chord of another player. */
export interface HeardNote extends Pick<
  PartNote,
  "barIndex" | "offset" | "duration" | "voice" | "staff" | "grace" | "tiedFromBefore" | "tiedToNext"
> {
  /** As it sounds, highest first; empty for a drum without pitch. */
  readonly pitches: readonly SpelledPitch[];
}

/** Words in a bar, `offset` quarters from its start. */
export interface WordsInBar {
  readonly offset: Fraction;
  readonly text: string;
}

/**
 * Another part of the score, of which only the bars that are asked for are read. Bars are by their
 * position in the file, the same in all parts; past its last bar a part is silent.
 */
export interface OtherPart {
  readonly part: PartInfo;
  readonly barCount: number;
  /** The printed number of a bar. */
  readonly barLabel: (barIndex: number) => string;
  /** What is played in a bar, in the order of the file: neither cue notes nor hidden ones. */
  readonly notes: (barIndex: number) => readonly HeardNote[];
  /** Whether anything is played in a bar; most bars of rest are told without reading them. */
  readonly isSilent: (barIndex: number) => boolean;
  /** The level printed last before a place or at it; undefined where none is. */
  readonly dynamicAt: (at: Position) => Dynamic | undefined;
  /** Levels printed in a bar, in the order of the page. */
  readonly dynamics: (barIndex: number) => readonly FromHere<Dynamic>[];
  readonly words: (barIndex: number) => readonly WordsInBar[];
  /** Bars that were asked for and could not be read; they count as silent. */
  readonly unreadableBars: () => readonly number[];
}
