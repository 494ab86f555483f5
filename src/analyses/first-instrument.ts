import { isForeignName, readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS, instrumentsForSound } from "../instruments/table.js";
import type { Notice } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartTimeline, Transposition } from "../model/score.js";
import { resolveInstrument } from "./resolve-instrument.js";

/**
 * The instrument a part begins on, from the names in the part list and the first transposition.
 * Where the two disagree the transposition is followed, since part names are often those of a template.
 *
 * @param transposition in force at the start; undefined when the file prints none at all
 * @throws InputError `unknown-instrument` when the names mean another instrument, or nothing means any
 */
export function firstInstrument(
  { part, concertScore }: PartTimeline,
  transposition: Transposition | undefined,
): { readonly instrument: InstrumentId; readonly notices: readonly Notice[] } {
  const declared = part.scoreInstruments[0];
  const name =
    readInstrumentName(part.name) ??
    readInstrumentName(declared?.name ?? "") ??
    readInstrumentName(part.abbreviation);
  const sound = declared?.sound;
  const otherSound = sound !== undefined && instrumentsForSound(sound).length === 0;
  const resolved = resolveInstrument(
    { name, sound },
    { current: undefined, used: [], transposition },
  );
  const isNamed = name !== undefined || (sound !== undefined && !otherSound);
  const isAnother = !name && (otherSound || isForeignName(part.name));
  if (!resolved || isAnother || (!isNamed && !transposition)) {
    throw new InputError(
      "unknown-instrument",
      `"${part.name || part.id}" names no woodwind instrument that is known here`,
      { part: part.id },
    );
  }
  if (!isNamed) {
    const { instrument } = resolved;
    return { instrument, notices: [{ kind: "instrument-assumed", instrument }] };
  }
  if (resolved.fitsTransposition || concertScore) {
    return { instrument: resolved.instrument, notices: [] };
  }
  const fits = likest(resolved.transpositionFits, resolved.instrument);
  const notice: Notice = {
    kind: "name-against-transposition",
    name: part.name,
    transpositionFits: fits,
  };
  const { family } = INSTRUMENTS[resolved.instrument];
  const sameFamily = fits.find((id) => INSTRUMENTS[id].family === family);
  return { instrument: sameFamily ?? resolved.instrument, notices: [notice] };
}

/** Of several instruments that a transposition fits, those most like the one in question. */
export function likest(
  fits: readonly InstrumentId[],
  instrument: InstrumentId,
): readonly InstrumentId[] {
  const { standInGroup, family } = INSTRUMENTS[instrument];
  const groups = [
    fits.filter(
      (id) => standInGroup !== undefined && INSTRUMENTS[id].standInGroup === standInGroup,
    ),
    fits.filter((id) => INSTRUMENTS[id].family === family),
  ];
  return groups.find((group) => group.length > 0) ?? fits;
}
