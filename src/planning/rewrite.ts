import { inForceAt } from "../analyses/in-force.js";
import { instrumentsInHand } from "../analyses/instruments-in-hand.js";
import { INSTRUMENTS } from "../instruments/table.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type { Bar, PartTimeline, Transposition } from "../model/score.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import { isPlayed } from "../timing/performed-notes.js";
import { barSpan } from "../timing/places.js";
import {
  declaredId,
  outOfRange,
  refuseSounding,
  sixthSpelling,
  targetFrom,
  writeDocument,
} from "./rewrite-document.js";
import type { BarWords } from "./rewrite-part.js";
import {
  boundaries,
  changeText,
  instructionsNear,
  isRightFor,
  isStale,
  isStaleName,
  type Boundary,
} from "./rewrite-words.js";
import type { Segment, Writing } from "./segments.js";

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
  | {
      readonly kind: "out-of-range";
      readonly bars: readonly string[];
      /** Of a plan, which may write for several. */
      readonly instrument?: InstrumentId;
    }
  /** Bars with a note that is tied to one for another instrument. */
  | { readonly kind: "tied-in"; readonly bars: readonly string[] }
  /** Words about a change that the rewriting may have made wrong. */
  | { readonly kind: "words-left"; readonly text: string; readonly bar: string }
  /** Bars in which words and transposition disagreed: they were written as if the words were right. */
  | { readonly kind: "words-followed"; readonly from: string; readonly to: string }
  /** Several players read the staff, and the plan was made as for one. */
  | { readonly kind: "shared-staff" };

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
  refuseSounding(timeline);
  const isRewritten = rewrittenBars(timeline.bars, ranges);
  const inHand = instrumentsInHand(timeline);
  const unprinted = inHand.transpositionOf(Math.max(0, firstNote(timeline)));
  const places = boundaries(timeline, inHand, isRewritten, instrument);
  const result = writeDocument(bytes, score, partId, {
    segments: segmentsOfBars(timeline, isRewritten, instrument, unprinted),
    words: wordsByBar(timeline, places, isRewritten, instrument),
    unprinted,
    sixthAs: (by) => sixthSpelling(timeline, by, ({ barIndex }) => !isRewritten[barIndex]),
  });
  const { isSame, rewriter } = result;
  const labelOf = (barIndex: number) => timeline.bars[barIndex]?.barLabel ?? "";
  const strange = outOfRange(
    timeline,
    inHand,
    instrument,
    (k) => isRewritten[timeline.notes[k]?.barIndex ?? -1] === true,
  );
  return {
    bytes: result.bytes,
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

/** The bars in a row that are rewritten or stay, each from its barline on. */
function segmentsOfBars(
  timeline: PartTimeline,
  isRewritten: readonly boolean[],
  instrument: InstrumentId,
  unprinted: Transposition,
): readonly Segment[] {
  const { bars, notes, transpositions, bassClefs } = timeline;
  const withNotes = new Set(notes.flatMap((n) => (n.pitches.length > 0 ? [n.barIndex] : [])));
  return bars.flatMap(({ barIndex }): readonly Segment[] => {
    const written = isRewritten[barIndex] === true;
    if (written === (isRewritten[barIndex - 1] ?? false)) return [];
    const from = { barIndex, at: 0 };
    if (!written) {
      // Where there is something to read again.
      const next = bars.find((bar) => bar.barIndex >= barIndex && withNotes.has(bar.barIndex));
      const signsBy = { barIndex: next?.barIndex ?? bars.length, at: 0 };
      return [{ from, signsBy, firstNote: undefined, writing: undefined }];
    }
    const at = { barIndex, offset: ZERO };
    const printed = inForceAt(transpositions, bars, at)?.value ?? unprinted;
    const inBass = inForceAt(bassClefs, bars, at)?.value ?? false;
    const writing: Writing = {
      transposition: targetFrom(printed, inBass, INSTRUMENTS[instrument]),
      scoreInstrumentId: declaredId(timeline, instrument),
      withoutSound: "keep",
    };
    return [{ from, signsBy: from, firstNote: from, writing }];
  });
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
