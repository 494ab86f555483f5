import { readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartNote, PartTimeline, Position } from "../model/score.js";
import { isPlayed } from "../timing/performed-notes.js";
import type { PageSign } from "./page-evidence.js";
import { resolveInstrument } from "./resolve-instrument.js";

/** What the player has in hand, and has had, the latest first. */
interface PlayedSoFar {
  readonly current: InstrumentId;
  readonly used: readonly InstrumentId[];
}

/**
 * A function that tells names over cue notes from labels of the player's own. A label over the first cue note
 * is the other player's; elsewhere one of another family means a change only where the part declares or has
 * used that instrument. Where the notes sound accordingly no name is a cue's.
 */
export function cueNames({ part, notes }: PartTimeline) {
  const places = placesOfCues(notes);
  const families = new Set(
    part.scoreInstruments.map(({ name }) => readInstrumentName(name)?.family),
  );
  return ({ takesEffect, kind, name, at }: PageSign, { current, used }: PlayedSoFar): boolean => {
    if (kind !== "words" || takesEffect !== "next-note" || name?.family === undefined) return false;
    if (places.has(placeKey(at))) return true;
    const meant = resolveInstrument({ name }, { current, used, transposition: undefined });
    if (!meant || INSTRUMENTS[meant.instrument].family === INSTRUMENTS[current].family) {
      return false;
    }
    return !families.has(name.family) && !used.includes(meant.instrument);
  };
}

/** Places where cue notes begin and the player has no note. */
function placesOfCues(notes: readonly PartNote[]): ReadonlySet<string> {
  const played = new Set(notes.filter(isPlayed).map(placeKey));
  return new Set(
    notes
      .filter(({ cue }) => cue)
      .map(placeKey)
      .filter((place) => !played.has(place)),
  );
}

function placeKey({ barIndex, offset }: Position): string {
  return `${barIndex} ${offset.toFraction()}`;
}
