import type { Instrument, InstrumentId, InstrumentNotation } from "../model/instrument.js";
import type { Transposition } from "../model/score.js";
import { sameTransposition } from "../theory/pitch.js";
import { CLARINET_ROWS } from "./table-clarinets.js";
import { DOUBLE_ROWS } from "./table-doubles.js";

/** Every instrument by its id. Ranges are written, in the instrument's first notation. */
export const INSTRUMENTS: Readonly<Record<InstrumentId, Instrument>> = {
  ...CLARINET_ROWS,
  ...DOUBLE_ROWS,
};

/**
 * Which instrument to think of first when a file leaves it open: the orchestra's standard ones,
 * then the usual doubles, then the rare ones. Common practice, no source.
 */
const USUAL_FIRST: readonly InstrumentId[] = [
  "clarinet-bflat",
  "clarinet-a",
  "flute",
  "oboe",
  "bassoon",
  "clarinet-eflat",
  "bass-clarinet-bflat",
  "piccolo",
  "english-horn",
  "contrabassoon",
  "saxophone-alto",
  "saxophone-tenor",
  "saxophone-soprano",
  "saxophone-baritone",
  "alto-flute",
  "clarinet-c",
  "clarinet-d",
  "basset-horn-f",
  "oboe-damore",
  "basset-clarinet-a",
  "alto-clarinet-eflat",
  "bass-clarinet-a",
  "contra-alto-clarinet-eflat",
  "contrabass-clarinet-bflat",
  "clarinet-aflat",
];

/** All instruments, the most usual first. */
export const instrumentList: readonly Instrument[] = USUAL_FIRST.map((id) => INSTRUMENTS[id]);

/** Sound ids met in files of one widely used library, which the standard list does not have. */
const SOUND_ALIASES: ReadonlyMap<string, string> = new Map([
  ["wind.flutes.piccolo", "wind.flutes.flute.piccolo"], // music21, as its 2026 sources have it
]);

/**
 * The notation of an instrument that sounds so, or undefined when none of its notations does:
 * a bass clarinet with (-1, -2, octave 0) is in bass clef.
 */
export function notationFor(
  instrument: Instrument,
  transposition: Transposition,
): InstrumentNotation | undefined {
  return instrument.notations.find((notation) =>
    sameTransposition(notation.transposition, transposition),
  );
}

/**
 * Instruments that can be notated with this transposition. Those whose usual notation it is come
 * first, and among equals the most usual: (-1, -2, 0) gives the B-flat clarinet before the soprano
 * saxophone, and then the bass clarinet in bass clef.
 * @param inBassClef whether the notes are read in bass clef; undefined when the file does not say
 */
export function instrumentsFor(
  transposition: Transposition,
  inBassClef?: boolean,
): readonly Instrument[] {
  const usual: Instrument[] = [];
  const other: Instrument[] = [];
  for (const instrument of instrumentList) {
    const notation = notationFor(instrument, transposition);
    if (!notation) continue;
    const isUsual = notation === instrument.notations[0];
    if (!isUsual && notation.inBassClef && inBassClef === false) continue;
    (isUsual ? usual : other).push(instrument);
  }
  return [...usual, ...other];
}

/**
 * Instruments a MusicXML standard sound may mean, the most usual first: several for the
 * unspecific `wind.reed.clarinet`, none for an id outside the table.
 */
export function instrumentsForSound(soundId: string): readonly Instrument[] {
  const standard = SOUND_ALIASES.get(soundId) ?? soundId;
  return instrumentList.filter((instrument) => instrument.sounds.includes(standard));
}
