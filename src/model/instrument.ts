import type { SpelledPitch, Transposition } from "./score.js";

/** Every instrument the tool knows, by the ids used in output and profiles. */
export const INSTRUMENT_IDS = [
  "clarinet-bflat",
  "clarinet-a",
  "clarinet-eflat",
  "clarinet-d",
  "clarinet-c",
  "clarinet-aflat",
  "bass-clarinet-bflat",
  "bass-clarinet-a",
  "basset-horn-f",
  "basset-clarinet-a",
  "alto-clarinet-eflat",
  "contra-alto-clarinet-eflat",
  "contrabass-clarinet-bflat",
  "flute",
  "piccolo",
  "alto-flute",
  "oboe",
  "oboe-damore",
  "english-horn",
  "bassoon",
  "contrabassoon",
  "saxophone-soprano",
  "saxophone-alto",
  "saxophone-tenor",
  "saxophone-baritone",
] as const;
export type InstrumentId = (typeof INSTRUMENT_IDS)[number];

/** Players double inside a family, and sometimes across. */
export type InstrumentFamily = "clarinet" | "flute" | "oboe" | "bassoon" | "saxophone";

/** One notation of an instrument: which clef convention, and what it then sounds like. */
export interface InstrumentNotation {
  /** Such as "treble clef, sounds a major ninth lower". */
  readonly description: string;
  readonly transposition: Transposition;
  /** Whether it is read in bass clef, the other notation of some low clarinets. */
  readonly inBassClef: boolean;
}

/** A row of the instrument table. Pitches are written, in the first notation. */
export interface Instrument {
  readonly id: InstrumentId;
  /** As an English-speaking player says it: "B-flat clarinet". */
  readonly name: string;
  /** For narrow columns: "B♭", "A", "bass". */
  readonly shortName: string;
  readonly family: InstrumentFamily;
  /** The usual notation first. */
  readonly notations: readonly [InstrumentNotation, ...InstrumentNotation[]];
  /** Position of the instrument's own key on the line of fifths: B-flat is -2, A is 3. */
  readonly keyFifths: number;
  readonly lowest: SpelledPitch;
  readonly highest: SpelledPitch;
  /** Identifiers of the MusicXML standard sounds list that mean this instrument. */
  readonly sounds: readonly string[];
  /** Instruments whose music this one may take over without changing the sound meant. */
  readonly standInGroup?: string;
  readonly source: string;
}
