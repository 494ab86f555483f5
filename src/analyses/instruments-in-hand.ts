import type { Disagreement, Evidence, Notice } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartTimeline, Position, Transposition } from "../model/score.js";
import { readInstrumentName, type NamedInstrument } from "../instruments/names.js";
import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import { transpositionSemitones } from "../theory/pitch.js";
import { playedInOrder } from "../timing/performed-notes.js";
import { comparePlaces, pageSigns, type PageSign } from "./page-evidence.js";
import { resolveInstrument, type ResolvedInstrument } from "./resolve-instrument.js";

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

const AS_WRITTEN: Transposition = { diatonic: 0, chromatic: 0, octaveChange: 0 };

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

class PageReader {
  private readonly switches = new Map<number, InstrumentSwitch>();
  private readonly previousOnPage = new Map<number, number>();
  private readonly byNote = new Map<number, InstrumentId>();
  private readonly transpositionByNote = new Map<number, Transposition>();
  private readonly notices: Notice[] = [];
  private readonly signs: readonly PageSign[];
  private nextSign = 0;
  private nextTransposition = 0;
  private transposition: Transposition | undefined;
  private pending: readonly PageSign[] = [];
  private current: InstrumentId;
  private used: InstrumentId[];

  constructor(private readonly timeline: PartTimeline) {
    const { signs, notices } = pageSigns(timeline);
    this.signs = signs;
    this.notices.push(...notices);
    this.transposition = timeline.transpositions[0]?.value;
    this.current = this.firstInstrument();
    this.used = [this.current];
  }

  read(): InstrumentsInHand {
    const { notes, bars } = this.timeline;
    let previous: number | undefined;
    let end: Position | undefined;
    let scoreInstrumentId: string | undefined;
    for (const noteIndex of playedInOrder(notes)) {
      const note = notes[noteIndex];
      if (!note) continue;
      const at = { barIndex: note.barIndex, offset: note.offset };
      this.readSignsUpTo(at);
      if (note.scoreInstrumentId !== undefined && note.scoreInstrumentId !== scoreInstrumentId) {
        if (scoreInstrumentId !== undefined) this.addNoteInstrument(note.scoreInstrumentId, at);
        scoreInstrumentId = note.scoreInstrumentId;
      }
      const afterRest = end === undefined || comparePlaces(bars, end, at) < 0;
      const change = this.decide(at, afterRest);
      // Before the first note nothing is in hand yet: what is taken up then is no change.
      if (change && previous !== undefined) this.switches.set(noteIndex, change);
      if (previous !== undefined) this.previousOnPage.set(noteIndex, previous);
      this.byNote.set(noteIndex, this.current);
      this.transpositionByNote.set(noteIndex, this.soundingBy());
      const noteEnd = { barIndex: note.barIndex, offset: note.offset.add(note.duration) };
      if (end === undefined || comparePlaces(bars, end, noteEnd) < 0) end = noteEnd;
      previous = noteIndex;
    }
    return {
      instrumentOf: (noteIndex) => this.byNote.get(noteIndex) ?? this.current,
      transpositionOf: (noteIndex) => this.transpositionByNote.get(noteIndex) ?? this.soundingBy(),
      switches: this.switches,
      previousOnPage: this.previousOnPage,
      notices: this.notices,
    };
  }

  /** From the names in the part list, checked against the first transposition. */
  private firstInstrument(): InstrumentId {
    const { part } = this.timeline;
    const declared = part.scoreInstruments[0];
    const name =
      readInstrumentName(part.name) ??
      readInstrumentName(declared?.name ?? "") ??
      readInstrumentName(part.abbreviation);
    const resolved = resolveInstrument(
      { name, sound: declared?.sound },
      { current: undefined, used: [], transposition: this.transposition },
    );
    const sound = declared?.sound;
    if (!resolved || (!name && !sound && !this.transposition)) {
      throw new InputError(
        "unknown-instrument",
        `"${part.name || part.id}" names no woodwind instrument that is known here`,
        { part: part.id },
      );
    }
    if (!name && !sound)
      this.notices.push({ kind: "instrument-assumed", instrument: resolved.instrument });
    if (!resolved.fitsTransposition && !this.timeline.concertScore) {
      this.notices.push({
        kind: "name-against-transposition",
        name: part.name,
        transpositionFits: likest(resolved.transpositionFits, resolved.instrument),
      });
    }
    return resolved.instrument;
  }

  private readSignsUpTo(at: Position): void {
    const { bars, transpositions } = this.timeline;
    for (;;) {
      const sign = this.signs[this.nextSign];
      if (!sign || comparePlaces(bars, sign.at, at) > 0) break;
      this.pending = [...this.pending, sign];
      this.nextSign++;
    }
    for (;;) {
      const next = transpositions[this.nextTransposition];
      if (!next || comparePlaces(bars, next.at, at) > 0) break;
      this.transposition = next.value;
      this.nextTransposition++;
    }
  }

  private addNoteInstrument(id: string, at: Position): void {
    const declared = this.timeline.part.scoreInstruments.find((each) => each.id === id);
    if (!declared) return;
    const name = readInstrumentName(declared.name);
    this.pending = [
      ...this.pending,
      {
        at,
        kind: "note-instrument",
        text: declared.name || declared.sound || id,
        takesEffect: "next-note",
        governs: true,
        ...(name && { name }),
        ...(declared.sound && { sound: declared.sound }),
      },
    ];
  }

  private decide(at: Position, afterRest: boolean): InstrumentSwitch | undefined {
    const governed = this.pending.some(({ governs }) => governs);
    const ripe = this.pending.filter(
      (sign) =>
        sign.takesEffect === "next-note" ||
        governed ||
        // Words over a note that is being played prepare what follows it.
        (afterRest && comparePlaces(this.timeline.bars, sign.at, at) < 0),
    );
    if (ripe.length === 0) return undefined;
    this.pending = this.pending.filter((sign) => !ripe.includes(sign));
    const resolved = resolveInstrument(
      { name: lastName(ripe), sound: lastSound(ripe) },
      { current: this.current, used: this.used, transposition: this.transposition },
    );
    if (!resolved) {
      const semitones = this.transposition ? transpositionSemitones(this.transposition) : 0;
      this.notices.push({ kind: "transposition-unknown", semitones, barLabel: this.barLabel(at) });
      return undefined;
    }
    const disagreements = this.disagreements(ripe, resolved, at);
    const from = this.current;
    const to = resolved.instrument;
    if (from === to) {
      for (const disagreement of disagreements) {
        this.notices.push({ kind: "disagreement", disagreement, barLabel: disagreement.barLabel });
      }
      return undefined;
    }
    this.current = to;
    this.used = [to, ...this.used.filter((each) => each !== to)];
    return { from, to, evidence: ripe.map((sign) => this.evidence(sign)), disagreements };
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
    const instrument = INSTRUMENTS[this.current];
    if (this.timeline.concertScore) return printed ?? AS_WRITTEN;
    return printed && notationFor(instrument, printed)
      ? printed
      : instrument.notations[0].transposition;
  }
}

/** Of several instruments that a transposition fits, those of the family in question. */
function likest(fits: readonly InstrumentId[], instrument: InstrumentId): readonly InstrumentId[] {
  const { standInGroup, family } = INSTRUMENTS[instrument];
  const groups = [
    fits.filter(
      (id) => standInGroup !== undefined && INSTRUMENTS[id].standInGroup === standInGroup,
    ),
    fits.filter((id) => INSTRUMENTS[id].family === family),
  ];
  return groups.find((group) => group.length > 0) ?? fits;
}

/** The last name among the signs: what is printed later stands. */
function lastName(signs: readonly PageSign[]): NamedInstrument | undefined {
  return signs.findLast(({ name }) => name !== undefined)?.name;
}

function lastSound(signs: readonly PageSign[]): string | undefined {
  return signs.findLast(({ sound }) => sound !== undefined)?.sound;
}
