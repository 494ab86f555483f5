import { readChangeWords } from "../instruments/change-words.js";
import {
  instrumentsNamed,
  isForeignName,
  readInstrumentName,
  readInstrumentNames,
  type NamedInstrument,
} from "../instruments/names.js";
import { INSTRUMENTS, instrumentsForSound } from "../instruments/table.js";
import type { Notice } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartInfo, PartTimeline, Transposition } from "../model/score.js";
import { isPlayed } from "../timing/performed-notes.js";
import { placeKey, placesOfCues } from "./cue-places.js";
import { comparePlaces } from "./page-evidence.js";
import { resolveInstrument } from "./resolve-instrument.js";

/**
 * The instrument a part begins on, from the names in the part list and the first transposition; where
 * those name none, from the heading of the page and the words over the first note.
 * Where the two disagree the transposition is followed, since part names are often those of a template.
 *
 * @param transposition in force at the start; undefined when the file prints none at all
 * @throws InputError `unknown-instrument` when the names mean another instrument, or nothing means any
 */
export function firstInstrument(
  timeline: PartTimeline,
  transposition: Transposition | undefined,
): { readonly instrument: InstrumentId; readonly notices: readonly Notice[] } {
  const { part } = timeline;
  const declared = part.scoreInstruments[0];
  const listed = listedName(timeline, transposition);
  const isForeign = isForeignName(part.name);
  const name = listed ?? (isForeign ? undefined : nameOnPage(timeline));
  const sound = declared?.sound;
  const otherSound = sound !== undefined && instrumentsForSound(sound).length === 0;
  const resolved = resolveInstrument(
    { name, sound },
    { current: undefined, used: [], transposition },
  );
  const isNamed = name !== undefined || (sound !== undefined && !otherSound);
  const isAnother = !name && (otherSound || isForeign);
  if (!resolved || isAnother || (!isNamed && !transposition)) {
    throw new InputError(
      "unknown-instrument",
      `"${part.name || part.id}" names no woodwind instrument that is known here`,
      { part: part.id },
    );
  }
  const assumed: readonly Notice[] =
    listed || sound !== undefined
      ? []
      : [
          {
            kind: "instrument-assumed",
            instrument: resolved.instrument,
            by: name ? "words" : "transposition",
          },
        ];
  if (!isNamed || resolved.fitsTransposition) {
    return { instrument: resolved.instrument, notices: assumed };
  }
  const fits = likest(resolved.transpositionFits, resolved.instrument);
  const notice: Notice = {
    kind: "name-against-transposition",
    name: listed ? part.name : (part.headings?.[0] ?? part.name),
    transpositionFits: fits,
  };
  const { family } = INSTRUMENTS[resolved.instrument];
  const sameFamily = fits.find((id) => INSTRUMENTS[id].family === family);
  return { instrument: sameFamily ?? resolved.instrument, notices: [notice] };
}

/** What a part is called: in the part list, else on its first page. */
export function nameOfPart(timeline: PartTimeline): NamedInstrument | undefined {
  if (isForeignName(timeline.part.name)) return undefined;
  return listedName(timeline, undefined) ?? nameOnPage(timeline);
}

/**
 * The name in the part list. Of a book that holds several instruments, the one whose label stands over the
 * first note, else the first that the transposition fits.
 */
function listedName(
  timeline: PartTimeline,
  transposition: Transposition | undefined,
): NamedInstrument | undefined {
  const { name, abbreviation, scoreInstruments } = timeline.part;
  const names = readInstrumentNames(name);
  if (names.length > 1) {
    const label = nameOverFirstNote(timeline);
    const fitting = names.find(
      (each) =>
        transposition &&
        resolveInstrument({ name: each }, { current: undefined, used: [], transposition })
          ?.fitsTransposition,
    );
    return label ?? fitting ?? names[0];
  }
  return (
    names[0] ??
    readInstrumentName(scoreInstruments[0]?.name ?? "") ??
    readInstrumentName(abbreviation)
  );
}

/** The name at the head of the first page, or over the first note, where the part list has none. */
function nameOnPage(timeline: PartTimeline): NamedInstrument | undefined {
  const { headings = [] } = timeline.part;
  const [heading] = headings.flatMap((text) => readInstrumentName(text) ?? []);
  return heading ?? nameOverFirstNote(timeline);
}

function nameOverFirstNote({
  instructions,
  notes,
  bars,
}: PartTimeline): NamedInstrument | undefined {
  const cuePlaces = placesOfCues(notes);
  const first = notes.find(isPlayed);
  for (const { kind, text, at } of instructions) {
    if (first && comparePlaces(bars, at, first) > 0) break;
    if (cuePlaces.has(placeKey(at))) continue;
    const words = kind === "words" ? readChangeWords(text) : undefined;
    if (words?.kind === "change" && words.verb === "label") return words.name;
    // "Fl." alone may head a cue, but not over the player's own first note.
    const isOver = first !== undefined && comparePlaces(bars, at, first) === 0;
    const named = kind === "part-name-display" || isOver ? readInstrumentName(text) : undefined;
    if (named) return named;
  }
  return undefined;
}

/** What the part list says a part is for: the sounds it declares, and the instruments its name lists. */
export function declaredInstruments({ name, scoreInstruments }: PartInfo): readonly InstrumentId[] {
  const listed = readInstrumentNames(name).flatMap(instrumentsNamed);
  const declared = scoreInstruments.flatMap((each) => {
    const named = readInstrumentName(each.name);
    const bySound = instrumentsForSound(each.sound ?? "").map(({ id }) => id);
    return named ? instrumentsNamed(named) : bySound;
  });
  return [...new Set([...declared, ...listed])];
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
