import type { PauseSign } from "../model/tempo.js";
import { groupBy } from "../theory/search.js";

/** A pause before it has its place, and whether the part that is read prints it. */
export interface PlacedPause extends Omit<PauseSign, "at"> {
  readonly isOwn: boolean;
}

/**
 * The pauses of all parts, as the players feel them. Where the part that is read prints its own in a
 * bar, those hold; in others a bar has one of a kind, at its last place: the parts put one hold of the
 * conductor's over whatever note they have there (common practice, no source).
 * @param pauses in the order of the page
 */
export function mergePauses(
  pauses: readonly (PlacedPause & Pick<PauseSign, "at">)[],
): readonly PauseSign[] {
  const byBar = groupBy(pauses, ({ at, sign }) => `${at.barIndex} ${sign}`);
  return [...byBar.values()].flatMap((inBar) => {
    const own = inBar.filter(({ isOwn }) => isOwn);
    const kept = own.length > 0 ? differentPlaces(own) : inBar.slice(-1);
    return kept.map(({ at, partId, sign }) => ({ at, partId, sign }));
  });
}

function differentPlaces<T extends Pick<PauseSign, "at">>(pauses: readonly T[]): readonly T[] {
  return pauses.filter((pause, k) => {
    const before = pauses[k - 1];
    return !before?.at.offset.equals(pause.at.offset);
  });
}
