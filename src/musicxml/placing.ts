import type { Fraction } from "../model/fraction.js";
import type { Bar, FromHere, Position } from "../model/score.js";
import { isNegative, ZERO } from "../theory/fraction.js";

/** A value whose offset may still point before its bar. */
export interface Unplaced<T> {
  readonly barIndex: number;
  readonly offset: Fraction;
  readonly value: T;
  readonly staff?: number;
}

/** Everything in the order of the page; what stands at one place stays in the order of the file. */
export function placeAll<T>(bars: readonly Bar[], items: readonly Unplaced<T>[]): FromHere<T>[] {
  return items
    .map(({ barIndex, offset, value, staff }) => ({
      at: position(bars, barIndex, offset),
      value,
      ...(staff !== undefined && { staff }),
    }))
    .sort((a, b) => comparePositions(a.at, b.at));
}

/** No sign is meant for a place further away than this; such an offset is a slip. */
const MOST_BARS_AWAY = 64;

/** A place inside its bar, however far an offset has moved it. */
export function position(bars: readonly Bar[], barIndex: number, offset: Fraction): Position {
  let place = { barIndex, offset };
  while (isNegative(place.offset)) {
    const before = bars[place.barIndex - 1];
    if (!before) return { barIndex: 0, offset: ZERO };
    if (barIndex - place.barIndex >= MOST_BARS_AWAY) return { barIndex, offset: ZERO };
    place = { barIndex: before.barIndex, offset: place.offset.add(before.lengthQuarters) };
  }
  for (;;) {
    const bar = bars[place.barIndex];
    const isLast = place.barIndex + 1 >= bars.length;
    // A mark at the very end of a bar stays there: it may belong to the last note.
    if (!bar || isLast || place.offset.compare(bar.lengthQuarters) <= 0) return place;
    if (place.barIndex - barIndex >= MOST_BARS_AWAY) return { barIndex, offset: ZERO };
    place = { barIndex: place.barIndex + 1, offset: place.offset.sub(bar.lengthQuarters) };
  }
}

/** A mark printed just before its bar, to make room, is for the bar. */
export function atBarline<T>(sign: Unplaced<T>): Unplaced<T> {
  const isJustBefore = isNegative(sign.offset) && sign.offset.compare(-1) > 0;
  return isJustBefore ? { ...sign, offset: ZERO } : sign;
}

/** A tempo at the very end of a bar holds from the next. */
export function fromNextBar(bars: readonly Bar[], at: Position): Position {
  const atEnd = bars[at.barIndex]?.lengthQuarters.equals(at.offset) ?? false;
  const hasNext = at.barIndex + 1 < bars.length;
  return atEnd && hasNext ? { barIndex: at.barIndex + 1, offset: ZERO } : at;
}

/** Order on the page. */
export function comparePositions(a: Position, b: Position): number {
  return a.barIndex - b.barIndex || a.offset.compare(b.offset);
}
