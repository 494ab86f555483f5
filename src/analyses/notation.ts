import { instrumentsNamed } from "../instruments/names.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { Notice } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartTimeline, Position } from "../model/score.js";
import { transpositionFifths } from "../theory/pitch.js";
import { nameOfPart } from "./first-instrument.js";
import { inForceAt } from "./in-force.js";

/** How a part is notated: for its instrument, or at the pitch that sounds. */
export interface Notation {
  /** Whether the notes stand at sounding pitch, as the file says or as the other players' key shows. */
  readonly atSoundingPitch: boolean;
  /** What tells which instrument the notes are meant for. */
  readonly transpositions: PartTimeline["transpositions"];
  readonly notices: readonly Notice[];
}

const FROM_FILE = { atSoundingPitch: false, notices: [] };

/**
 * Finds out whether a part is notated at sounding pitch.
 *
 * `<concert-score>` says so, and `<for-part>` then tells what each part will be transposed by. Without it a
 * part for a transposing instrument that prints no transposition sounds as written by the standard; but files
 * leave transpositions out. The other players' key decides: a score in C has the same for all. Where it does
 * not tell, a score in which nobody is transposed is in C, and a part alone is what the player reads.
 */
export function readNotation(timeline: PartTimeline): Notation {
  const { concertScore, partTranspositions, transpositions } = timeline;
  if (concertScore) {
    return { atSoundingPitch: true, transpositions: partTranspositions, notices: [] };
  }
  const asPrinted = { ...FROM_FILE, transpositions };
  const name = nameOfPart(timeline);
  const [instrument] = name ? instrumentsNamed(name) : [];
  const octavesOnly = transpositions.every(({ value }) => transpositionFifths(value) === 0);
  if (!instrument || !octavesOnly || INSTRUMENTS[instrument].keyFifths === 0) return asPrinted;
  const because = whyInC(timeline, instrument);
  if (!because) return asPrinted;
  const notice: Notice = { kind: "score-in-c", instrument, because };
  return { atSoundingPitch: true, transpositions: [], notices: [notice] };
}

function whyInC(
  timeline: PartTimeline,
  instrument: InstrumentId,
): Extract<Notice, { kind: "score-in-c" }>["because"] | undefined {
  const { otherParts, transpositions, keys } = timeline;
  if (otherParts === "none") return undefined;
  for (const { at, value: written } of keys) {
    const sounding = scoreKeyAt(timeline, at)?.value ?? null;
    // No signature anywhere may be an open key.
    if (written === null || sounding === null || (written === 0 && sounding === 0)) continue;
    if (isSameKey(written, sounding)) return "key";
    if (isSameKey(written + INSTRUMENTS[instrument].keyFifths, sounding)) return undefined;
  }
  const saysNothing = otherParts === "as-written" && transpositions.length === 0;
  return saysNothing ? "no-transpositions" : undefined;
}

/** The other players' key in force at a place. */
export function scoreKeyAt({ scoreKeys, bars }: PartTimeline, at: Position) {
  return inForceAt(scoreKeys, bars, at);
}

/** Whether two keys sound the same, however they are spelled. */
export function isSameKey(a: number, b: number): boolean {
  return (a - b) % 12 === 0;
}
