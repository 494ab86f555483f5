import type { Disagreement, Evidence, Notice } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartNote, PartTimeline, Position, Transposition } from "../model/score.js";
import { readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import { ZERO } from "../theory/fraction.js";
import { transpositionSemitones } from "../theory/pitch.js";
import { playedInOrder } from "../timing/performed-notes.js";
import { laterEndings } from "./endings.js";
import { firstInstrument, likest } from "./first-instrument.js";
import {
  AS_WRITTEN,
  comparePlaces,
  firstTransposition,
  pageSigns,
  type PageSign,
} from "./page-evidence.js";
import {
  fitsName,
  fitsNameInSize,
  resolveInstrument,
  type ResolvedInstrument,
} from "./resolve-instrument.js";

/** A place on the page where the player takes another instrument. */
export interface InstrumentSwitch {
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly evidence: readonly Evidence[];
  readonly disagreements: readonly Disagreement[];
}

/** Which instrument every note is played on, in the order of the page. */
export interface InstrumentsInHand {
  readonly instrumentOf: (noteIndex: number) => InstrumentId;
  /** How a note sounds: as printed, or as the instrument in hand sounds where the print is wrong. */
  readonly transpositionOf: (noteIndex: number) => Transposition;
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
  private readonly byNote = new Map<number, InstrumentId>();
  private readonly transpositionByNote = new Map<number, Transposition>();
  private readonly notices: Notice[] = [];
  private readonly signs: readonly PageSign[];
  private readonly players: readonly number[] | undefined;
  private nextSign = 0;
  private nextTransposition = 0;
  private transposition: Transposition | undefined;
  private nextClef = 0;
  private inBassClef: boolean | undefined;
  private hands: Hands;

  constructor(private readonly timeline: PartTimeline) {
    const { signs, notices } = pageSigns(timeline);
    this.signs = signs;
    this.players = readInstrumentName(timeline.part.name)?.players;
    this.transposition = firstTransposition(timeline);
    const first = firstInstrument(timeline, this.transposition);
    this.notices.push(...notices, ...first.notices);
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
      this.readSignsUpTo(at);
      if (note.scoreInstrumentId !== undefined && note.scoreInstrumentId !== scoreInstrumentId) {
        if (scoreInstrumentId !== undefined) this.addNoteInstrument(note, at);
        scoreInstrumentId = note.scoreInstrumentId;
      }
      const afterRest = end === undefined || comparePlaces(bars, end, at) < 0;
      const change = this.decide(at, afterRest);
      // Before the first note nothing is in hand yet: what is taken up then is no change.
      if (change && previous !== undefined) this.switches.set(noteIndex, change);
      if (previous !== undefined) this.previousOnPage.set(noteIndex, previous);
      this.byNote.set(noteIndex, this.hands.current);
      this.transpositionByNote.set(noteIndex, this.soundingBy());
      const noteEnd = { barIndex: note.barIndex, offset: note.offset.add(note.duration) };
      if (end === undefined || comparePlaces(bars, end, noteEnd) < 0) end = noteEnd;
      previous = noteIndex;
    }
    return {
      instrumentOf: (noteIndex) => this.byNote.get(noteIndex) ?? this.hands.current,
      transpositionOf: (noteIndex) => this.transpositionByNote.get(noteIndex) ?? this.soundingBy(),
      switches: this.switches,
      previousOnPage: this.previousOnPage,
      notices: this.notices,
    };
  }

  /** What is in hand when a bar is reached from the one before, its own signs not yet read. */
  private handsBefore(barIndex: number): Hands {
    this.readSignsUpTo({ barIndex, offset: ZERO }, "before");
    return this.hands;
  }

  /** What an ending before says is for the way back, not for this one. */
  private enterLaterEnding(before: Hands | undefined, barIndex: number): void {
    this.readSignsUpTo({ barIndex, offset: ZERO }, "before");
    if (before) this.hands = before;
  }

  private readSignsUpTo(at: Position, how: "before" | "at" = "at"): void {
    const { bars, transpositions } = this.timeline;
    const reached = (place: Position) => {
      const order = comparePlaces(bars, place, at);
      return how === "at" ? order <= 0 : order < 0;
    };
    for (;;) {
      const sign = this.signs[this.nextSign];
      if (!sign || !reached(sign.at)) break;
      if (this.concernsPlayer(sign)) {
        this.hands = { ...this.hands, pending: [...this.hands.pending, sign] };
      }
      this.nextSign++;
    }
    for (;;) {
      const next = transpositions[this.nextTransposition];
      if (!next || !reached(next.at)) break;
      this.transposition = next.value;
      this.nextTransposition++;
    }
    for (;;) {
      const next = this.timeline.bassClefs[this.nextClef];
      if (!next || !reached(next.at)) break;
      this.inBassClef = next.value;
      this.nextClef++;
    }
  }

  /** "2. muta in Es" is nothing to the first player. */
  private concernsPlayer({ players }: PageSign): boolean {
    const own = this.players;
    return !players || !own || players.some((player) => own.includes(player));
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
    this.hands = { ...this.hands, pending: [...this.hands.pending, sign] };
  }

  private decide(at: Position, afterRest: boolean): InstrumentSwitch | undefined {
    const { current, used, pending } = this.hands;
    const governed = pending.some(({ governs }) => governs);
    const ripe = pending.filter((sign) => this.isRipe(sign, at, afterRest, governed));
    if (ripe.length === 0) return undefined;
    const waiting = pending.filter((sign) => !ripe.includes(sign));
    this.hands = { current, used, pending: waiting };
    const signs = ripe.filter((sign) => !this.isCueName(sign, governed));
    if (signs.length === 0) return undefined;
    const resolved = resolveInstrument(
      {
        // What is printed later stands.
        name: signs.findLast(({ name }) => name !== undefined)?.name,
        sound: signs.findLast(({ sound }) => sound !== undefined)?.sound,
      },
      { current, used, transposition: this.transposition, inBassClef: this.inBassClef },
    );
    if (!resolved) {
      const semitones = this.transposition ? transpositionSemitones(this.transposition) : 0;
      this.notices.push({ kind: "transposition-unknown", semitones, barLabel: this.barLabel(at) });
      return undefined;
    }
    const disagreements = this.disagreements(signs, resolved, at);
    const to = resolved.instrument;
    if (current === to) {
      for (const disagreement of disagreements) {
        this.notices.push({ kind: "disagreement", disagreement, barLabel: disagreement.barLabel });
      }
      return undefined;
    }
    this.hands = {
      current: to,
      used: [to, ...used.filter((each) => each !== to)],
      pending: waiting,
    };
    return { from: current, to, evidence: signs.map((sign) => this.evidence(sign)), disagreements };
  }

  /** Whether a sign takes effect at this note. */
  private isRipe(sign: PageSign, at: Position, afterRest: boolean, governed: boolean): boolean {
    if (sign.takesEffect === "next-note") return true;
    const fits = sign.name !== undefined && this.fits(sign.name, this.transposition);
    if (governed && fits) return true;
    // Words over a note that is being played prepare what follows it.
    if (!afterRest || comparePlaces(this.timeline.bars, sign.at, at) >= 0) return false;
    // Words may come early: where the transposition they ask for is still to come, they wait for it.
    return fits || !this.comesLater(sign);
  }

  private fits(
    name: NonNullable<PageSign["name"]>,
    transposition: Transposition | undefined,
  ): boolean {
    return transposition !== undefined && fitsName(name, transposition, this.hands.current);
  }

  /** Whether the next transposition on the page is the one that words ask for. */
  private comesLater({ name }: PageSign): boolean {
    const next = this.signs.slice(this.nextSign).find((sign) => sign.name ?? sign.transposition);
    return (
      name !== undefined &&
      next?.transposition !== undefined &&
      fitsNameInSize(name, next.transposition, this.hands.current)
    );
  }

  /**
   * The name of another player's instrument stands over cue notes. A label means a change to another
   * family only where the part declares or has used that instrument, or the notes sound accordingly.
   */
  private isCueName({ takesEffect, kind, name }: PageSign, governed: boolean): boolean {
    if (kind !== "words" || takesEffect !== "next-note" || name?.family === undefined || governed) {
      return false;
    }
    const { current, used } = this.hands;
    const meant = resolveInstrument({ name }, { current, used, transposition: undefined });
    if (!meant || INSTRUMENTS[meant.instrument].family === INSTRUMENTS[current].family)
      return false;
    const declared = this.timeline.part.scoreInstruments.some(
      (each) => readInstrumentName(each.name)?.family === name.family,
    );
    return !declared && !used.includes(meant.instrument);
  }

  private disagreements(
    signs: readonly PageSign[],
    { instrument, fitsTransposition, transpositionFits }: ResolvedInstrument,
    at: Position,
  ): readonly Disagreement[] {
    const words = signs.findLast(({ name }) => name !== undefined);
    if (!words || fitsTransposition || this.timeline.concertScore) return [];
    return [
      {
        kind: "words-against-transposition",
        barIndex: at.barIndex,
        barLabel: this.barLabel(at),
        words: words.text,
        wordsBarLabel: this.barLabel(words.at),
        wordsMean: instrument,
        transpositionFits: likest(transpositionFits, instrument),
      },
    ];
  }

  private evidence({ kind, at, text }: PageSign): Evidence {
    return { kind, barIndex: at.barIndex, barLabel: this.barLabel(at), text };
  }

  private barLabel({ barIndex }: Position): string {
    return this.timeline.bars[barIndex]?.barLabel ?? "";
  }

  private soundingBy(): Transposition {
    const printed = this.transposition;
    const instrument = INSTRUMENTS[this.hands.current];
    if (this.timeline.concertScore) return printed ?? AS_WRITTEN;
    return printed && notationFor(instrument, printed)
      ? printed
      : instrument.notations[0].transposition;
  }
}
