import type { Fraction } from "../model/fraction.js";
import type { Articulation, PartNote, PartTimeline, SpelledPitch } from "../model/score.js";
import { maxFraction, toNumber, ZERO } from "../theory/fraction.js";
import { isPlayed, playedInOrder, type PerformedNote } from "../timing/performed-notes.js";
import type { AnalysisContext } from "./context.js";
import { GRACE_NOTE_SECONDS } from "./rests.js";

/** A note as one movement of tongue and fingers: ties are joined to the note they continue. */
export interface LineNote {
  readonly performed: PerformedNote;
  /** The note and those tied to it. */
  readonly tied: readonly PerformedNote[];
  readonly endQuarters: Fraction;
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

/** A shorter silence is part of the articulation (assumption); in no time a breath is caught either. */
const REST_SECONDS = 0.3;
/** Seconds come out of a chain of divisions. */
const ROUNDING = 1e-6;

/** Whether a silence is a rest to hands and breath. */
export function isRest(seconds: number): boolean {
  return seconds >= REST_SECONDS - ROUNDING;
}

interface Head {
  readonly notes: PerformedNote[];
  readonly written: SpelledPitch;
  end: Fraction;
}

/** The notes of a passage as a line; notes without pitch are left out. */
export function lineOf(
  { clock, slurred }: Pick<AnalysisContext, "clock" | "slurred">,
  notes: readonly PerformedNote[],
): readonly LineNote[] {
  const heads = upperLine(joinTies(notes));
  const secondsBetween = (from: Fraction, to: Fraction) =>
    to.compare(from) > 0 ? clock.secondsBetween(from, to).likely : 0;
  return heads.flatMap(({ notes: tied, written, end }, k): LineNote[] => {
    const [first] = tied;
    if (!first) return [];
    const next = heads[k + 1]?.notes[0];
    const before = heads[k - 1];
    const sounding = secondsBetween(first.startQuarters, end);
    const goesOn = next && !isRest(secondsBetween(end, next.startQuarters));
    const toNext = goesOn ? secondsBetween(first.startQuarters, next.startQuarters) : sounding;
    return [
      {
        performed: first,
        tied,
        endQuarters: end,
        written,
        // Grace notes have no length of their own.
        seconds: first.note.grace ? GRACE_NOTE_SECONDS : toNext,
        soundingSeconds: sounding,
        restBefore: !before || isRest(secondsBetween(before.end, first.startQuarters)),
        slurred: slurred.has(first.noteIndex),
      },
    ];
  });
}

function voiceOf({ note }: PerformedNote): string {
  return `${note.staff} ${note.voice}`;
}

/** Notes with what is tied to them; each voice has ties of its own. */
function joinTies(notes: readonly PerformedNote[]): readonly Head[] {
  const heads: Head[] = [];
  const open = new Map<string, Head>();
  for (const performed of notes) {
    const [written] = performed.note.pitches;
    if (!written) continue;
    const held = open.get(voiceOf(performed));
    const isHeld =
      performed.note.tiedFromBefore &&
      held?.notes.at(-1)?.note.tiedToNext === true &&
      performed.startQuarters.equals(held.end);
    if (held && isHeld) {
      held.notes.push(performed);
      held.end = performed.endQuarters;
      continue;
    }
    const head = { notes: [performed], written, end: performed.endQuarters };
    open.set(voiceOf(performed), head);
    heads.push(head);
  }
  return heads;
}

/** Where two voices sound at once, the upper: one player has one line. */
function upperLine(heads: readonly Head[]): readonly Head[] {
  const voices = [
    ...new Set(heads.flatMap(({ notes: [first] }) => (first ? [voiceOf(first)] : []))),
  ];
  if (voices.length < 2) return heads;
  const ends = new Map<string, Fraction>();
  for (const voice of voices) ends.set(voice, ZERO);
  const order = voices.sort();
  const voicesAt = new Map<string, Set<string>>();
  for (const {
    notes: [first],
  } of heads) {
    if (!first) continue;
    const start = first.startQuarters.toFraction();
    voicesAt.set(start, (voicesAt.get(start) ?? new Set()).add(voiceOf(first)));
  }
  return heads.filter(({ notes: [first], end }) => {
    if (!first) return false;
    const voice = voiceOf(first);
    const upper = order.slice(0, order.indexOf(voice));
    const together = voicesAt.get(first.startQuarters.toFraction());
    const isCovered =
      upper.some((other) => (ends.get(other) ?? ZERO).compare(first.startQuarters) > 0) ||
      upper.some((other) => together?.has(other));
    ends.set(voice, maxFraction(ends.get(voice) ?? ZERO, end));
    return !isCovered;
  });
}

/** Dots and lines on two notes in a row under a slur: they are tongued all the same (portato). */
const PORTATO: ReadonlySet<Articulation> = new Set([
  "staccato",
  "staccatissimo",
  "tenuto",
  "detached-legato",
  "spiccato",
]);

/**
 * Notes that are reached under a slur, by their index in the timeline: they are not tongued. A rest ends
 * every slur, since a slur's end may stand at one.
 */
export function slurredNotes({ notes, bars }: PartTimeline): ReadonlySet<number> {
  const slurred = new Set<number>();
  const voices = new Map<string, { open: number; end: number; marked: boolean }>();
  for (const noteIndex of playedInOrder(notes)) {
    const note = notes[noteIndex];
    if (!note || !isPlayed(note)) continue;
    const key = `${note.staff} ${note.voice}`;
    const voice = voices.get(key) ?? { open: 0, end: 0, marked: false };
    const barStart = bars[note.barIndex]?.writtenQuarters;
    const start = (barStart ? toNumber(barStart) : 0) + toNumber(note.offset);
    if (start > voice.end + SAME_PLACE) voice.open = 0;
    // A dot on the last of a slur alone only shortens it.
    const isPortato = voice.marked && isMarked(note);
    if (voice.open > 0 && !isPortato) slurred.add(noteIndex);
    voice.marked = isMarked(note);
    const stops = note.marks?.slurStops ?? 0;
    voice.open = Math.max(0, voice.open - stops) + (note.marks?.slurStarts ?? 0);
    voice.end = Math.max(voice.end, start + toNumber(note.duration));
    voices.set(key, voice);
  }
  return slurred;
}

const SAME_PLACE = 1e-9;

function isMarked({ marks }: PartNote): boolean {
  return marks?.articulations?.some((each) => PORTATO.has(each)) ?? false;
}
