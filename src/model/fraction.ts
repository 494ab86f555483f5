/**
 * An exact rational number, sign times n / d; every position and length in quarters is one.
 * Made by `theory/fraction.ts`. Zero has the sign plus: ask `isPositive`, not `s`.
 */
export interface Fraction {
  readonly s: bigint;
  readonly n: bigint;
  readonly d: bigint;
  add(other: Fraction): Fraction;
  sub(other: Fraction): Fraction;
  mul(other: Fraction): Fraction;
  div(other: Fraction): Fraction;
  /** Negative, zero or positive as this is smaller than, equal to, or larger than the other. */
  compare(other: Fraction | number): number;
  equals(other: Fraction | number): boolean;
  valueOf(): number;
  /** "7/3". */
  toFraction(): string;
}
