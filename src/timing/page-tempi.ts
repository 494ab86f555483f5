import type { Fraction } from "../model/fraction.js";
import type { Bar, Position } from "../model/score.js";
import type { SheetTempo, TempoSign } from "../model/tempo.js";
import type { TempoRange, TempoSource } from "../model/time.js";
import { isPositive, toNumber, ZERO } from "../theory/fraction.js";
import { readHeldTempo, wordsOf, type HeldTempo, type TempoReading } from "./held-tempo.js";
import { endsMovement } from "./movements.js";
import { groupByBar, placeFinder } from "./places.js";
import { ASSUMED_TEMPO, FREE_TEMPO, LONGER_BEAT, multiplied } from "./tempo-range.js";

/** A stretch of the page at one tempo, or under one gradual change, up to the next. */
export interface TempoSegment {
  /** Quarters from the first bar of the page, every bar once. */
  readonly startWritten: Fraction;
  /** Quarters a minute at its two ends: the same where the tempo is steady. */
  readonly from: TempoRange;
  readonly to: TempoRange;
  readonly source: TempoSource;
  readonly text: string;
  /** Words whose effect is only assumed: how far a gradual change goes, or a tempo that is free. */
  readonly bend?: "gradual" | "free";
}

/** The tempi of the page, which differ by the time through only where the player's sheet says so. */
export interface PageTempi {
  readonly ofPass: (pass: number) => readonly TempoSegment[];
  /** Words that refer to a tempo which nothing gives. */
  readonly unread: readonly TempoSign[];
}

/**
 * Resolves all signs of the page, one after another, and the player's sheet over them.
 * A line of the sheet holds until the next mark that sets a tempo, as if it were printed.
 * @throws InputError `no-matching-bar` for a line of the sheet whose place is not in the part
 */
export function readPageTempi(
  bars: readonly Bar[],
  signs: readonly TempoSign[],
  sheet: readonly SheetTempo[] = [],
): PageTempi {
  const find = placeFinder(bars, "the tempo sheet");
  const placed = sheet.map((row) => ({ row, at: find(row) }));
  const passes = new Set(sheet.map(({ pass }) => pass));
  const byPass = new Map<number, PageReader>();
  const reader = (pass: number): PageReader => {
    const key = passes.has(pass) ? pass : 0;
    const known = byPass.get(key);
    if (known) return known;
    // What is said of one time through goes before what is said of all.
    const rows = placed
      .filter(({ row }) => row.pass === undefined || row.pass === key)
      .sort((a, b) => (a.row.pass ?? 0) - (b.row.pass ?? 0));
    const fresh = new PageReader(bars, signs, rows);
    byPass.set(key, fresh);
    return fresh;
  };
  return { ofPass: (pass) => reader(pass).segments, unread: reader(0).unread };
}

/** A gradual change that has begun. */
interface OpenRamp {
  readonly startWritten: Fraction;
  readonly from: TempoRange;
  readonly barIndex: number;
  readonly term: NonNullable<TempoReading["gradual"]>;
  readonly text: string;
  readonly thenReturns: boolean;
  /** The line of dashes over it, and where that ends. */
  readonly dashes: string | undefined;
  readonly dashesEnd?: Fraction;
}

interface SheetRow {
  readonly row: SheetTempo;
  readonly at: Position;
}

/**
 * Without a goal a gradual change is over after so many bars; towards a tempo that is given it may
 * take longer. Assumptions (common practice, no source).
 */
const LONGEST_RAMP_BARS = 8;
const LONGEST_RAMP_TO_GOAL_BARS = 16;
const LONGEST_LITTLE_BY_LITTLE_BARS = 32;
/** However many follow each other, as factors of the last steady tempo. */
const FURTHEST_SLOWER = 0.4;
const FURTHEST_FASTER = 2;
const LITTLE_BY_LITTLE =
  /poco a poco|a poco a poco|peu [aà] peu|nach und nach|allm[aä]hlich|gradual|little by little|sempre pi[uù]/i;

class PageReader {
  readonly segments: TempoSegment[] = [];
  readonly unread: TempoSign[] = [];
  private readonly history: HeldTempo[] = [];
  private before: HeldTempo | undefined;
  private ramp: OpenRamp | undefined;
  private adjustment: TempoRange | undefined;

  constructor(
    private readonly bars: readonly Bar[],
    signs: readonly TempoSign[],
    sheet: readonly SheetRow[],
  ) {
    const byPlace = new Map<string, { at: Position; sign?: TempoSign; row?: SheetTempo }>();
    const keyOf = ({ barIndex, offset }: Position) => `${barIndex} ${offset.toFraction()}`;
    for (const { at, row } of sheet) byPlace.set(keyOf(at), { at, row });
    for (const sign of signs) {
      byPlace.set(keyOf(sign.at), { ...byPlace.get(keyOf(sign.at)), at: sign.at, sign });
    }
    const byBar = groupByBar([...byPlace.values()]);
    this.push(ZERO, { from: ASSUMED_TEMPO, to: ASSUMED_TEMPO, source: "assumed", text: "" });
    for (const bar of bars) {
      this.enterBar(bar);
      for (const { at, sign, row } of byBar.get(bar.barIndex) ?? []) {
        const written = bar.writtenQuarters.add(at.offset);
        if (sign) this.take(sign, row, bar, written);
        else if (row) {
          this.set(sheetTempo(row, { number: this.before?.number }, bar), bar, written);
        }
      }
    }
    const last = bars.at(-1);
    if (last) this.closeRamp(last.writtenQuarters.add(last.lengthQuarters), undefined);
  }

  /** A longer beat, or none, bends the tempo while it lasts. */
  private enterBar(bar: Bar): void {
    if (bar.barIndex > 0 && endsMovement(this.bars, bar.barIndex - 1)) this.beginMovement(bar);
    const wanted = this.before && adjustmentFor(bar, this.before);
    if (wanted === this.adjustment) return;
    this.adjustment = wanted;
    if (this.before && !this.ramp) this.pushHeld(this.before, bar.writtenQuarters);
  }

  /** What the movement before was played at says nothing of the next. */
  private beginMovement({ writtenQuarters }: Bar): void {
    this.closeRamp(writtenQuarters, undefined);
    this.before = undefined;
    this.adjustment = undefined;
    this.history.length = 0;
    this.push(writtenQuarters, {
      from: ASSUMED_TEMPO,
      to: ASSUMED_TEMPO,
      source: "assumed",
      text: "",
    });
  }

  private take(sign: TempoSign, row: SheetTempo | undefined, bar: Bar, written: Fraction): void {
    const isAtBarline = bar.writtenQuarters.equals(written);
    const barBefore = (isAtBarline ? this.bars[bar.barIndex - 1] : bar) ?? bar;
    const reading = readHeldTempo(sign, {
      before: this.before,
      history: this.history,
      beatQuarters: toNumber(bar.meter.beatQuarters),
      beatQuartersBefore: toNumber(barBefore.meter.beatQuarters),
      barLabel: bar.barLabel,
    });
    if (reading.unread) this.unread.push(sign);
    if (this.ramp && this.dashesEnd(sign)) this.ramp = { ...this.ramp, dashesEnd: written };
    const page = reading.set ?? { number: this.before?.number };
    const set = row ? sheetTempo(row, page, bar) : reading.set;
    const imitates = !row && reading.playbackOnly && set && this.imitatesRamp(set, written);
    if (set && !imitates) this.set(set, bar, written);
    if (reading.gradual) this.openRamp(reading.gradual, reading.thenReturns, sign, bar, written);
  }

  private dashesEnd({ dashes }: TempoSign): boolean {
    const number = this.ramp?.dashes;
    return (
      number !== undefined && dashes.some((each) => each.type === "stop" && each.number === number)
    );
  }

  /** Many programs play a "rit." as a row of slower numbers: they are not tempi of their own. */
  private imitatesRamp(set: HeldTempo, written: Fraction): boolean {
    const number = this.before?.number;
    if (!this.ramp || number === undefined || set.number === undefined) return false;
    const limit = this.rampLimit(this.ramp, written);
    if (limit && limit.compare(written) <= 0) return false;
    return set !== this.before && set.number < number === (this.ramp.term.direction === "slower");
  }

  private set(tempo: HeldTempo, bar: Bar, written: Fraction): void {
    const restated = tempo === this.before;
    if (restated && !this.ramp) return;
    this.closeRamp(written, tempo.range);
    this.before = tempo;
    if (!restated) this.history.push(tempo);
    this.adjustment = adjustmentFor(bar, tempo);
    this.pushHeld(tempo, written);
  }

  private pushHeld({ range, source, text, free }: HeldTempo, written: Fraction): void {
    const adjusted = this.adjustment ? multiplied(range, this.adjustment) : range;
    this.push(written, {
      from: adjusted,
      to: adjusted,
      source,
      text: `${text}${this.adjustmentText()}`,
      ...((free ?? this.adjustment === FREE_TEMPO) && { bend: "free" as const }),
    });
  }

  private adjustmentText(): string {
    if (this.adjustment === LONGER_BEAT) return "; the beats are longer from here";
    return this.adjustment === FREE_TEMPO ? "; senza misura" : "";
  }

  private openRamp(
    term: OpenRamp["term"],
    thenReturns: boolean,
    sign: TempoSign,
    bar: Bar,
    written: Fraction,
  ): void {
    const { ramp } = this;
    // The same word over another part is no second change; "molto rit." after "rit." is.
    const isSame =
      ramp?.term.direction === term.direction &&
      ramp.term.factor.likely === term.factor.likely &&
      ramp.startWritten.add(bar.lengthQuarters).compare(written) > 0;
    if (isSame) return;
    const reached = this.closeRamp(written, undefined);
    this.ramp = {
      startWritten: written,
      from: reached ?? this.segments.at(-1)?.to ?? ASSUMED_TEMPO,
      barIndex: bar.barIndex,
      term,
      text: wordsOf(sign),
      thenReturns,
      dashes: sign.dashes.find(({ type }) => type === "start")?.number,
    };
  }

  /**
   * Lays out the gradual change that is open, now that its end is known.
   * @returns the tempo it has come to; undefined when none is open, or it is over before
   */
  private closeRamp(end: Fraction, next: TempoRange | undefined): TempoRange | undefined {
    const { ramp } = this;
    if (!ramp) return undefined;
    this.ramp = undefined;
    const { startWritten, from, term, text } = ramp;
    if (!isPositive(end.sub(startWritten))) return undefined;
    const goal = next && this.isGoal(ramp, next, end) ? next : undefined;
    const to = goal ?? this.bounded(multiplied(from, ordered(term.factor)));
    const source = goal ? (this.before?.source ?? "assumed") : this.rampSource();
    this.push(startWritten, { from, to, source, text, ...(!goal && { bend: "gradual" as const }) });
    const limit = this.rampLimit(ramp, end);
    const over = goal || (limit?.compare(end) ?? 1) >= 0 ? undefined : limit;
    const after = over ?? (goal || next ? undefined : end);
    if (after && ramp.thenReturns && this.before) this.pushHeld(this.before, after);
    else if (after) this.push(after, afterRamp(from, to, source, text));
    return over ? undefined : to;
  }

  /** Where a change without a goal is over: with its dashes, unless a mark follows at once, or after some bars. */
  private rampLimit(
    { barIndex, text, dashesEnd, thenReturns }: OpenRamp,
    end: Fraction,
  ): Fraction | undefined {
    if (dashesEnd) {
      const bar = this.bars.findLast(({ writtenQuarters }) => writtenQuarters.compare(end) < 0);
      const near = bar && dashesEnd.add(bar.lengthQuarters).compare(end) >= 0;
      return near ? undefined : dashesEnd;
    }
    // "rit. - - - a tempo" in one: within the bar.
    if (thenReturns) return this.barStart(barIndex + 1);
    const bars = LITTLE_BY_LITTLE.test(text) ? LONGEST_LITTLE_BY_LITTLE_BARS : LONGEST_RAMP_BARS;
    return this.barStart(barIndex + bars);
  }

  /** One change after another, without a goal, does not go on for ever. */
  private bounded({ slow, likely, fast }: TempoRange): TempoRange {
    const steady = this.before?.range;
    if (!steady) return { slow, likely, fast };
    const [least, most] = [steady.slow * FURTHEST_SLOWER, steady.fast * FURTHEST_FASTER];
    const within = (end: number) => Math.min(most, Math.max(least, end));
    return { slow: within(slow), likely: within(likely), fast: within(fast) };
  }

  /** A tempo on the way of the change, and near enough, is what it leads to. */
  private isGoal(ramp: OpenRamp, next: TempoRange, end: Fraction): boolean {
    const { from, term, barIndex, dashesEnd, thenReturns } = ramp;
    // Its own words, or its dashes, say that it ends before.
    if (thenReturns || (dashesEnd && this.rampLimit(ramp, end))) return false;
    const onTheWay =
      term.direction === "slower" ? next.likely < from.likely : next.likely > from.likely;
    const bars = LITTLE_BY_LITTLE.test(ramp.text)
      ? LONGEST_LITTLE_BY_LITTLE_BARS
      : LONGEST_RAMP_TO_GOAL_BARS;
    const limit = this.barStart(barIndex + bars);
    return onTheWay && (limit?.compare(end) ?? 1) >= 0;
  }

  private rampSource(): TempoSource {
    return (this.before?.source ?? "assumed") === "assumed" ? "assumed" : "words";
  }

  private barStart(barIndex: number): Fraction | undefined {
    return this.bars[barIndex]?.writtenQuarters;
  }

  private push(startWritten: Fraction, segment: Omit<TempoSegment, "startWritten">): void {
    const last = this.segments.at(-1);
    if (last && last.startWritten.compare(startWritten) >= 0) this.segments.pop();
    this.segments.push({ startWritten, ...segment });
  }
}

/** Past the end of a change, and before the next mark, nobody knows whether the old tempo is back. */
function afterRamp(
  from: TempoRange,
  to: TempoRange,
  source: TempoSource,
  text: string,
): Omit<TempoSegment, "startWritten"> {
  const range = {
    slow: Math.min(to.slow, from.slow),
    likely: (from.likely + to.likely) / 2,
    fast: Math.max(to.fast, from.fast),
  };
  return { from: range, to: range, source, text: `${AFTER_BEND}${text}`, bend: "gradual" };
}

/** Before the words of a change that is over, where nothing says what follows. */
export const AFTER_BEND = "after ";

/** The factor for each end of the range, whatever way the change goes. */
function ordered({ slow, likely, fast }: TempoRange): TempoRange {
  return { slow: Math.min(slow, fast), likely, fast: Math.max(slow, fast) };
}

function sheetTempo(
  row: SheetTempo,
  page: { readonly number?: number | undefined; readonly words?: string | undefined },
  bar: Bar,
): HeldTempo {
  return {
    range: row.quartersPerMinute,
    source: "sheet",
    bySheet: true,
    text: row.text,
    beatQuarters: toNumber(bar.meter.beatQuarters),
    barLabel: bar.barLabel,
    ...(page.number !== undefined && { number: page.number }),
    ...(page.words !== undefined && { words: page.words }),
  };
}

/** Only what is known loosely is bent by the meter; a printed number is not. */
function adjustmentFor(
  { meter }: Bar,
  { source, beatQuarters, free }: HeldTempo,
): TempoRange | undefined {
  if (free) return undefined;
  if (meter.unmetered) return FREE_TEMPO;
  if (source !== "sound" && source !== "words") return undefined;
  // From eighths to quarters is everyday notation; from quarters to halves is meant.
  const isLonger = beatQuarters >= 1 && toNumber(meter.beatQuarters) === 2 * beatQuarters;
  return isLonger ? LONGER_BEAT : undefined;
}
