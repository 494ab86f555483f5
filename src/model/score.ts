import type { Fraction } from "./fraction.js";
import type { Notice } from "./finding.js";
import type { PauseSign, TempoSign } from "./tempo.js";

/** The seven letters of a written or sounding pitch. */
export type Step = "C" | "D" | "E" | "F" | "G" | "A" | "B";

/** A spelled pitch. `alter` is in semitones (1 = sharp); `octave` 4 begins at middle C. */
export interface SpelledPitch {
  readonly step: Step;
  readonly alter: number;
  readonly octave: number;
}

/**
 * What turns a written pitch into a sounding one: sounding = written + transposition.
 * The octaves are apart from the two steps, as in the MusicXML 4.0 `<transpose>` element:
 * a bass clarinet in treble clef is `{ diatonic: -1, chromatic: -2, octaveChange: -1 }`.
 */
export interface Transposition {
  readonly diatonic: number;
  readonly chromatic: number;
  readonly octaveChange: number;
}

/** A place on the printed page. `offset` is in quarters from the start of the bar. */
export interface Position {
  readonly barIndex: number;
  readonly offset: Fraction;
}

/** A sound the file declares for a part (`<score-instrument>`). */
export interface ScoreInstrument {
  readonly id: string;
  readonly name: string;
  /** Identifier of the MusicXML standard sounds list, such as `wind.reed.clarinet.a`. */
  readonly sound?: string;
}

/** What the file says about a part before its first bar. */
export interface PartInfo {
  readonly id: string;
  readonly name: string;
  readonly abbreviation: string;
  readonly scoreInstruments: readonly ScoreInstrument[];
  /** What stands at the head of the page, in a file of one part; its instrument may be among it. */
  readonly headings?: readonly string[];
  /** Of a staff that several players read: the one whose notes these are. */
  readonly player?: number;
}

/** Titles, as printed; empty when the file has none. */
export interface ScoreTitles {
  readonly title: string;
  readonly movement: string;
}

/** A meter as printed. An unmetered bar (`senza misura`) has `unmetered` and no sum. */
export interface Meter {
  /** As the player sees it: `3/4`, `3+2/8`, `senza misura`. */
  readonly label: string;
  /** Quarters in a full bar. */
  readonly barQuarters: Fraction;
  /** Quarters in the beat the player counts: a dotted quarter in 6/8, 9/8 and 12/8. */
  readonly beatQuarters: Fraction;
  readonly unmetered: boolean;
}

/** A repeat that closes at the end of a bar. */
export interface RepeatEnd {
  /** How often the section is played in all; two where nothing is said. */
  readonly times?: number;
  /** Whether it is taken again after a jump (`after-jump`). */
  readonly afterJump: boolean;
}

/** An ending bracket (first, second time ...) as far as it concerns one bar. */
export interface EndingMark {
  /** The times through for which the bracket holds. */
  readonly passes: readonly number[];
}

/** Where to go on, printed at a bar: by `<sound>`, or by words and signs alone. */
export interface Jumps {
  readonly segno?: string;
  readonly coda?: string;
  readonly daCapo: boolean;
  readonly dalSegno?: string;
  readonly toCoda?: string;
  readonly fine: boolean;
  /** Whether repeats are taken again after the jump ("con repetizione"); left out where nothing is said. */
  readonly withRepeats?: boolean;
}

/** A measure as the player sees it, in the order of the file. */
export interface Bar {
  /** 0-based position in the file. */
  readonly barIndex: number;
  /** The printed number, which need not be a number. */
  readonly barLabel: string;
  /** Quarters from the first bar of the file, every bar once. */
  readonly writtenQuarters: Fraction;
  readonly lengthQuarters: Fraction;
  readonly meter: Meter;
  readonly repeatStart: boolean;
  readonly repeatEnd?: RepeatEnd;
  readonly endingStart?: EndingMark;
  readonly endingStop: boolean;
  readonly jumps?: Jumps;
  /** Closed by a final barline, which need not be the end of the file. */
  readonly finalBarline?: boolean;
  /** Closed by two thin lines. */
  readonly doubleBarline?: boolean;
  readonly newPage: boolean;
  readonly rehearsal?: string;
}

/** Signs at a note that say how it is attacked; named as in MusicXML 4.0, `<articulations>`. */
export type Articulation =
  | "staccato"
  | "staccatissimo"
  | "tenuto"
  | "accent"
  | "strong-accent"
  | "detached-legato"
  | "spiccato";

/** Signs that stand for a few notes round the printed one: a turn for four, a mordent for three. */
export type Ornament = "turn" | "inverted-turn" | "mordent" | "inverted-mordent";

export interface Trill {
  /** Semitones by which the accidental printed with the sign alters the other note: 1 for a sharp. */
  readonly accidental?: number;
  /** The wavy line alone goes on or ends here: the trill began at a note before. */
  readonly continues: boolean;
}

export interface Tremolo {
  /** Strokes through the stem, or between two stems; 0 for an unmeasured tremolo. */
  readonly strokes: number;
  /** On one note, or between the two notes at which it starts and stops. */
  readonly kind: "single" | "start" | "stop" | "unmeasured";
}

/** What is printed at a note beyond its pitch and length; only what there is. */
export interface NoteMarks {
  /** Slurs that begin here; of a chord, the most that begin at one of its notes. */
  readonly slurStarts?: number;
  /**
   * Slurs that end here, counted likewise. A slur whose end stands at a rest ends at no note, so
   * starts and stops need not balance.
   */
  readonly slurStops?: number;
  /** Each kind once, in the order of the file; a breath mark is a pause (see `PauseSign`). */
  readonly articulations?: readonly Articulation[];
  readonly trill?: Trill;
  readonly ornament?: Ornament;
  readonly tremolo?: Tremolo;
}

/** A note or chord of the part; rests are what is left between them. */
export interface PartNote {
  readonly barIndex: number;
  /** Quarters from the start of the bar. */
  readonly offset: Fraction;
  /** Quarters; zero for a grace note. */
  readonly duration: Fraction;
  readonly voice: string;
  readonly staff: number;
  /** As notated, highest first; empty when the note has no pitch. */
  readonly pitches: readonly SpelledPitch[];
  readonly grace: boolean;
  /** Small notes of another player, for orientation only. */
  readonly cue: boolean;
  readonly hidden: boolean;
  readonly tiedFromBefore: boolean;
  readonly tiedToNext: boolean;
  readonly scoreInstrumentId?: string;
  /** In one field, so that notes are of few shapes: whoever walks through all of them is quicker for it. */
  readonly marks?: NoteMarks;
}

/** A rest of one voice. */
export interface PartRest {
  readonly barIndex: number;
  readonly offset: Fraction;
  readonly duration: Fraction;
  readonly voice: string;
  readonly staff: number;
  readonly hidden: boolean;
}

/** A value that holds from a place on the page until the next of its kind. */
export interface FromHere<T> {
  readonly at: Position;
  readonly value: T;
  /** The staff it is for, where a part has several and the file says which. */
  readonly staff?: number;
}

/** Levels that last, from the softest; softer and louder ones than these count as the outermost. */
export const DYNAMICS = ["pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff"] as const;

export type Dynamic = (typeof DYNAMICS)[number];

/** A printed dynamic, or what remains after an accent: p after fp. */
export interface PrintedDynamic extends FromHere<Dynamic> {
  /** The staff it stands at, where the file says so. */
  readonly staff?: number;
}

/** A hairpin. */
export interface Swell {
  readonly from: Position;
  readonly to: Position;
  readonly kind: "crescendo" | "diminuendo";
  /** The staff it stands at, where the file says so. */
  readonly staff?: number;
}

/** Words, or another printed sign, that may ask for a change of instrument. */
export interface PrintedInstruction {
  readonly at: Position;
  readonly kind: "words" | "part-name-display" | "instrument-change";
  /** The text as printed; for `instrument-change` the standard sound. */
  readonly text: string;
  /** For `instrument-change`: the `<score-instrument>` it names. */
  readonly scoreInstrumentId?: string;
  /** The staff it stands at, where the file says so. */
  readonly staff?: number;
}

/** Everything one player reads, in the order of the page. */
export interface PartTimeline {
  readonly part: PartInfo;
  readonly bars: readonly Bar[];
  readonly notes: readonly PartNote[];
  /** Rests as written out in each voice; what is silent otherwise lies between the notes. */
  readonly rests: readonly PartRest[];
  readonly transpositions: readonly FromHere<Transposition>[];
  /** Of a score at sounding pitch: how the part made from it will be transposed (`<for-part>`). */
  readonly partTranspositions: readonly FromHere<Transposition>[];
  /** Whether the notes are read in a bass clef. */
  readonly bassClefs: readonly FromHere<boolean>[];
  /** Written key signature in fifths; null where the signature is not a traditional one. */
  readonly keys: readonly FromHere<number | null>[];
  readonly instructions: readonly PrintedInstruction[];
  /** The player's own, as signs or spelled as words; cue notes have none. */
  readonly dynamics: readonly PrintedDynamic[];
  /** Hairpins, by where they begin; "cresc." and "dim." are words and stay among the instructions. */
  readonly swells: readonly Swell[];
  /** From every part that was read, in the order of the page; one for each place. */
  readonly tempoSigns: readonly TempoSign[];
  /** From every part that was read; one of a kind for each place. Breath marks are the player's own. */
  readonly pauses: readonly PauseSign[];
  /** Pages of the file are the player's pages only when the file is one part. */
  readonly pagesArePlayers: boolean;
  /** Whether the file notates at sounding pitch (`<concert-score>`). */
  readonly concertScore: boolean;
  /** Sounding key signature of the other players, in fifths; null where they do not agree on one. */
  readonly scoreKeys: readonly FromHere<number | null>[];
  /** Whether the file has other parts, and whether one of those prints a transposition. */
  readonly otherParts: "none" | "as-written" | "transposed";
  readonly notices: readonly Notice[];
}
