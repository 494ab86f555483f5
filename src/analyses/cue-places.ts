import type { PartNote, Position } from "../model/score.js";
import { isPlayed } from "../timing/performed-notes.js";

/** Places where cue notes begin and the player has no note. */
export function placesOfCues(notes: readonly PartNote[]): ReadonlySet<string> {
  const played = new Set(notes.filter(isPlayed).map(placeKey));
  return new Set(
    notes
      .filter(({ cue }) => cue)
      .map(placeKey)
      .filter((place) => !played.has(place)),
  );
}

/** Bars in which the player has cue notes and nothing to play. */
export function barsOfCues(notes: readonly PartNote[]): ReadonlySet<number> {
  const played = new Set(notes.filter(isPlayed).map(({ barIndex }) => barIndex));
  return new Set(
    notes
      .filter(({ cue, barIndex }) => cue && !played.has(barIndex))
      .map(({ barIndex }) => barIndex),
  );
}

/** A place as the key of a set. */
export function placeKey({ barIndex, offset }: Position): string {
  return `${barIndex} ${offset.toFraction()}`;
}
