import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartNote, SpelledPitch, Transposition } from "../model/score.js";
import { midiNumber, soundingPitch } from "../theory/pitch.js";

/** What stands over a note. */
export interface NoteReading {
  readonly instrument: InstrumentId;
  readonly soundingBy: Transposition;
  /** The transposition in force, whatever is in hand; undefined where none is printed. */
  readonly printed: Transposition | undefined;
  readonly inBassClef: boolean;
}

const OCTAVE = 12;

/**
 * Notes in bass clef whose file has the transposition of the treble-clef notation, which sounds an octave
 * lower than bass-clef parts do. They show where some of them lie below the instrument, and would not an
 * octave higher; then all of that kind are meant an octave higher.
 * @returns indices of those notes
 */
export function octaveLowNotes(
  notes: readonly PartNote[],
  readings: ReadonlyMap<number, NoteReading>,
): ReadonlySet<number> {
  const doubtful = [...readings].filter(([, reading]) => isDoubtful(reading));
  const shows = doubtful.some(([noteIndex, reading]) =>
    notes[noteIndex]?.pitches.some((written) => isTooLow(written, reading)),
  );
  return new Set(shows ? doubtful.map(([noteIndex]) => noteIndex) : []);
}

function isDoubtful({ instrument, soundingBy, inBassClef }: NoteReading): boolean {
  const { notations } = INSTRUMENTS[instrument];
  return (
    inBassClef &&
    notations.some((notation) => notation.inBassClef) &&
    notationFor(INSTRUMENTS[instrument], soundingBy) === notations[0]
  );
}

function isTooLow(written: SpelledPitch, { instrument, soundingBy }: NoteReading): boolean {
  const { notations, lowest } = INSTRUMENTS[instrument];
  const floor = midiNumber(soundingPitch(lowest, notations[0].transposition));
  const sounding = midiNumber(soundingPitch(written, soundingBy));
  return sounding < floor && sounding + OCTAVE >= floor;
}
