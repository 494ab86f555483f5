/**
 * Seconds and quarters under a tempo that changes evenly over the notated values. From b1 to b2 quarters
 * a minute, linear in score position, q quarters last 60 q ln(b2/b1) / (b2 - b1): the integral of
 * 60 / b(x) over x. Both functions keep their precision where b1 and b2 are nearly the same.
 */

/** @param quarters length; `from` and `to` are quarters a minute at its two ends, above zero */
export function rampSeconds(quarters: number, from: number, to: number): number {
  const change = (to - from) / from;
  // ln(1 + r) / r tends to 1.
  const factor = change === 0 ? 1 : Math.log1p(change) / change;
  return ((60 * quarters) / from) * factor;
}

/** The other way round: how far so many seconds lead into the ramp; at most its length. */
export function rampQuarters(seconds: number, quarters: number, from: number, to: number): number {
  const slope = quarters === 0 ? 0 : (to - from) / quarters;
  const plain = (seconds * from) / 60;
  const reached = slope === 0 ? plain : (from * Math.expm1((slope * seconds) / 60)) / slope;
  return Math.min(quarters, reached);
}
