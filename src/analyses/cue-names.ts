import { isDoublerChair, readInstrumentName, readInstrumentNames } from "../instruments/names.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartTimeline } from "../model/score.js";
import { barsOfCues, placeKey, placesOfCues } from "./cue-places.js";
import type { PageSign } from "./page-evidence.js";
import { resolveInstrument } from "./resolve-instrument.js";

/** What the player has in hand, and has had, the latest first. */
interface PlayedSoFar {
  readonly current: InstrumentId;
  readonly used: readonly InstrumentId[];
}

/**
 * A function that tells names over cue notes from labels of the player's own. A label over the first cue note,
 * or in a bar of nothing but cues, is the other player's; elsewhere one of another family means a change only where the part declares or has
 * used that instrument, or is called by a chair that may hold any. Where the notes sound accordingly no name
 * is a cue's.
 */
export function cueNames({ part, notes }: PartTimeline) {
  const places = placesOfCues(notes);
  const bars = barsOfCues(notes);
  const families = new Set([
    ...part.scoreInstruments.map(({ name }) => readInstrumentName(name)?.family),
    ...readInstrumentNames(part.name).map(({ family }) => family),
  ]);
  const holdsAny = isDoublerChair(part.name);
  return (sign: PageSign, { current, used }: PlayedSoFar): boolean => {
    const { takesEffect, kind, name, at, onlyReturns } = sign;
    if (kind !== "words" || takesEffect !== "next-note" || name?.family === undefined) return false;
    if (onlyReturns) {
      const meant = resolveInstrument({ name }, { current, used, transposition: undefined });
      return meant === undefined || !used.includes(meant.instrument);
    }
    if (places.has(placeKey(at))) return true;
    // "Clarinet in A" just before the entry is the player's own; cues are headed without a key.
    if (bars.has(at.barIndex) && name.keyFifths === undefined) return true;
    if (holdsAny) return false;
    const meant = resolveInstrument({ name }, { current, used, transposition: undefined });
    if (!meant || INSTRUMENTS[meant.instrument].family === INSTRUMENTS[current].family) {
      return false;
    }
    return !families.has(name.family) && !used.includes(meant.instrument);
  };
}
