import FractionClass from "fraction.js";
import type { Fraction } from "../model/fraction.js";

/** An exact fraction from an integer, a ratio of integers, or a decimal string. */
export function fraction(numerator: number | string, denominator?: number): Fraction {
  return denominator === undefined
    ? new FractionClass(numerator)
    : new FractionClass(numerator as number, denominator);
}

export const ZERO = fraction(0);
export const ONE = fraction(1);

/** Whether a fraction is above zero. (Its own sign field gives zero the sign plus.) */
export function isPositive(value: Fraction): boolean {
  return value.s > 0n && value.n > 0n;
}

/** Whether a fraction is below zero. */
export function isNegative(value: Fraction): boolean {
  return value.s < 0n && value.n > 0n;
}

/** The larger of two fractions. */
export function maxFraction(a: Fraction, b: Fraction): Fraction {
  return a.compare(b) >= 0 ? a : b;
}

/** The smaller of two fractions. */
export function minFraction(a: Fraction, b: Fraction): Fraction {
  return a.compare(b) <= 0 ? a : b;
}

const SCALE_BITS = 128n;

/** The nearest floating-point number: the last step before seconds or output. */
export function toNumber(value: Fraction): number {
  const plain = value.valueOf();
  if (Number.isFinite(plain)) return plain;
  // Terms too large for a floating-point number: divided first, to more bits than it holds.
  const scaled = Number((value.n << SCALE_BITS) / value.d) / 2 ** Number(SCALE_BITS);
  return value.s < 0n ? -scaled : scaled;
}

/** The whole number that is no smaller, exactly. */
export function ceiling(value: Fraction): Fraction {
  const whole = value.n / value.d;
  if (value.n % value.d === 0n) return value;
  return new FractionClass(value.s < 0n ? -whole : whole + 1n);
}
