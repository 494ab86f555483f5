import type { InstrumentsInHand } from "../analyses/instruments-in-hand.js";
import { nameOfPart } from "../analyses/first-instrument.js";
import { instrumentsNamed, readInstrumentName } from "../instruments/names.js";
import { readChangeWords } from "../instruments/change-words.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { Fraction } from "../model/fraction.js";
import type { InstrumentId } from "../model/instrument.js";
import type { PartTimeline, Position } from "../model/score.js";
import { maxFraction, ZERO } from "../theory/fraction.js";
import { playedInOrder } from "../timing/performed-notes.js";

/** Where the player comes to the rewritten bars or leaves them. */
export interface Boundary {
  /** What is in hand from the entry on, as the part is rewritten. */
  readonly instrument: InstrumentId;
  /** Whether that is another than before, so that the page has to say it. */
  readonly isChange: boolean;
  /** Quarters of the page: the end of the note before, and the first note after. */
  readonly leaveQuarters: Fraction;
  readonly enterQuarters: Fraction;
  readonly enter: Position;
  /** Where the words go: at the first rest, else at the first note. */
  readonly words: Position & { readonly over: "rest" | "note" };
  /** Bars from the note before to the entry, both included. */
  readonly bars: { readonly from: number; readonly to: number };
}

/** "to A clarinet": what the page says of a change. */
export function changeText(instrument: InstrumentId): string {
  return `to ${INSTRUMENTS[instrument].name}`;
}

/**
 * The places where rewritten bars meet bars that stay, in the order of the page. Bars in which nothing is
 * played have none.
 * @param isRewritten by the position of a bar in the file
 */
export function boundaries(
  timeline: PartTimeline,
  inHand: InstrumentsInHand,
  isRewritten: readonly boolean[],
  instrument: InstrumentId,
): readonly Boundary[] {
  const { notes, bars } = timeline;
  const quartersAt = ({ barIndex, offset }: Position) =>
    (bars[barIndex]?.writtenQuarters ?? ZERO).add(offset);
  const found: Boundary[] = [];
  let before: { bar: number; on: InstrumentId; isRewritten: boolean } | undefined;
  let leave = ZERO;
  for (const index of playedInOrder(notes)) {
    const note = notes[index];
    if (!note) continue;
    const rewritten = isRewritten[note.barIndex] ?? false;
    const on = rewritten ? instrument : inHand.instrumentOf(index);
    const start = quartersAt(note);
    if (rewritten !== (before?.isRewritten ?? false)) {
      const rest = firstSilence(timeline, leave, start, "rests");
      const enter = { barIndex: note.barIndex, offset: note.offset };
      found.push({
        instrument: on,
        isChange: before ? before.on !== on : !partNames(timeline, on),
        leaveQuarters: leave,
        enterQuarters: start,
        enter,
        words: rest ?? { ...enter, over: "note" },
        bars: { from: before?.bar ?? 0, to: note.barIndex },
      });
    }
    before = { bar: note.barIndex, on, isRewritten: rewritten };
    leave = maxFraction(leave, start.add(note.duration));
  }
  return found;
}

/**
 * The first rest printed in a silence of the player, where words for a change stand.
 * @param leave where the note before ends, in quarters of the page
 * @param enter where the next begins
 * @param cues "cues-too" where small notes of another player are as good a place
 */
export function firstSilence(
  { rests, notes, bars }: PartTimeline,
  leave: Fraction,
  enter: Fraction,
  cues: "rests" | "cues-too",
): Boundary["words"] | undefined {
  const places = [
    ...rests.map((rest) => ({ ...rest, over: "rest" as const })),
    ...(cues === "rests" ? [] : notes.filter((note) => note.cue && !note.grace)).map((note) => ({
      ...note,
      over: "note" as const,
    })),
  ].map(({ barIndex, offset, hidden, over }) => {
    const quarters = (bars[barIndex]?.writtenQuarters ?? ZERO).add(offset);
    return { barIndex, offset, hidden, over, quarters };
  });
  const [first] = places
    .filter(({ hidden }) => !hidden)
    .filter(({ quarters }) => quarters.compare(leave) >= 0 && quarters.compare(enter) < 0)
    .sort((a, b) => a.quarters.compare(b.quarters));
  return first && { barIndex: first.barIndex, offset: first.offset, over: first.over };
}

/** Whether the name of the part says plainly that it begins on an instrument. */
export function partNames(timeline: PartTimeline, instrument: InstrumentId): boolean {
  const name = nameOfPart(timeline);
  if (!name) return false;
  const [only, ...others] = instrumentsNamed(name);
  return only === instrument && (others.length === 0 || name.keyFifths !== undefined);
}

/** Whether words ask for a change at all, and what instruments they may mean. */
function meantBy(text: string): readonly InstrumentId[] | undefined {
  const words = readChangeWords(text);
  return words.kind === "change" ? instrumentsNamed(words.name) : undefined;
}

/** Whether words of the print say what a change now has to say. */
export function isRightFor(text: string, { instrument, isChange }: Boundary): boolean {
  return isChange && meantBy(text)?.includes(instrument) === true;
}

/** Whether words of the print ask for a change that is none any more. */
export function isStale(text: string, place: Boundary | undefined): boolean {
  return meantBy(text) !== undefined && !(place && isRightFor(text, place));
}

/** Whether a name printed beside the staff is that of another instrument than the one in hand. */
export function isStaleName(text: string, instrument: InstrumentId): boolean {
  const name = readInstrumentName(text);
  return name !== undefined && !instrumentsNamed(name).includes(instrument);
}

/** What the print, or the file alone, says of instruments in rewritten bars or where one comes to them. */
export function instructionsNear(
  { instructions }: PartTimeline,
  isRewritten: readonly boolean[],
  places: readonly Boundary[],
): readonly { readonly text: string; readonly barIndex: number }[] {
  return instructions.flatMap(({ kind, text, at: { barIndex } }) => {
    const near = places.filter(({ bars }) => bars.from <= barIndex && barIndex <= bars.to);
    const isNear = isRewritten[barIndex] === true || near.length > 0;
    const asks = kind !== "words" || meantBy(text) !== undefined;
    const isRight = near.some((place) => isRightFor(text, place));
    return isNear && asks && !isRight ? [{ text, barIndex }] : [];
  });
}
