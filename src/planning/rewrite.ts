import { inForceAt } from "../analyses/in-force.js";
import { instrumentsInHand, type InstrumentsInHand } from "../analyses/instruments-in-hand.js";
import { readNotation } from "../analyses/notation.js";
import { instrumentsNamed, readInstrumentName } from "../instruments/names.js";
import { INSTRUMENTS, notationFor } from "../instruments/table.js";
import { InputError } from "../model/input-error.js";
import type { Instrument, InstrumentId } from "../model/instrument.js";
import type { Bar, PartTimeline, Transposition } from "../model/score.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { editBars } from "../musicxml/edit-bars.js";
import { isSameTransposition } from "../musicxml/in-force.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import { midiNumber, soundingPitch, writtenPitch } from "../theory/pitch.js";
import { isPlayed } from "../timing/performed-notes.js";
import { barSpan } from "../timing/places.js";
import { PartRewriter, type BarWords } from "./rewrite-part.js";
import {
  boundaries,
  changeText,
  instructionsNear,
  isRightFor,
  isStale,
  isStaleName,
  type Boundary,
} from "./rewrite-words.js";

/** Bars by their printed numbers, both included. */
export interface BarRange {
  readonly from: string;
  readonly to: string;
}

/** What is to be written for what. */
export interface RewriteRequest {
  readonly partId: string;
  readonly ranges: readonly BarRange[];
  readonly instrument: InstrumentId;
}

/** Something the player should look at. Bars are printed numbers. */
export type RewriteWarning =
  | { readonly kind: "already-so" }
  | { readonly kind: "out-of-range"; readonly bars: readonly string[] }
  /** Bars that begin under a tie from a bar that stays. */
  | { readonly kind: "tied-in"; readonly bars: readonly string[] }
  /** Words about a change that the rewriting may have made wrong. */
  | { readonly kind: "words-left"; readonly text: string; readonly bar: string };

export interface Rewritten {
  /** The document as UTF-8. */
  readonly bytes: Buffer;
  readonly warnings: readonly RewriteWarning[];
}

/**
 * Writes some bars of a part for another instrument, sounding the same: pitches, signatures, transposition,
 * accidentals, and words where the player changes. Everything else in the document stays as it is, byte for byte.
 *
 * @param bytes the document that `score` was opened from
 * @throws InputError `no-matching-bar` for bars that are not there, `not-rewritable` for a score at sounding
 *   pitch or a key signature of its own kind, and all that reading the part throws
 */
export function rewriteBars(
  bytes: Buffer,
  score: ScoreDocument,
  { partId, ranges, instrument }: RewriteRequest,
): Rewritten {
  const timeline = score.timeline(partId);
  if (readNotation(timeline).atSoundingPitch) {
    const message = "the notes stand as they sound, so there is nothing to write otherwise";
    throw new InputError("not-rewritable", message, { part: partId });
  }
  const isRewritten = rewrittenBars(timeline.bars, ranges);
  const inHand = instrumentsInHand(timeline);
  const unprinted = inHand.transpositionOf(Math.max(0, firstNote(timeline)));
  const transpositions = targetsOf(timeline, isRewritten, INSTRUMENTS[instrument], unprinted);
  const places = boundaries(timeline, inHand, isRewritten, instrument);
  const rewriter = new PartRewriter({
    transpositions,
    words: wordsByBar(timeline, places, isRewritten, instrument),
    scoreInstrumentId: declaredId(timeline, instrument),
    unprinted,
    sixthAs: (by) => sixthSpelling(timeline, by, isRewritten),
  });
  // A bar of one tag has no inside; its signs are said in the next.
  const { bytes: written, isSame } = editBars(bytes, score.barSlices(partId), (...bar) =>
    rewriter.bar(...bar),
  );
  const labelOf = (barIndex: number) => timeline.bars[barIndex]?.barLabel ?? "";
  const strange = outOfRange(timeline, inHand, transpositions, instrument);
  return {
    bytes: written,
    warnings: [
      ...(isSame ? [{ kind: "already-so" } as const] : []),
      ...(strange.length > 0
        ? [{ kind: "out-of-range", bars: strange.map(labelOf) } as const]
        : []),
      ...(rewriter.tiedIn.length > 0
        ? [{ kind: "tied-in", bars: rewriter.tiedIn.map(labelOf) } as const]
        : []),
      ...(isSame ? [] : instructionsNear(timeline, isRewritten, places))
        .filter(({ text, barIndex }) => !rewriter.hasRemoved(barIndex, text))
        .map(
          ({ text, barIndex }) => ({ kind: "words-left", text, bar: labelOf(barIndex) }) as const,
        ),
    ],
  };
}

/** Which bars of the file the ranges name; bars of one number in a row are one bar to the player. */
function rewrittenBars(bars: readonly Bar[], ranges: readonly BarRange[]): readonly boolean[] {
  const isRewritten = bars.map(() => false);
  const find = (label: string, from: number): number => {
    const found = bars.findIndex((bar, k) => k >= from && bar.barLabel === label);
    if (found >= 0) return found;
    const isBefore = bars.some(({ barLabel }) => barLabel === label);
    throw new InputError(
      "no-matching-bar",
      isBefore
        ? `bar ${label} comes before the bar the range begins with`
        : `bar ${label} is not there; the bars are ${barSpan(bars)}`,
    );
  };
  for (const range of ranges) {
    const from = find(range.from, 0);
    let to = find(range.to, from);
    while (bars[to + 1]?.barLabel === range.to) to++;
    isRewritten.fill(true, from, to + 1);
  }
  return isRewritten;
}

function firstNote({ notes }: PartTimeline): number {
  return notes.findIndex(isPlayed);
}

/** The transposition to write each bar in. */
function targetsOf(
  { bars, transpositions, bassClefs }: PartTimeline,
  isRewritten: readonly boolean[],
  instrument: Instrument,
  unprinted: Transposition,
): readonly (Transposition | undefined)[] {
  let inRange: Transposition | undefined;
  return bars.map(({ barIndex }) => {
    if (!isRewritten[barIndex]) return (inRange = undefined);
    const at = { barIndex, offset: ZERO };
    const printed = inForceAt(transpositions, bars, at)?.value ?? unprinted;
    const inBass = inForceAt(bassClefs, bars, at)?.value ?? false;
    inRange ??= targetFrom(printed, inBass, instrument);
    return inRange;
  });
}

/** In bass clef without the octave of the treble clef, a low clarinet stays in that notation. */
function targetFrom(
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

/** Six sharps or six flats, as the bars that stay have it under a transposition. */
function sixthSpelling(
  { bars, keys, transpositions }: PartTimeline,
  by: Transposition,
  isRewritten: readonly boolean[],
): number | undefined {
  const key = keys.find(({ at, value }) => {
    const printed = inForceAt(transpositions, bars, at)?.value;
    return (
      value !== null &&
      Math.abs(value) === 6 &&
      !isRewritten[at.barIndex] &&
      printed !== undefined &&
      isSameTransposition(printed, by)
    );
  });
  return key?.value ?? undefined;
}

/** What is said and unsaid in each bar that words may stand in. */
function wordsByBar(
  { bars, instructions }: PartTimeline,
  places: readonly Boundary[],
  isRewritten: readonly boolean[],
  instrument: InstrumentId,
): ReadonlyMap<number, BarWords> {
  const startOf = (barIndex: number) => toNumber(bars[barIndex]?.writtenQuarters ?? ZERO);
  const placeAt = (barIndex: number, at: number) =>
    places.find(
      ({ leaveQuarters, enterQuarters }) =>
        startOf(barIndex) + at >= toNumber(leaveQuarters) &&
        startOf(barIndex) + at <= toNumber(enterQuarters),
    );
  const isSaid = (place: Boundary) =>
    instructions.some(
      ({ kind, text, at: { barIndex, offset } }) =>
        kind === "words" &&
        isRightFor(text, place) &&
        placeAt(barIndex, toNumber(offset)) === place,
    );
  const added = places.filter((place) => place.isChange && !isSaid(place));
  const concerned = bars.filter(
    ({ barIndex }) =>
      isRewritten[barIndex] === true ||
      places.some((place) => place.bars.from <= barIndex && barIndex <= place.bars.to),
  );
  return new Map(
    concerned.map(({ barIndex }): [number, BarWords] => [
      barIndex,
      {
        added: added.flatMap(({ words, instrument: next }) =>
          words.barIndex === barIndex
            ? [{ at: toNumber(words.offset), over: words.over, text: changeText(next) }]
            : [],
        ),
        isStaleName: (text) => isRewritten[barIndex] === true && isStaleName(text, instrument),
        isStale: (text, at) => {
          const place = placeAt(barIndex, at);
          return (place !== undefined || isRewritten[barIndex] === true) && isStale(text, place);
        },
      },
    ]),
  );
}

/** The sound that the part list has for an instrument, where it has one. */
function declaredId({ part }: PartTimeline, instrument: InstrumentId): string | undefined {
  return part.scoreInstruments.find(({ name }) => {
    const named = readInstrumentName(name);
    return named?.keyFifths !== undefined && instrumentsNamed(named)[0] === instrument;
  })?.id;
}

/** Bars with a note that the instrument does not have. */
function outOfRange(
  { notes }: PartTimeline,
  inHand: InstrumentsInHand,
  targets: readonly (Transposition | undefined)[],
  instrument: InstrumentId,
): readonly number[] {
  const { lowest, highest, notations } = INSTRUMENTS[instrument];
  // The range is that of the first notation.
  const by = notations[0].transposition;
  const bars = notes.flatMap((note, k) => {
    if (!targets[note.barIndex] || !isPlayed(note)) return [];
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
