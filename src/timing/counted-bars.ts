import type { Fraction } from "../model/fraction.js";
import type { Bar } from "../model/score.js";
import type { BarVisit } from "../model/time.js";
import { isPositive, maxFraction, minFraction, ONE } from "../theory/fraction.js";
import type { Performance } from "./performance.js";

/** What of one bar a rest takes. */
export interface SilentPiece {
  readonly visit: BarVisit;
  readonly bar: Bar;
  /** Quarters from the start of the performance. */
  readonly from: Fraction;
  readonly to: Fraction;
  readonly quarters: Fraction;
  /** Which part of a whole bar it is, at most 1. */
  readonly share: Fraction;
  /** `first-half` and `second-half`: two silent bars, one after the other, that make one of their meter. */
  readonly counts: "whole" | "part" | "first-half" | "second-half";
}

/** A pick-up or half of a divided bar is counted as the part of a bar that it is. */
export function countedBarQuarters({ lengthQuarters, meter }: Bar): Fraction {
  const whole = meter.unmetered ? lengthQuarters : maxFraction(lengthQuarters, meter.barQuarters);
  return isPositive(whole) ? whole : ONE;
}

/** A rest bar by bar, in the order of performance. */
export function silentPieces(
  performance: Pick<Performance, "visits" | "visitAt" | "barOf">,
  from: Fraction,
  to: Fraction,
): readonly SilentPiece[] {
  const { visits } = performance;
  const pieces: SilentPiece[] = [];
  for (let k = performance.visitAt(from).visitIndex; k < visits.length; k++) {
    const visit = visits[k];
    if (!visit || visit.startQuarters.compare(to) >= 0) break;
    const start = maxFraction(visit.startQuarters, from);
    const end = minFraction(visit.startQuarters.add(visit.lengthQuarters), to);
    const quarters = end.sub(start);
    if (!isPositive(quarters)) continue;
    const bar = performance.barOf(visit);
    const share = quarters.div(countedBarQuarters(bar));
    const before = pieces.at(-1);
    const whole = share.equals(ONE);
    const piece: SilentPiece = {
      ...{ visit, bar, from: start, to: end, quarters, share },
      counts: whole ? "whole" : "part",
    };
    if (before && makeOneBar(before, piece)) {
      pieces[pieces.length - 1] = { ...before, counts: "first-half" };
      pieces.push({ ...piece, counts: "second-half" });
    } else pieces.push(piece);
  }
  return pieces;
}

/** A bar divided by a double bar or a repeat sign, or the bar before a repeat and the upbeat it goes back to. */
function makeOneBar(a: SilentPiece, b: SilentPiece): boolean {
  const isShortBar = ({ counts, quarters, bar }: SilentPiece) =>
    counts === "part" && quarters.equals(bar.lengthQuarters);
  return (
    isShortBar(a) &&
    isShortBar(b) &&
    a.bar.meter.label === b.bar.meter.label &&
    a.share.add(b.share).equals(ONE)
  );
}
