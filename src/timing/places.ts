import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { Bar, Position } from "../model/score.js";
import { fraction, isNegative, isPositive, ONE, ZERO } from "../theory/fraction.js";
import { groupBy } from "../theory/search.js";

/** Signs of the page by the bar they stand in, each bar's in order. */
export type SignsByBar<T> = ReadonlyMap<number, readonly T[]>;

export function groupByBar<T extends { readonly at: Position }>(
  signs: readonly T[],
): SignsByBar<T> {
  const inOrder = [...signs].sort((a, b) => a.at.offset.compare(b.at.offset));
  return groupBy(inOrder, ({ at }) => at.barIndex);
}

/** A place as a player writes it down. */
export interface NamedPlace {
  readonly barLabel: string;
  /** In the beats the player counts, from 1. */
  readonly beat: number;
}

/**
 * The beat of a place in a bar, from 1. A short first bar is a pick-up: its beats are the last of
 * a full bar, so that a pick-up quarter in 4/4 is beat 4.
 */
export function beatAt(bar: Bar, offset: Fraction): Fraction {
  return offset.add(pickUpShift(bar)).div(bar.meter.beatQuarters).add(ONE);
}

/** The place of a beat: quarters from the start of the bar, which may lie outside it. */
export function offsetOfBeat(bar: Bar, beat: number): Fraction {
  return plainFraction(beat).sub(ONE).mul(bar.meter.beatQuarters).sub(pickUpShift(bar));
}

function pickUpShift({ meter, lengthQuarters, barIndex }: Bar): Fraction {
  const missing = meter.barQuarters.sub(lengthQuarters);
  return barIndex === 0 && !meter.unmetered && isPositive(missing) ? missing : ZERO;
}

/**
 * The place of a beat inside a bar. Beat 1 of a pick-up is its first.
 * @returns undefined where the bar has no such beat
 */
export function offsetInBar(bar: Bar, beat: number): Fraction | undefined {
  const offset = offsetOfBeat(bar, beat);
  if (isNegative(offset)) return beat === 1 ? ZERO : undefined;
  return offset.compare(bar.lengthQuarters) > 0 ? undefined : offset;
}

/** "1–128": the printed numbers of the first bar and the last. */
export function barSpan(bars: readonly Bar[]): string {
  return `${bars[0]?.barLabel ?? ""}–${bars.at(-1)?.barLabel ?? ""}`;
}

/**
 * Finds places the player names. Bars that carry the same number one after the other are one bar to the
 * player; where the number comes back later, the first that has the beat is meant.
 * @param source what names them, for the message: "the tempo sheet"
 * @returns a finder, which throws InputError `no-matching-bar` for a place that is not there
 */
export function placeFinder(bars: readonly Bar[], source: string): (place: NamedPlace) => Position {
  const byLabel = groupBy(bars, ({ barLabel }) => barLabel);
  return ({ barLabel, beat }) => {
    const named = byLabel.get(barLabel);
    if (!named) {
      const message = `${source} names bar ${barLabel}, which is not there; the bars are ${barSpan(bars)}`;
      throw new InputError("no-matching-bar", message);
    }
    for (const bar of named) {
      const offset = offsetInBar(bar, beat);
      if (offset) return { barIndex: bar.barIndex, offset };
      const position = inSecondHalf(bars, bar, beat);
      if (position) return position;
    }
    throw new InputError("no-matching-bar", `${source} names beat ${beat}, which is not there`, {
      bar: barLabel,
    });
  };
}

/** A bar divided by a double bar goes on counting in its second half. */
function inSecondHalf(bars: readonly Bar[], bar: Bar, beat: number): Position | undefined {
  const next = bars[bar.barIndex + 1];
  if (next?.barLabel !== bar.barLabel) return undefined;
  const offset = offsetOfBeat(bar, beat).sub(bar.lengthQuarters);
  const isThere = !isNegative(offset) && offset.compare(next.lengthQuarters) <= 0;
  return isThere ? { barIndex: next.barIndex, offset } : undefined;
}

/** Divisions of a beat that decimals such as 1.3333 stand for, the plainest first. */
const DENOMINATORS = [1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 5, 7, 9, 10, 14, 20, 28, 40, 48];
/** A decimal of four places is off by no more than this. */
const ROUNDING = 6e-5;

/** The plain fraction that a rounded decimal stands for; the decimal itself where there is none. */
function plainFraction(value: number): Fraction {
  for (const denominator of DENOMINATORS) {
    const numerator = Math.round(value * denominator);
    if (Math.abs(value - numerator / denominator) <= ROUNDING) {
      return fraction(numerator, denominator);
    }
  }
  return fraction(value);
}
