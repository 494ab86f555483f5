import type { Role } from "../model/exposure.js";
import type { AnalysisContext } from "./context.js";
import type { HeardEntry, HeardLine, HeardSpan } from "./entry-heard.js";

/** "Solo", "II. Solo", "soli": the same word in all languages that print it (common practice, no source). */
const SOLO = /(?<!\p{L})sol[oi](?!\p{L})/iu;

/** Fewer notes are no line yet (assumption). */
const FEWEST_NOTES = 3;

/**
 * Who leads, by what can be told from the page: nobody else plays; "Solo" is printed for the player, or for
 * another; the player's line is the highest of those that move; or the player holds or repeats a note under
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
  const moving = along
    .map((line) => ({ ...movementOf(line.spans, entry), line }))
    .filter(({ moves }) => moves);
  if (own.moves && moving.every(({ height, line }) => doubles(line) || height < own.height)) {
    return { value: "leading", because: "highest-moving-line" };
  }
  if (own.stays && moving.length > 0) {
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

/** How a line goes, and how high it lies: the mean of its notes, as MIDI 1.0 numbers. */
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
