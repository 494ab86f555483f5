import { inForceAt } from "../analyses/in-force.js";
import type { InstrumentsInHand } from "../analyses/instruments-in-hand.js";
import { readNotation } from "../analyses/notation.js";
import { instrumentsNamed, readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import { InputError } from "../model/input-error.js";
import type { Instrument, InstrumentId } from "../model/instrument.js";
import type { PartTimeline, Position, Transposition } from "../model/score.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { editBars } from "../musicxml/edit-bars.js";
import { isSameTransposition } from "../musicxml/in-force.js";
import { midiNumber, soundingPitch, writtenPitch } from "../theory/pitch.js";
import { isPlayed } from "../timing/performed-notes.js";
import { PartRewriter, type PartPlan } from "./rewrite-part.js";

/** @throws InputError `not-rewritable` for a score at sounding pitch */
export function refuseSounding(timeline: PartTimeline): void {
  if (!readNotation(timeline).atSoundingPitch) return;
  const message = "the notes stand as they sound, so there is nothing to write otherwise";
  throw new InputError("not-rewritable", message, { part: timeline.part.id });
}

/**
 * Writes the bars of a part anew and leaves everything else in the document as it is.
 * @param bytes the document that `score` was opened from
 * @returns the document as UTF-8, and whether nothing in it is another
 */
export function writeDocument(
  bytes: Buffer,
  score: ScoreDocument,
  partId: string,
  plan: PartPlan,
): { readonly bytes: Buffer; readonly isSame: boolean; readonly rewriter: PartRewriter } {
  const rewriter = new PartRewriter(plan);
  // A bar of one tag has no inside; its signs are said in the next.
  const written = editBars(bytes, score.barSlices(partId), (...bar) => rewriter.bar(...bar));
  return { ...written, rewriter };
}

/** In bass clef without the octave of the treble clef, a low clarinet stays in that notation. */
export function targetFrom(
  printed: Transposition,
  inBassClef: boolean,
  instrument: Instrument,
): Transposition {
  // Where the part is in a notation of the instrument already, there is nothing to move.
  if (notationFor(instrument, printed)) return printed;
  const bass = instrument.notations.find(
    (notation) =>
      notation.inBassClef &&
      inBassClef &&
      notation.transposition.octaveChange === printed.octaveChange,
  );
  return (bass ?? instrument.notations[0]).transposition;
}

/** Six sharps or six flats, as the places that stay have it under a transposition. */
export function sixthSpelling(
  { bars, keys, transpositions }: PartTimeline,
  by: Transposition,
  stays: (at: Position) => boolean,
): number | undefined {
  const key = keys.find(({ at, value }) => {
    const printed = inForceAt(transpositions, bars, at)?.value;
    return (
      value !== null &&
      Math.abs(value) === 6 &&
      stays(at) &&
      printed !== undefined &&
      isSameTransposition(printed, by)
    );
  });
  return key?.value ?? undefined;
}

/** The sound that the part list has for an instrument, where it has one. */
export function declaredId({ part }: PartTimeline, instrument: InstrumentId): string | undefined {
  return part.scoreInstruments.find(({ name }) => {
    const named = readInstrumentName(name);
    return named?.keyFifths !== undefined && instrumentsNamed(named)[0] === instrument;
  })?.id;
}

/** Bars with a note that is written for an instrument and that it does not have. */
export function outOfRange(
  { notes }: PartTimeline,
  inHand: InstrumentsInHand,
  instrument: InstrumentId,
  isWritten: (noteIndex: number) => boolean,
): readonly number[] {
  const { lowest, highest, notations } = INSTRUMENTS[instrument];
  // The range is that of the first notation.
  const by = notations[0].transposition;
  const bars = notes.flatMap((note, k) => {
    if (!isPlayed(note) || !isWritten(k)) return [];
    const octave = inHand.isOctaveLow(k) ? 12 : 0;
    const isStrange = note.pitches.some((pitch) => {
      const sounding = soundingPitch(pitch, inHand.transpositionOf(k));
      const written = midiNumber(writtenPitch(sounding, by)) + octave;
      return written < midiNumber(lowest) || written > midiNumber(highest);
    });
    return isStrange ? [note.barIndex] : [];
  });
  return [...new Set(bars)];
}
