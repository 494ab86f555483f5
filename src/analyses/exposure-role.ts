import type { Role } from "../model/exposure.js";
import type { AnalysisContext } from "./context.js";
import type { HeardEntry, HeardLine, HeardSpan } from "./entry-heard.js";

/** "Solo", "II. Solo", "soli": the same word in all languages that print it (common practice, no source). */
const SOLO = /(?<!\p{L})sol[oi](?!\p{L})/iu;

/** Fewer notes are no line yet (assumption). */
const FEWEST_NOTES = 3;

/**
 * Who leads, by what can be told from the page: nobody else plays; "Solo" is printed for the player, or for
 * another; the player's line moves and is the highest, held notes included; or the player holds or repeats a note under
 * one that moves. A line moves when at least half of its notes go to another pitch. All else, such as a
 * melody below a moving accompaniment, is left open.
 * @param along those who play along, doublers among them: a line may begin on the note that the player holds
 * @param doubles whether a part has the player's notes, so that it is the same line
 */
export function roleOf(
  context: AnalysisContext,
  entry: HeardEntry,
  along: readonly HeardLine[],
  doubles: (line: HeardLine) => boolean,
): Role {
  if (isMarkedSolo(context, entry)) return { value: "leading", because: "marked-solo" };
  if (along.length === 0) return { value: "leading", because: "alone" };
  if (along.some((line) => isSoloPart(line, entry))) {
    return { value: "accompanying", because: "another-marked-solo" };
  }
  const own = movementOf(entry.own, entry);
  // A melody may begin with one long note: over a murmur nobody knows yet who leads.
  const isBelow = (line: HeardLine) => doubles(line) || heightOf(line.spans) < own.height;
  if (own.moves && along.every(isBelow)) {
    return { value: "leading", because: "highest-moving-line" };
  }
  if (own.stays && along.some((line) => movementOf(line.spans, entry).moves)) {
    return { value: "accompanying", because: "held-under-a-moving-line" };
  }
  return { value: "unknown" };
}

function isMarkedSolo({ timeline }: AnalysisContext, { visits }: HeardEntry): boolean {
  const bars = new Set(visits.map(({ barIndex }) => barIndex));
  return timeline.instructions.some(
    ({ at, kind, text }) => kind === "words" && bars.has(at.barIndex) && SOLO.test(text),
  );
}

function isSoloPart({ part }: HeardLine, { visits }: HeardEntry): boolean {
  return visits.some(({ barIndex }) => part.words(barIndex).some(({ text }) => SOLO.test(text)));
}

/** How high a line lies, held notes included: the mean of its highest notes, as MIDI 1.0 numbers; 0 for a drum. */
function heightOf(spans: readonly HeardSpan[]): number {
  const pitches = spans.flatMap(({ pitches: [highest] }) => highest ?? []);
  return pitches.reduce((sum, pitch) => sum + pitch, 0) / Math.max(1, pitches.length);
}

/** How a line goes, and how high its notes lie. */
function movementOf(spans: readonly HeardSpan[], { from, to }: HeardEntry) {
  const pitches = [...spans]
    .filter(({ begins, start }) => begins && start >= from && start < to)
    .sort((a, b) => a.start - b.start)
    .flatMap(({ pitches: [highest] }) => (highest === undefined ? [] : [highest]));
  const steps = pitches.slice(1).filter((pitch, k) => pitch !== pitches[k]).length;
  return {
    moves: pitches.length >= FEWEST_NOTES && steps >= (pitches.length - 1) / 2,
    stays: pitches.length > 0 && steps === 0,
    height: pitches.reduce((sum, pitch) => sum + pitch, 0) / Math.max(1, pitches.length),
  };
}
