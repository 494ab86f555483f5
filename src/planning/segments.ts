import type { Transposition } from "../model/score.js";
import { SAME_PLACE_QUARTERS } from "../musicxml/placed-spans.js";

/** A place on the page in numbers: `at` is in quarters from the start of the bar. */
export interface Place {
  readonly barIndex: number;
  readonly at: number;
}

/** Where two places stand to each other. */
export function comparePlaced(a: Place, b: Place): number {
  if (a.barIndex !== b.barIndex) return a.barIndex - b.barIndex;
  return Math.abs(a.at - b.at) < SAME_PLACE_QUARTERS ? 0 : a.at - b.at;
}

/** How the notes of a segment are written anew. */
export interface Writing {
  readonly transposition: Transposition;
  /** By what the notes of the source sound, where that is not the transposition printed over them. */
  readonly soundsBy?: Transposition;
  /**
   * The sound of the part list that the notes name from now on; undefined where the list has none, and
   * what they name then.
   */
  readonly scoreInstrumentId: string | undefined;
  readonly withoutSound: "keep" | "take-out";
}

/** A stretch of the page under one writing, up to the next segment. */
export interface Segment {
  /** Where it begins: in the rest before its first note, where there is one. */
  readonly from: Place;
  /** Where its signs have to stand at the latest: its first note or the start of a bar. */
  readonly signsBy: Place;
  /** Where its first note is, which may be tied to one for another instrument; undefined where that is no matter. */
  readonly firstNote: Place | undefined;
  /** Undefined where the source stays as it is. */
  readonly writing: Writing | undefined;
}

/** The segment a place lies in; undefined before the first, where the source stays as it is. */
export function segmentAt(segments: readonly Segment[], place: Place): Segment | undefined {
  return segments.findLast(({ from }) => comparePlaced(from, place) <= 0);
}
