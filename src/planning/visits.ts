import { measureChange } from "../analyses/changes.js";
import type { AnalysisContext } from "../analyses/context.js";
import { passageOfNotes } from "../analyses/passages.js";
import { playedStretches, type PlayedStretch } from "../analyses/stretches.js";
import type { InstrumentId } from "../model/instrument.js";
import type { InstrumentChange } from "../model/report.js";
import { performedNotes, type PerformedNote } from "../timing/performed-notes.js";

/** One time through a passage, or through some of it, with the way into it. */
export interface PassageVisit {
  /** Position in the part's passages. */
  readonly passage: number;
  /** In the order of performance. */
  readonly notes: readonly PerformedNote[];
  /** The pitches in them, which is what passages are weighed by. */
  readonly noteCount: number;
  /** The stretches on both sides of the rest before it; null before the first visit. */
  readonly gap: Gap | null;
}

/** A rest, which may be none, between two passages. */
export interface Gap {
  readonly before: PlayedStretch;
  readonly after: PlayedStretch;
  /** What a change of instrument would come to here. Its number is 0: in a plan it has another. */
  readonly change: (from: InstrumentId, to: InstrumentId) => InstrumentChange;
}

/** The passages in the order of performance, those that a repeat brings back as often as they are played. */
export function passageVisits(context: AnalysisContext): readonly PassageVisit[] {
  const { timeline, performance, inHand } = context;
  const numbers = passageOfNotes(context);
  const pieces = playedStretches(
    performedNotes(timeline.notes, performance),
    inHand.instrumentOf,
    (noteIndex) => numbers.get(noteIndex),
  );
  const visits: { passage: number; notes: PerformedNote[]; gap: Gap | null }[] = [];
  pieces.forEach((piece, k) => {
    const number = numbers.get(piece.notes[0]?.noteIndex ?? -1);
    if (number === undefined) throw new Error("every note that is played is in a passage");
    const open = visits.at(-1);
    const before = pieces[k - 1];
    // A passage that follows on itself is left to be one visit: nothing is changed inside it.
    if (open?.passage === number - 1) open.notes.push(...piece.notes);
    else {
      visits.push({
        passage: number - 1,
        notes: [...piece.notes],
        gap: before ? gapBetween(context, before, piece) : null,
      });
    }
  });
  return visits.map((visit) => ({
    ...visit,
    noteCount: visit.notes.reduce((sum, { note }) => sum + note.pitches.length, 0),
  }));
}

function gapBetween(context: AnalysisContext, before: PlayedStretch, after: PlayedStretch): Gap {
  const known = new Map<string, InstrumentChange>();
  return {
    before,
    after,
    change: (from, to) => {
      const pair = `${from}>${to}`;
      const change =
        known.get(pair) ??
        measureChange(context, { ...before, instrument: from }, { ...after, instrument: to }, 0);
      known.set(pair, change);
      return change;
    },
  };
}
