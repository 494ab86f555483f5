import type { Fraction } from "../model/fraction.js";
import type { PartNote } from "../model/score.js";
import type { BarVisit } from "../model/time.js";
import { groupBy } from "../theory/search.js";
import type { Performance } from "./performance.js";

/** A note the player plays, where it falls in the performance. */
export interface PerformedNote {
  readonly note: PartNote;
  /** Position in the timeline's notes. */
  readonly noteIndex: number;
  readonly visit: BarVisit;
  /** Quarters from the start of the performance. */
  readonly startQuarters: Fraction;
  readonly endQuarters: Fraction;
}

/** Whether a note on the page is played: cue notes and hidden ones are not. */
export function isPlayed(note: PartNote): boolean {
  return !note.cue && !note.hidden;
}

/** Indices of the played notes in the order of the page. */
export function playedInOrder(notes: readonly PartNote[]): readonly number[] {
  return notes
    .flatMap((note, noteIndex) => (isPlayed(note) ? [noteIndex] : []))
    .sort((a, b) => compareNotes(notes[a], notes[b]));
}

function compareNotes(a: PartNote | undefined, b: PartNote | undefined): number {
  if (!a || !b) return 0;
  return a.barIndex - b.barIndex || a.offset.compare(b.offset);
}

/** The played notes in the order of performance, repeats unfolded. */
export function performedNotes(
  notes: readonly PartNote[],
  performance: Performance,
): readonly PerformedNote[] {
  const byBar = groupBy(playedInOrder(notes), (noteIndex) => notes[noteIndex]?.barIndex ?? 0);
  const performed: PerformedNote[] = [];
  for (const visit of performance.visits) {
    for (const noteIndex of byBar.get(visit.barIndex) ?? []) {
      const note = notes[noteIndex];
      if (!note) continue;
      const startQuarters = visit.startQuarters.add(note.offset);
      performed.push({
        note,
        noteIndex,
        visit,
        startQuarters,
        endQuarters: startQuarters.add(note.duration),
      });
    }
  }
  return performed;
}
