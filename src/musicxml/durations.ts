import type { Fraction } from "../model/fraction.js";
import { fraction, isPositive, ONE, ZERO } from "../theory/fraction.js";
import type { Notify } from "./notices.js";

const cachedDurations = new Map<string, Fraction>();

/** A duration in divisions (which may be a decimal) as quarters. */
export function quarters(text: string | undefined, divisions: Fraction, notify: Notify): Fraction {
  if (text === undefined) return ZERO;
  const key = `${text}/${divisions.n}/${divisions.d}`;
  const known = cachedDurations.get(key);
  if (known) return known;
  const value = positiveNumber(text);
  if (!value) {
    if (Number(text) !== 0) notify({ kind: "odd-number", element: "duration", text });
    return ZERO;
  }
  const result = value.div(divisions);
  // Bounded: a hostile file could make every duration a new one.
  if (cachedDurations.size < 5000) cachedDurations.set(key, result);
  return result;
}

/** A positive decimal of a sensible size, exactly; undefined for anything else. */
export function positiveNumber(text: string): Fraction | undefined {
  if (!/^\+?\d{1,12}(?:\.\d{1,30})?$/.test(text)) return undefined;
  const value = /^\d+$/.test(text) ? fraction(Number(text)) : fraction(text.replace("+", ""));
  return isPositive(value) ? value : undefined;
}

const TYPE_QUARTERS: ReadonlyMap<string, Fraction> = new Map([
  ["maxima", fraction(32)],
  ["long", fraction(16)],
  ["breve", fraction(8)],
  ["whole", fraction(4)],
  ["half", fraction(2)],
  ["quarter", ONE],
  ["eighth", fraction(1, 2)],
  ["16th", fraction(1, 4)],
  ["32nd", fraction(1, 8)],
  ["64th", fraction(1, 16)],
  ["128th", fraction(1, 32)],
  ["256th", fraction(1, 64)],
  ["512th", fraction(1, 128)],
  ["1024th", fraction(1, 256)],
]);

/** Quarters of a note value by its MusicXML name and dots; undefined for an unknown name. */
export function noteValueQuarters(type: string, dots: number): Fraction | undefined {
  const plain = TYPE_QUARTERS.get(type);
  // n dots make the value 2 - 1/2^n times as long.
  return plain?.mul(fraction(2).sub(fraction(1, 2 ** Math.min(dots, 8))));
}
