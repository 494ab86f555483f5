import {
  bestFingering,
  worstSpots,
  type BestFingering,
  type FingeredNote,
} from "../fingering/best-fingering.js";
import { notesPerSecond } from "../fingering/weights.js";
import type { InstrumentId } from "../model/instrument.js";
import type { HardSpot } from "../model/report.js";
import type { SpelledPitch } from "../model/score.js";
import { midiNumber } from "../theory/pitch.js";
import type { SoundingPassage } from "./choices.js";
import { moveCause } from "./move-cause.js";

/** A passage under the fingers on one instrument. */
export interface HandsOnIt {
  readonly instrument: InstrumentId;
  /** As written for it, note by note. */
  readonly written: readonly SpelledPitch[];
  readonly best: BestFingering;
}

/** Plays a passage on an instrument with the fingerings that take least. */
export function handsOn(
  instrument: InstrumentId,
  written: readonly SpelledPitch[],
  { line }: SoundingPassage,
): HandsOnIt {
  const notes = line.flatMap(({ seconds, restBefore, slurred }, k): FingeredNote[] => {
    const pitch = written[k];
    return pitch ? [{ midi: midiNumber(pitch), seconds, restBefore, slurred }] : [];
  });
  return { instrument, written, best: bestFingering(notes, instrument) };
}

export function countBreaks({ notes }: BestFingering): number {
  return notes.filter(({ reasons }) => reasons.some(({ kind }) => kind === "break")).length;
}

/** Places that take less are no hard spots, in points. */
const SPOT_FROM = 3;
const MOST_SPOTS = 12;

/** The worst places on an instrument, each pair of notes once, and what they are on the others. */
export function hardSpots(
  { instrument, written, best }: HandsOnIt,
  all: readonly HandsOnIt[],
  { line, momentOf }: SoundingPassage,
): readonly HardSpot[] {
  const others = all.filter((each) => each.instrument !== instrument);
  const pairs = new Set<string>();
  const spots: HardSpot[] = [];
  for (const { index, note } of worstSpots(best, best.notes.length)) {
    if (note.strain < SPOT_FROM || spots.length >= MOST_SPOTS) break;
    const cause = moveCause(note.reasons);
    const [from, to, lineNote] = [written[index - 1], written[index], line[index]];
    if (!cause || !to || !lineNote) continue;
    const moves = note.speed !== null && from !== undefined;
    // There and back are the same move.
    const ends = [moves ? midiNumber(from) : 0, midiNumber(to)];
    const pair = ends.sort((a, b) => a - b).join(" ");
    if (pairs.has(pair)) continue;
    pairs.add(pair);
    spots.push({
      at: momentOf(lineNote),
      from: moves ? from : null,
      to,
      notesPerSecond: note.speed ?? notesPerSecond(lineNote.seconds),
      strain: note.strain,
      cause,
      elsewhere: others.flatMap((other) => {
        const there = other.written[index];
        const before = other.written[index - 1];
        if (!there) return [];
        const strain = other.best.notes[index]?.strain ?? 0;
        const from = moves && before ? before : null;
        return [{ instrument: other.instrument, from, to: there, strain }];
      }),
    });
  }
  return spots;
}
