import type { Disagreement, Evidence, Notice } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartNote, PartTimeline, Position, Transposition } from "../model/score.js";
import { isDoublerChair, namesBareB, readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import { endsMovement } from "../timing/movements.js";
import { isPositive, ZERO } from "../theory/fraction.js";
import { transpositionSemitones } from "../theory/pitch.js";
import { playedInOrder } from "../timing/performed-notes.js";
import { laterEndings } from "./endings.js";
import { whyBFlat } from "./bare-b.js";
import { cueNames } from "./cue-names.js";
import { declaredInstruments, firstInstrument } from "./first-instrument.js";
import { inForceAt } from "./in-force.js";
import { keyFits } from "./key-signatures.js";
import { readNotation, type Notation } from "./notation.js";
import { octaveLowNotes, type NoteReading } from "./octave-slip.js";
import { AS_WRITTEN, comparePlaces, pageSigns, type PageSign } from "./page-evidence.js";
import { fitsName, fitsNameAsUsual, fitsNameInSize, nameCandidates } from "./resolve-instrument.js";
import { PageCursor } from "./page-cursor.js";
import { decideSigns, isPrinted } from "./sign-decision.js";

/** A place on the page where the player takes another instrument. */
export interface InstrumentSwitch {
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly evidence: readonly Evidence[];
  /** The first sign of it that is printed, and where; missing where only the file knows. */
  readonly warning?: { readonly text: string; readonly at: Position };
  readonly disagreements: readonly Disagreement[];
}

/** Which instrument every note is played on, in the order of the page. */
export interface InstrumentsInHand {
  readonly instrumentOf: (noteIndex: number) => InstrumentId;
  /** How a note sounds: as printed, or as the instrument in hand sounds where the print is wrong. */
  readonly transpositionOf: (noteIndex: number) => Transposition;
  /** The transposition printed over a note; undefined when the file prints none, or notates as it sounds. */
  readonly printedTranspositionOf: (noteIndex: number) => Transposition | undefined;
  /** Whether a note in bass clef sounds an octave higher than the file says (see `octaveLowNotes`). */
  readonly isOctaveLow: (noteIndex: number) => boolean;
  /** Switches by the index of the first note played on the new instrument. */
  readonly switches: ReadonlyMap<number, InstrumentSwitch>;
  /** Index of the played note before each, on the page. */
  readonly previousOnPage: ReadonlyMap<number, number>;
  readonly notices: readonly Notice[];
}

/**
 * Follows the part as printed and decides at every note which instrument is in hand.
 *
 * Signs that govern the notes (a transposition, `<instrument-change>`, a note's instrument) and labels
 * ("in A") take effect at the next note played; words that prepare a change ("muta in La") at the first
 * note after a rest. Where words and transposition disagree the words are followed, since they are what
 * the player obeys, and the disagreement is kept.
 *
 * @throws InputError `unknown-instrument` when neither the names nor the transposition of the part
 *   mean a woodwind instrument of the table
 */
export function instrumentsInHand(timeline: PartTimeline): InstrumentsInHand {
  return new PageReader(timeline).read();
}

/** The silence before a note; at the start of the part it is long. */
type RestLength = "none" | "short" | "long";

/** A shorter rest is a breath, in which nobody looks for another instrument (common practice, no source). */
const LONG_REST_QUARTERS = 2;

/** A hostile file has any number of words before a note; no player minds more. */
const MOST_PENDING = 100;

/** What is in hand and in mind at a place on the page. */
interface Hands {
  readonly current: InstrumentId;
  /** Instruments played so far, the latest first. */
  readonly used: readonly InstrumentId[];
  readonly pending: readonly PageSign[];
}

class PageReader {
  private readonly switches = new Map<number, InstrumentSwitch>();
  private readonly previousOnPage = new Map<number, number>();
  private readonly byNote = new Map<number, NoteReading>();
  /** Words that wait for their transposition, with the first entry that was still played without. */
  private readonly passedOver = new Map<PageSign, Position>();
  private readonly notation: Notation;
  private readonly isCueName: ReturnType<typeof cueNames>;
  private readonly notices: Notice[] = [];
  private readonly cursor: PageCursor;
  private readonly declared: readonly InstrumentId[];
  private readonly holdsAny: boolean;
  private hands: Hands;
  /** Whether the other players' key says that the notes sound as printed, though other words are obeyed. */
  private trustsPrint = false;

  constructor(private readonly timeline: PartTimeline) {
    this.notation = readNotation(timeline);
    this.isCueName = cueNames(timeline);
    this.declared = declaredInstruments(timeline.part);
    this.holdsAny = isDoublerChair(timeline.part.name);
    const { signs, notices } = pageSigns(timeline, this.notation.transpositions);
    this.cursor = new PageCursor(timeline, this.notation, signs);
    const first = firstInstrument(timeline, this.cursor.transposition);
    this.notices.push(...this.notation.notices, ...notices, ...first.notices);
    this.hands = { current: first.instrument, used: [first.instrument], pending: [] };
  }

  read(): InstrumentsInHand {
    const { notes, bars, part } = this.timeline;
    const endings = laterEndings(bars);
    const rowStarts = new Set(endings.values());
    const beforeRow = new Map<number, Hands>();
    let bar = -1;
    let previous: number | undefined;
    let end: Position | undefined;
    // The first note says its instrument only where there is a choice.
    let scoreInstrumentId =
      part.scoreInstruments.length > 1 ? part.scoreInstruments[0]?.id : undefined;
    for (const noteIndex of playedInOrder(notes)) {
      const note = notes[noteIndex];
      if (!note) continue;
      for (; bar < note.barIndex; bar++) {
        if (rowStarts.has(bar + 1)) beforeRow.set(bar + 1, this.handsBefore(bar + 1));
        const rowStart = endings.get(bar + 1);
        if (rowStart !== undefined) this.enterLaterEnding(beforeRow.get(rowStart), bar + 1);
      }
      const at = { barIndex: note.barIndex, offset: note.offset };
      this.advance(at);
      if (note.scoreInstrumentId !== undefined && note.scoreInstrumentId !== scoreInstrumentId) {
        if (scoreInstrumentId !== undefined) this.addNoteInstrument(note, at);
        scoreInstrumentId = note.scoreInstrumentId;
      }
      const rest = end === undefined ? "long" : this.restBetween(end, at);
      const change = this.decide(at, rest);
      // Before the first note nothing is in hand yet: what is taken up then is no change.
      if (change && previous !== undefined) this.switches.set(noteIndex, change);
      if (previous !== undefined) this.previousOnPage.set(noteIndex, previous);
      this.byNote.set(noteIndex, this.reading(at));
      const noteEnd = { barIndex: note.barIndex, offset: note.offset.add(note.duration) };
      if (end === undefined || comparePlaces(bars, end, noteEnd) < 0) end = noteEnd;
      previous = noteIndex;
    }
    const start = { barIndex: 0, offset: ZERO };
    const readingOf = (noteIndex: number) => this.byNote.get(noteIndex) ?? this.reading(start);
    const octaveLow = octaveLowNotes(notes, this.byNote);
    if (octaveLow.size > 0) this.notices.push({ kind: "bass-clef-octave", count: octaveLow.size });
    return {
      instrumentOf: (noteIndex) => readingOf(noteIndex).instrument,
      transpositionOf: (noteIndex) => readingOf(noteIndex).soundingBy,
      printedTranspositionOf: (noteIndex) => readingOf(noteIndex).printed,
      isOctaveLow: (noteIndex) => octaveLow.has(noteIndex),
      switches: this.switches,
      previousOnPage: this.previousOnPage,
      notices: this.notices,
    };
  }

  /** What is in hand when a bar is reached from the one before, its own signs not yet read. */
  private handsBefore(barIndex: number): Hands {
    this.advance({ barIndex, offset: ZERO }, "before");
    return this.hands;
  }

  /** What an ending before says is for the way back, not for this one. */
  private enterLaterEnding(before: Hands | undefined, barIndex: number): void {
    this.advance({ barIndex, offset: ZERO }, "before");
    if (before) this.hands = before;
  }

  private advance(at: Position, how: "before" | "at" = "at"): void {
    this.addPending(this.cursor.advance(at, how));
  }

  private addPending(signs: readonly PageSign[]): void {
    if (signs.length === 0) return;
    const pending = this.hands.pending.concat(signs).slice(-MOST_PENDING);
    this.hands = { ...this.hands, pending };
  }

  private addNoteInstrument(note: PartNote, at: Position): void {
    const id = note.scoreInstrumentId;
    const declared = this.timeline.part.scoreInstruments.find((each) => each.id === id);
    if (!declared) return;
    const name = readInstrumentName(declared.name);
    const sign: PageSign = {
      at,
      kind: "note-instrument",
      text: declared.name || declared.sound || declared.id,
      takesEffect: "next-note",
      governs: true,
      ...(name && { name }),
      ...(declared.sound && { sound: declared.sound }),
    };
    this.addPending([sign]);
  }

  private restBetween(end: Position, at: Position): RestLength {
    const start = ({ barIndex, offset }: Position) =>
      (this.timeline.bars[barIndex]?.writtenQuarters ?? ZERO).add(offset);
    const { bars } = this.timeline;
    for (let k = end.barIndex; k < at.barIndex; k++) if (endsMovement(bars, k)) return "long";
    const quarters = start(at).sub(start(end));
    if (quarters.compare(LONG_REST_QUARTERS) >= 0) return "long";
    return isPositive(quarters) ? "short" : "none";
  }

  private decide(at: Position, rest: RestLength): InstrumentSwitch | undefined {
    const { current, used, pending } = this.hands;
    const { transposition, clef } = this.cursor;
    const governed = pending.some(({ governs }) => governs);
    const ripe = pending.filter((sign) => this.isRipe(sign, at, rest, governed));
    if (ripe.length === 0) return undefined;
    const waiting = pending.filter((sign) => !ripe.includes(sign));
    this.hands = { current, used, pending: waiting };
    const signs = ripe.filter((sign) => {
      const { name } = sign;
      const fits = !transposition || !name || fitsNameAsUsual(name, transposition, current);
      return (governed && fits) || !this.isCueName(sign, this.hands);
    });
    const understood = signs.filter(
      ({ name }) => !name || nameCandidates(name, current).length > 0,
    );
    for (const { kind, text, at: place } of signs.filter((sign) => !understood.includes(sign))) {
      if (kind !== "words") continue;
      this.notices.push({ kind: "instruction-unclear", text, barLabel: this.barLabel(place) });
    }
    if (understood.every(({ isUnclear }) => isUnclear)) return undefined;
    this.noteBareB(understood);
    const decision = decideSigns(
      understood,
      { current, used, declared: this.declared, holdsAny: this.holdsAny, transposition, clef },
      { at, labelOf: (place) => this.barLabel(place) },
    );
    if (!decision) {
      const semitones = transposition ? transpositionSemitones(transposition) : 0;
      this.notices.push({ kind: "transposition-unknown", semitones, barLabel: this.barLabel(at) });
      return undefined;
    }
    const to = decision.instrument;
    const disagreements = [
      ...decision.disagreements.map((each) => this.withKey(each, at)),
      ...this.earlyWords(signs, to, at),
    ];
    if (current === to) {
      for (const disagreement of disagreements) {
        this.notices.push({ kind: "disagreement", disagreement, barLabel: disagreement.barLabel });
      }
      return undefined;
    }
    this.trustsPrint = disagreements.some(
      (each) => each.kind === "words-against-transposition" && each.keyFits === "transposition",
    );
    this.hands = {
      current: to,
      used: [to, ...used.filter((each) => each !== to)],
      pending: waiting,
    };
    const warning = signs.find(isPrinted);
    return {
      from: current,
      to,
      evidence: signs.map((sign) => this.evidence(sign)),
      ...(warning && { warning: { text: warning.text, at: warning.at } }),
      disagreements,
    };
  }

  /** Whether a sign takes effect at this note. */
  private isRipe(sign: PageSign, at: Position, rest: RestLength, governed: boolean): boolean {
    if (sign.takesEffect === "next-note") return true;
    const fits = sign.name !== undefined && this.fits(sign.name, this.cursor.transposition);
    if (governed && fits) return true;
    const stands = comparePlaces(this.timeline.bars, sign.at, at);
    // A name over an entry is a label where it is that of what is in hand already; it prepares nothing.
    if (stands === 0 && rest !== "none" && fits && this.isInHand(sign)) return true;
    // Words over a note that is being played prepare what follows it; at the end of a bar they are before it.
    const isBefore = sign.at.barIndex < at.barIndex || stands < 0;
    if (rest === "none" || !isBefore) return false;
    // Words may come early: where the transposition they ask for is still to come, they wait for it.
    if (fits || !this.comesLater(sign)) return true;
    if (rest === "long" && !this.passedOver.has(sign)) this.passedOver.set(sign, at);
    return false;
  }

  private isInHand({ name }: PageSign): boolean {
    const { current } = this.hands;
    return name !== undefined && nameCandidates(name, current).includes(current);
  }

  private fits(
    name: NonNullable<PageSign["name"]>,
    transposition: Transposition | undefined,
  ): boolean {
    const { current } = this.hands;
    const { clef } = this.cursor;
    return transposition !== undefined && fitsName(name, { transposition, current, clef });
  }

  /** Whether the next transposition on the page is the one that words ask for. */
  private comesLater({ name }: PageSign): boolean {
    const next = this.cursor.upcoming();
    return (
      name !== undefined &&
      next?.transposition !== undefined &&
      fitsNameInSize(name, {
        transposition: next.transposition,
        current: this.hands.current,
        clef: this.cursor.clef,
      })
    );
  }

  /** A bare "B" is B-flat wherever it stands; the first time the report says why. */
  private noteBareB(signs: readonly PageSign[]): void {
    if (this.notices.some(({ kind }) => kind === "bare-b")) return;
    const sign = signs.find(({ kind, text }) => kind === "words" && namesBareB(text));
    if (!sign) return;
    const because = whyBFlat(sign, this.timeline, this.cursor.transposition);
    this.notices.push({
      kind: "bare-b",
      text: sign.text,
      because,
      barLabel: this.barLabel(sign.at),
    });
  }

  /** The key signature may tell which of words and transposition is right. */
  private withKey(disagreement: Disagreement, at: Position): Disagreement {
    if (disagreement.kind !== "words-against-transposition") return disagreement;
    const right = keyFits(this.timeline, disagreement, at);
    return right ? { ...disagreement, keyFits: right } : disagreement;
  }

  /** Words that an entry was played without. */
  private earlyWords(
    signs: readonly PageSign[],
    wordsMean: InstrumentId,
    at: Position,
  ): readonly Disagreement[] {
    return signs.flatMap((sign) => {
      const passed = this.passedOver.get(sign);
      if (!passed) return [];
      this.passedOver.delete(sign);
      return [
        {
          kind: "words-before-transposition",
          barIndex: at.barIndex,
          barLabel: this.barLabel(at),
          words: sign.text,
          wordsBarLabel: this.barLabel(sign.at),
          wordsMean,
          passedBarLabel: this.barLabel(passed),
        },
      ];
    });
  }

  private evidence({ kind, at, text }: PageSign): Evidence {
    return { kind, barIndex: at.barIndex, barLabel: this.barLabel(at), text };
  }

  private barLabel({ barIndex }: Position): string {
    return this.timeline.bars[barIndex]?.barLabel ?? "";
  }

  private reading(at: Position): NoteReading {
    return {
      instrument: this.hands.current,
      soundingBy: this.soundingBy(at),
      printed: this.cursor.transposition,
      inBassClef: this.cursor.inBassClef ?? false,
    };
  }

  private soundingBy(at: Position): Transposition {
    if (this.notation.atSoundingPitch) {
      // A score in C may still write a piccolo or a bass clarinet in another octave.
      const { bars, transpositions } = this.timeline;
      const octaves = inForceAt(transpositions, bars, at);
      return octaves?.value ?? AS_WRITTEN;
    }
    const printed = this.cursor.transposition;
    if (printed && this.trustsPrint) return printed;
    const instrument = INSTRUMENTS[this.hands.current];
    if (printed && notationFor(instrument, printed)) return printed;
    const inClef = instrument.notations.find(
      (notation) => notation.inBassClef === (this.cursor.inBassClef ?? false),
    );
    const [usual] = instrument.notations;
    return (printed ? usual : (inClef ?? usual)).transposition;
  }
}
