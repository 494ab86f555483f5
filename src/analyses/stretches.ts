import type { Fraction } from "../model/fraction.js";
import type { InstrumentId } from "../model/instrument.js";
import type { Moment } from "../model/time.js";
import type { Performance } from "../timing/performance.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { maxFraction, minFraction, ZERO } from "../theory/fraction.js";

/** Playing without a rest and on one instrument, in the order of performance. */
export interface PlayedStretch {
  readonly instrument: InstrumentId;
  readonly notes: readonly PerformedNote[];
  readonly startQuarters: Fraction;
  /** Where the last note ends by its notation. */
  readonly endQuarters: Fraction;
  /**
   * Where the silence before it begins; null when nothing was played before. Where two players on one
   * staff overlap it is this stretch's own beginning.
   */
  readonly silentFrom: Fraction | null;
  /** Where the note before that silence began: a fermata on it lengthens the rest. */
  readonly lastNoteFrom: Fraction | null;
  /** Grace notes at its head, played before the beat. */
  readonly graceNotes: number;
}

/**
 * Cuts the performed notes where there is a rest, however short, and where the instrument changes.
 * A grace note that ends a trill belongs to the note before it, not to an entry.
 * @param passageOf where given, a new passage is cut off as well: a change could be made there
 */
export function playedStretches(
  notes: readonly PerformedNote[],
  instrumentOf: (noteIndex: number) => InstrumentId,
  passageOf: (noteIndex: number) => number | undefined = () => undefined,
): readonly PlayedStretch[] {
  const stretches: PlayedStretch[] = [];
  let open: PerformedNote[] = [];
  let end = ZERO;
  let silentFrom: Fraction | null = null;
  let lastNoteFrom: Fraction | null = null;
  const close = () => {
    const [first] = open;
    if (!first) return;
    stretches.push({
      instrument: instrumentOf(first.noteIndex),
      notes: open,
      startQuarters: first.startQuarters,
      endQuarters: end,
      silentFrom: silentFrom && minFraction(silentFrom, first.startQuarters),
      lastNoteFrom,
      graceNotes: leadingGraceNotes(open),
    });
    silentFrom = end;
    lastNoteFrom = lastNoteStart(open, end);
    open = [];
  };
  for (const performed of notes) {
    const [first] = open;
    const rested = first !== undefined && performed.startQuarters.compare(end) > 0;
    const changed =
      first !== undefined &&
      (instrumentOf(performed.noteIndex) !== instrumentOf(first.noteIndex) ||
        passageOf(performed.noteIndex) !== passageOf(first.noteIndex));
    if (rested || changed) close();
    end =
      open.length === 0 && stretches.length === 0
        ? performed.endQuarters
        : maxFraction(end, performed.endQuarters);
    open.push(performed);
  }
  close();
  return stretches;
}

/** Where the note began with whose end some notes end. */
export function lastNoteStart(notes: readonly PerformedNote[], end: Fraction): Fraction {
  return notes
    .filter(({ endQuarters }) => endQuarters.equals(end))
    .reduce((from, { startQuarters }) => minFraction(from, startQuarters), end);
}

/** Grace notes at the head of some notes. */
export function leadingGraceNotes(notes: readonly PerformedNote[]): number {
  const count = notes.findIndex(({ note }) => !note.grace);
  return count < 0 ? notes.length : count;
}

/** Where a note ends, named by the bar it was played in: the end of bar 12, not the start of 13. */
export function endMoment(performance: Performance, endQuarters: Fraction): Moment {
  const visit = performance.visitEndingAt(endQuarters);
  return performance.moment(visit, endQuarters.sub(visit.startQuarters));
}
