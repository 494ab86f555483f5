import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  ceiling,
  fraction,
  maxFraction,
  minFraction,
  ONE,
  toNumber,
  ZERO,
} from "../../src/theory/fraction.js";

const part = fc.record({
  n: fc.integer({ min: -10_000, max: 10_000 }),
  d: fc.integer({ min: 1, max: 960 }),
});

describe("fraction", () => {
  it.each([
    [fraction(3), 3n, 1n],
    [fraction(6, 4), 3n, 2n],
    // As an exporter writes a third of 1024 divisions: the decimals as they stand.
    [fraction("341.333"), 341_333n, 1000n],
    [fraction("0.5"), 1n, 2n],
    [ZERO, 0n, 1n],
    [ONE, 1n, 1n],
  ])("%s is in lowest terms", (value, numerator, denominator) => {
    expect([value.n, value.d]).toEqual([numerator, denominator]);
  });

  it("adds up triplets and quintuplets exactly, which floating point does not", () => {
    const third = fraction(1, 3);
    const fifth = fraction(1, 5);
    expect(third.add(third).add(third).equals(ONE)).toBe(true);
    expect(
      fifth
        .mul(fraction(5))
        .add(third.mul(fraction(3)))
        .equals(fraction(2)),
    ).toBe(true);
    // 0.1 + 0.2 = 0.30000000000000004
    expect(fraction("0.1").add(fraction("0.2")).equals(fraction("0.3"))).toBe(true);
  });
});

describe("maxFraction and minFraction", () => {
  it("order like numbers", () => {
    fc.assert(
      fc.property(part, part, (a, b) => {
        const [x, y] = [fraction(a.n, a.d), fraction(b.n, b.d)];
        expect(toNumber(maxFraction(x, y))).toBe(Math.max(a.n / a.d, b.n / b.d));
        expect(toNumber(minFraction(x, y))).toBe(Math.min(a.n / a.d, b.n / b.d));
        expect(maxFraction(x, y).add(minFraction(x, y)).equals(x.add(y))).toBe(true);
      }),
    );
  });

  it("tell a third from its six decimals", () => {
    const [less, more] = [fraction(333_333, 1_000_000), fraction(1, 3)];
    expect(maxFraction(less, more)).toBe(more);
    expect(minFraction(less, more)).toBe(less);
  });
});

describe("toNumber", () => {
  it.each([
    [fraction(47, 2), 23.5],
    [fraction(1, 3), 1 / 3],
    [fraction(-1, 8), -0.125],
    [ZERO, 0],
  ])("%s is %d", (value, number) => {
    expect(toNumber(value)).toBe(number);
  });
});

describe("ceiling", () => {
  it.each([
    [fraction(7, 2), 4],
    [fraction(-7, 2), -3],
    [fraction(-1, 2), 0],
    [fraction(3), 3],
    [fraction(0), 0],
  ])("is the whole number that is no smaller: %s", (value, expected) => {
    expect(ceiling(value).equals(expected)).toBe(true);
  });
});
