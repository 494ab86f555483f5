import type { BarSlices } from "./bar-slices.js";

/** Where a `<divisions>` value is set. */
export interface DivisionsMark {
  readonly barIndex: number;
  readonly divisions: string;
}

/** One part's bars, and which of them say something that concerns every player. */
export interface PartSlices {
  readonly id: string;
  readonly bars: BarSlices;
  /** Bars with a tempo, fermata, repeat, ending, jump or rehearsal mark. */
  readonly sharedMarks: readonly number[];
  readonly divisions: readonly DivisionsMark[];
  /** Bars in which a transposition is printed. */
  readonly transposeBars: readonly number[];
  /** Bars in which a key signature is printed. */
  readonly keyBars: readonly number[];
}

/** Where everything is in a document, found in one pass over its bytes. */
export interface DocumentIndex {
  readonly layout: "partwise" | "timewise";
  readonly version: string;
  /** The content of the root element before its first part or measure. */
  readonly header: { readonly start: number; readonly end: number };
  readonly parts: readonly PartSlices[];
}
