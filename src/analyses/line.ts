import type { PartNote, PartTimeline, SpelledPitch } from "../model/score.js";
import { toNumber } from "../theory/fraction.js";
import { isPlayed, playedInOrder, type PerformedNote } from "../timing/performed-notes.js";
import type { AnalysisContext } from "./context.js";
import { GRACE_NOTE_SECONDS } from "./rests.js";

/** A note as one movement of tongue and fingers: ties are joined to the note they continue. */
export interface LineNote {
  readonly performed: PerformedNote;
  /** As written for the instrument in hand; the upper note of a chord. */
  readonly written: SpelledPitch;
  /** From this onset to the next, at the likely tempo; how long it sounds where a rest or nothing follows. */
  readonly seconds: number;
  /** How long it sounds, ties included. */
  readonly soundingSeconds: number;
  /** Silence before it, long enough to place the fingers anew. */
  readonly restBefore: boolean;
  /** Whether no tongue comes between the note before and this one. */
  readonly slurred: boolean;
}

/** A shorter silence is part of the articulation (assumption). */
const REST_SECONDS = 0.3;

/** The notes of a passage as a line; notes without pitch are left out. */
export function lineOf(
  { clock }: Pick<AnalysisContext, "clock">,
  notes: readonly PerformedNote[],
  slurred: ReadonlySet<number>,
): readonly LineNote[] {
  const heads: { first: PerformedNote; written: SpelledPitch; end: PerformedNote }[] = [];
  for (const performed of notes) {
    const [written] = performed.note.pitches;
    if (!written) continue;
    const open = heads.at(-1);
    const continues = performed.note.tiedFromBefore && open?.end.note.tiedToNext;
    if (open && continues && performed.startQuarters.equals(open.end.endQuarters)) {
      open.end = performed;
    } else heads.push({ first: performed, written, end: performed });
  }
  const secondsBetween = (from: PerformedNote["startQuarters"], to: typeof from) =>
    to.compare(from) > 0 ? clock.secondsBetween(from, to).likely : 0;
  return heads.map(({ first, written, end }, k) => {
    const next = heads[k + 1]?.first;
    const before = heads[k - 1]?.end;
    const soundingSeconds = secondsBetween(first.startQuarters, end.endQuarters);
    const toNext = next && secondsBetween(first.startQuarters, next.startQuarters);
    const silence = before ? secondsBetween(before.endQuarters, first.startQuarters) : Infinity;
    return {
      performed: first,
      written,
      // Grace notes have no length of their own; what precedes them gives it.
      seconds: first.note.grace ? GRACE_NOTE_SECONDS : (toNext ?? soundingSeconds),
      soundingSeconds,
      restBefore: silence >= REST_SECONDS,
      slurred: slurred.has(first.noteIndex),
    };
  });
}

/**
 * Notes that are reached under a slur, by their index in the timeline: they are not tongued. A rest ends
 * every slur, since a slur's end may stand at one.
 */
export function slurredNotes({ notes, bars }: PartTimeline): ReadonlySet<number> {
  const slurred = new Set<number>();
  const voices = new Map<string, { open: number; end: number }>();
  for (const noteIndex of playedInOrder(notes)) {
    const note = notes[noteIndex];
    if (!note || !isPlayed(note)) continue;
    const key = `${note.staff} ${note.voice}`;
    const voice = voices.get(key) ?? { open: 0, end: 0 };
    const barStart = bars[note.barIndex]?.writtenQuarters;
    const start = (barStart ? toNumber(barStart) : 0) + toNumber(note.offset);
    if (start > voice.end + SAME_PLACE) voice.open = 0;
    if (voice.open > 0) slurred.add(noteIndex);
    voice.open = Math.max(0, voice.open - stops(note)) + (note.marks?.slurStarts ?? 0);
    voice.end = Math.max(voice.end, start + toNumber(note.duration));
    voices.set(key, voice);
  }
  return slurred;
}

const SAME_PLACE = 1e-9;

function stops(note: PartNote): number {
  return note.marks?.slurStops ?? 0;
}
