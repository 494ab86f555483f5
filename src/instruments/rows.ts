import type { Instrument, InstrumentNotation } from "../model/instrument.js";
import { parsePitch, transpositionFifths } from "../theory/pitch.js";

/** Where the facts of the table come from; each row's `source` joins what holds for it. */
export const SOURCES = {
  /** W3C Music Notation Community Group, MusicXML 4.0 (2021): `<transpose>` pages, sounds.xml. */
  musicxml: "MusicXML 4.0 <transpose> and sounds.xml (W3C, 2021)",
  /** Sounding range, transposition and clef of an open-source notation program's data file. */
  dataFile: "instruments.xml of an open notation program (range, transposition)",
  /** Lowest note and interval. */
  music21: "music21 instrument.py, 2026 (lowest note, interval)",
  grove: "Grove, Dictionary of Music and Musicians I (1879/1900), p. 362",
  britannica: "Encyclopaedia Britannica 11th ed. III (1911), Bass Clarinet",
  commonHigh: "high note: common practice, no source",
  memory: "range and transposition: from memory",
} as const;

/** A row as typed in the tables: pitches by name, transpositions as the numbers of `<transpose>`. */
interface Row extends Pick<
  Instrument,
  "id" | "name" | "shortName" | "family" | "sounds" | "standInGroup"
> {
  /** Each: description, diatonic, chromatic, octave change. The usual notation first. */
  readonly notations: readonly [NotationRow, ...NotationRow[]];
  /** Lowest and highest written note of a professional's instrument, in the first notation. */
  readonly range: readonly [string, string];
  readonly sources: readonly string[];
}
type NotationRow = readonly [
  description: string,
  diatonic: number,
  chromatic: number,
  octaveChange: number,
];

function notation([description, diatonic, chromatic, octaveChange]: NotationRow) {
  return {
    description,
    transposition: { diatonic, chromatic, octaveChange },
    inBassClef: description.startsWith("bass clef"),
  };
}

/** Builds an instrument from a row; the key follows from the first transposition. */
export function instrument({ notations, range, sources, ...facts }: Row): Instrument {
  const [first, ...others] = notations;
  const usual: InstrumentNotation = notation(first);
  return {
    ...facts,
    notations: [usual, ...others.map(notation)],
    keyFifths: transpositionFifths(usual.transposition),
    lowest: parsePitch(range[0]),
    highest: parsePitch(range[1]),
    source: sources.join("; "),
  };
}
