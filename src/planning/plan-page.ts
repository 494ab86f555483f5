import type { AnalysisContext } from "../analyses/context.js";
import { inForceAt } from "../analyses/in-force.js";
import { passageOfNotes } from "../analyses/passages.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PlanReport } from "../model/plan.js";
import type { PartNote, PartTimeline, Position, Transposition } from "../model/score.js";
import { isSameTransposition } from "../musicxml/in-force.js";
import { maxFraction, toNumber, ZERO } from "../theory/fraction.js";
import { lastIndexWhere } from "../theory/search.js";
import { playedInOrder } from "../timing/performed-notes.js";
import { declaredId, targetFrom } from "./rewrite-document.js";
import { comparePlaced, type Place, type Segment } from "./segments.js";

/** A played note of the page as a plan has it. */
export interface PlannedNote {
  readonly noteIndex: number;
  readonly note: PartNote;
  /** Quarters of the page. */
  readonly start: Fraction;
  readonly end: Fraction;
  readonly instrument: InstrumentId;
  /** Whether it is written anew; else it stays as it is. */
  readonly isWritten: boolean;
  /** By what it sounds, where the page prints another transposition over it or none. */
  readonly soundsBy: Transposition | undefined;
}

/**
 * The played notes in the order of the page with the instruments of a plan. Written anew are the passages that
 * change their instrument, and with them what the page has wrong next to them: words that contradict the
 * transposition are words no more once the change is gone, so that the transposition has to be put right.
 */
export function plannedNotes(
  context: AnalysisContext,
  { passages, best }: Pick<PlanReport, "passages" | "best">,
): readonly PlannedNote[] {
  const { timeline, inHand } = context;
  const { notes, bars } = timeline;
  const passageOf = passageOfNotes(context);
  const indices = playedInOrder(notes);
  const unprinted = inHand.transpositionOf(indices[0] ?? 0);
  let before: { readonly from: InstrumentId; readonly to: InstrumentId } | undefined;
  const planned = indices.flatMap((noteIndex): readonly PlannedNote[] => {
    const note = notes[noteIndex];
    if (!note) return [];
    const from = inHand.instrumentOf(noteIndex);
    const number = passageOf.get(noteIndex);
    // A note that is left out with its repeat goes with those before it.
    const asBefore = before?.from === from ? before.to : from;
    const to = number === undefined ? asBefore : (best.instruments[number - 1] ?? from);
    const isMoved = number === undefined ? to !== from : to !== passages[number - 1]?.printed;
    before = { from, to };
    const start = (bars[note.barIndex]?.writtenQuarters ?? ZERO).add(note.offset);
    const by = inHand.transpositionOf(noteIndex);
    const printed = inHand.printedTranspositionOf(noteIndex) ?? unprinted;
    const soundsBy = isSameTransposition(by, printed) ? undefined : by;
    const end = start.add(note.duration);
    return [{ noteIndex, note, start, end, instrument: to, isWritten: isMoved, soundsBy }];
  });
  if (!planned.some(({ isWritten }) => isWritten)) return planned;
  // Where no transposition is printed at all, one that is printed now would hold for everything after it.
  const isAll = timeline.transpositions.length === 0;
  const written = planned.map(
    ({ isWritten, soundsBy }) => isWritten || (isAll && soundsBy !== undefined),
  );
  const spread = (k: number, neighbour: number) => {
    if (written[neighbour] && planned[k]?.soundsBy) written[k] = true;
  };
  planned.forEach((_, k) => spread(k, k - 1));
  planned.forEach((_, k) => spread(planned.length - 1 - k, planned.length - k));
  return planned.map((each, k) => ({ ...each, isWritten: written[k] ?? false }));
}

/** The stretches of the page that are written for one instrument, or stay. */
export function segmentsOfPlan(
  timeline: PartTimeline,
  planned: readonly PlannedNote[],
  by: (noteIndex: number) => Transposition,
): readonly Segment[] {
  const pitched = timeline.notes
    .filter(({ pitches }) => pitches.length > 0)
    .map(placeOf)
    .sort(comparePlaced);
  const segments: Segment[] = [];
  let leave = ZERO;
  planned.forEach((each, k) => {
    const before = planned[k - 1];
    if (isNewSegment(before, each)) {
      const firstNote = placeOf(each.note);
      const from = before ? beginning(timeline, before, leave, each) : { barIndex: 0, at: 0 };
      const signsBy = pitched.find((place) => comparePlaced(place, from) >= 0) ?? firstNote;
      const open = segments.at(-1)?.writing;
      const goesOn = before?.isWritten === true && before.instrument === each.instrument;
      segments.push({
        from,
        signsBy,
        firstNote: before && firstNote,
        writing: each.isWritten
          ? {
              transposition:
                goesOn && open ? open.transposition : transpositionFor(timeline, each, by),
              ...(each.soundsBy && { soundsBy: each.soundsBy }),
              scoreInstrumentId: declaredId(timeline, each.instrument),
              withoutSound: "take-out",
            }
          : undefined,
      });
    }
    leave = maxFraction(leave, each.end);
  });
  return segments;
}

function isNewSegment(before: PlannedNote | undefined, { isWritten, ...note }: PlannedNote) {
  if (!before || !isWritten || !before.isWritten) return isWritten !== (before?.isWritten ?? false);
  const [own, other] = [note.soundsBy, before.soundsBy];
  const isSame = own && other ? isSameTransposition(own, other) : own === other;
  return note.instrument !== before.instrument || !isSame;
}

/** In the rest before its first note; at the note where there is none, or where grace notes end the one before. */
function beginning(
  timeline: PartTimeline,
  before: PlannedNote,
  leave: Fraction,
  { note, start }: PlannedNote,
): Place {
  if (start.compare(before.start) <= 0) {
    throw new InputError("not-rewritable", "two instruments would have to be played at once", {
      part: timeline.part.id,
      bar: timeline.bars[note.barIndex]?.barLabel,
    });
  }
  const isRest = leave.compare(before.start) > 0 && leave.compare(start) < 0;
  return isRest ? placeAt(timeline, leave) : placeOf(note);
}

function placeAt({ bars }: PartTimeline, quarters: Fraction): Place {
  const barIndex = lastIndexWhere(
    bars.length,
    (k) => (bars[k]?.writtenQuarters ?? ZERO).compare(quarters) <= 0,
  );
  return { barIndex, at: toNumber(quarters.sub(bars[barIndex]?.writtenQuarters ?? ZERO)) };
}

/** A place of the page in numbers. */
export function placeOf({ barIndex, offset }: Position): Place {
  return { barIndex, at: toNumber(offset) };
}

function transpositionFor(
  { bars, bassClefs }: PartTimeline,
  { note, noteIndex, instrument }: PlannedNote,
  by: (noteIndex: number) => Transposition,
): Transposition {
  const inBass = inForceAt(bassClefs, bars, note)?.value ?? false;
  return targetFrom(by(noteIndex), inBass, INSTRUMENTS[instrument]);
}
