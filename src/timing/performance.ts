import type { Fraction } from "../model/fraction.js";
import type { Bar, Position } from "../model/score.js";
import type { BarVisit, Moment } from "../model/time.js";
import { isPositive, toNumber, ZERO } from "../theory/fraction.js";
import { lastIndexWhere } from "../theory/search.js";
import { countedBarQuarters, silentPieces } from "./counted-bars.js";
import { movementNumbers } from "./movements.js";
import { beatAt } from "./places.js";

/** The bars in the order of performance, with ways between performed time and the page. */
export interface Performance {
  readonly bars: readonly Bar[];
  readonly visits: readonly BarVisit[];
  readonly totalQuarters: Fraction;
  /** The time through a bar in which a moment falls; the end belongs to the last. */
  readonly visitAt: (quarters: Fraction) => BarVisit;
  /** The last visit that begins before a moment: where a note that ends there was played. */
  readonly visitEndingAt: (quarters: Fraction) => BarVisit;
  /** A place in a visit as the player would name it. */
  readonly moment: (visit: BarVisit, offset: Fraction) => Moment;
  readonly momentAt: (quarters: Fraction) => Moment;
  readonly barOf: (visit: BarVisit) => Bar;
  /** Whole and partial bars between two moments; a pick-up counts as the part of a bar that it is. */
  readonly barsBetween: (from: Fraction, to: Fraction) => number;
  /**
   * A rest as the player counts it: whole bars, a bar divided by a barline among them, and the beats of bars
   * that are only partly silent.
   */
  readonly countedRest: (
    from: Fraction,
    to: Fraction,
  ) => { readonly bars: number; readonly beats: number };
  /** Beats between two moments, as counted in the meter of each bar. */
  readonly beatsBetween: (from: Fraction, to: Fraction) => number;
}

/** Joins bars and their order of performance. `visits` must not be empty. */
export function createPerformance(bars: readonly Bar[], visits: readonly BarVisit[]): Performance {
  return new OrderedBars(bars, visits);
}

/** A class, since what the engine has compiled for functions of one performance is lost with it. */
class OrderedBars implements Performance {
  readonly totalQuarters: Fraction;
  private readonly last: BarVisit;
  private readonly timesPlayed = new Map<number, number>();
  private readonly movementOf: readonly number[] | undefined;

  constructor(
    readonly bars: readonly Bar[],
    readonly visits: readonly BarVisit[],
  ) {
    const last = visits.at(-1);
    if (!last) throw new Error("a performance has at least one bar");
    this.last = last;
    this.totalQuarters = last.startQuarters.add(last.lengthQuarters);
    for (const { barIndex, pass } of visits) this.timesPlayed.set(barIndex, pass);
    this.movementOf = movementNumbers(bars);
  }

  visitAt(quarters: Fraction): BarVisit {
    return this.visitBegun(quarters, 0);
  }

  visitEndingAt(quarters: Fraction): BarVisit {
    return this.visitBegun(quarters, -1);
  }

  moment(visit: BarVisit, offset: Fraction): Moment {
    const bar = this.barOf(visit);
    return {
      visitIndex: visit.visitIndex,
      barIndex: bar.barIndex,
      barLabel: bar.barLabel,
      ...(this.movementOf && { movement: this.movementOf[bar.barIndex] ?? 1 }),
      pass: visit.pass,
      repeated: (this.timesPlayed.get(bar.barIndex) ?? 1) > 1,
      beat: toNumber(beatAt(bar, offset)),
      atBarEnd: isPositive(bar.lengthQuarters) && offset.equals(bar.lengthQuarters),
      quarters: visit.startQuarters.add(offset),
    };
  }

  momentAt(quarters: Fraction): Moment {
    const visit = this.visitAt(quarters);
    return this.moment(visit, quarters.sub(visit.startQuarters));
  }

  barOf(visit: BarVisit): Bar {
    const bar = this.bars[visit.barIndex];
    if (!bar) throw new Error(`no bar ${visit.barIndex}`);
    return bar;
  }

  barsBetween(from: Fraction, to: Fraction): number {
    return this.sumOverBars(from, to, countedBarQuarters);
  }

  countedRest(from: Fraction, to: Fraction): { readonly bars: number; readonly beats: number } {
    const pieces = silentPieces(this, from, to);
    const bars = pieces.filter(({ counts }) => counts === "whole" || counts === "first-half");
    const beats = pieces
      .filter(({ counts }) => counts === "part")
      .reduce((sum, { quarters, bar }) => sum.add(quarters.div(bar.meter.beatQuarters)), ZERO);
    return { bars: bars.length, beats: toNumber(beats) };
  }

  beatsBetween(from: Fraction, to: Fraction): number {
    return this.sumOverBars(from, to, beatQuarters);
  }

  /** The last visit that begins before a moment, or (`most` 0) at it; visits lie in the order of time. */
  private visitBegun(quarters: Fraction, most: 0 | -1): BarVisit {
    const { visits, last } = this;
    const found = lastIndexWhere(
      visits.length,
      (k) => (visits[k] ?? last).startQuarters.compare(quarters) <= most,
    );
    return visits[found] ?? last;
  }

  private sumOverBars(from: Fraction, to: Fraction, unit: (bar: Bar) => Fraction): number {
    const { visits, last } = this;
    let sum = ZERO;
    for (let k = this.visitAt(from).visitIndex; k < visits.length; k++) {
      const visit = visits[k] ?? last;
      if (visit.startQuarters.compare(to) >= 0) break;
      const end = visit.startQuarters.add(visit.lengthQuarters);
      const begin = visit.startQuarters.compare(from) > 0 ? visit.startQuarters : from;
      const length = (end.compare(to) < 0 ? end : to).sub(begin);
      if (isPositive(length)) sum = sum.add(length.div(unit(this.barOf(visit))));
    }
    return toNumber(sum);
  }
}

function beatQuarters({ meter }: Bar): Fraction {
  return meter.beatQuarters;
}

/** Where a place on the page falls in a visit to its bar. */
export function quartersAt(visit: BarVisit, position: Position): Fraction {
  return visit.startQuarters.add(position.offset);
}
