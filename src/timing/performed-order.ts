import { InputError } from "../model/input-error.js";
import type { Notice } from "../model/finding.js";
import type { Bar } from "../model/score.js";
import type { RepeatChoice } from "../model/tempo.js";
import type { BarVisit } from "../model/time.js";
import { fraction } from "../theory/fraction.js";
import { repeatsLeftOut, type LeftOut } from "./repeat-choice.js";
import { endsMovement, movementStart, nextMovement } from "./movements.js";
import { endingsOfRow, endOfEnding, lastPassOfEndings, repeatSigns } from "./repeat-endings.js";

/** A performance this many bars long is a loop, not music. */
const MOST_VISITS = 250_000;

/** The order of performance, with what could not be followed. */
export interface PerformedOrder {
  readonly visits: readonly BarVisit[];
  readonly notices: readonly Notice[];
}

/** A repeated section that is being played. */
interface Section {
  readonly start: number;
  /** Time through it, from 1. */
  pass: number;
}

/**
 * Unfolds repeats, endings and jumps (D.C., D.S., Coda, Fine) into the order of performance.
 * After a jump, repeats are left out unless marked `after-jump` or asked for by the words of the jump,
 * and the last ending is taken (common practice, no source).
 *
 * @param choice which repeats are taken at all; jumps are followed whatever it is
 * @throws InputError `endless-repeat` when the signs lead round and round, `no-parts` when no bar is played,
 *   `no-matching-repeat` when the choice names a bar that closes no repeat
 */
export function performedOrder(bars: readonly Bar[], choice: RepeatChoice = "all"): PerformedOrder {
  const order = new OrderBuilder(bars, repeatsLeftOut(bars, choice));
  order.follow();
  const result = order.result();
  if (result.visits.length === 0) {
    throw new InputError("no-parts", "the endings and jumps leave no bar to play");
  }
  return result;
}

class OrderBuilder {
  private readonly visits: BarVisit[] = [];
  private readonly notices: Notice[] = [];
  private readonly passes = new Map<number, number>();
  private readonly jumpsTaken = new Set<number>();
  private readonly sections: Section[] = [];
  /** By the bar of the backward sign. */
  private readonly timesThrough: ReadonlyMap<number, number>;
  private time = fraction(0);
  private jumped = false;
  private implicitStart = 0;
  /** Bars that had been played when the last jump was taken; none if it asks for the repeats again. */
  private beforeJump: ReadonlySet<number> = new Set();

  constructor(
    private readonly bars: readonly Bar[],
    private readonly leftOut: LeftOut,
  ) {
    this.timesThrough = new Map(
      repeatSigns(bars).map(({ barIndex, times }) => [barIndex, times] as const),
    );
  }

  follow(): void {
    let next: number | undefined = 0;
    while (next !== undefined && next < this.bars.length) next = this.step(next);
  }

  /** Plays the bar, or passes over an ending, and says where to go on. */
  private step(barIndex: number): number | undefined {
    const bar = this.bars[barIndex];
    if (!bar) return undefined;
    const open = this.sections.at(-1);
    if (bar.repeatStart && open?.start !== barIndex) {
      this.sections.push({ start: barIndex, pass: 1 });
    }
    if (bar.endingStart && !this.takesEnding(bar)) {
      const end = endOfEnding(this.bars, barIndex);
      if (this.isLastEnding(end)) this.closeSection(end);
      return end + 1;
    }
    this.visit(bar);
    return this.after(bar);
  }

  private takesEnding(bar: Bar): boolean {
    const passes = bar.endingStart?.passes ?? [];
    if (this.isEndingOfOldRepeat(bar)) {
      return Math.max(...passes) === lastPassOfEndings(this.bars, bar.barIndex);
    }
    const chosen = this.leftOut.endings.get(bar.barIndex);
    if (chosen !== undefined) return chosen;
    return passes.includes(this.section().pass);
  }

  /** Whether any ending of the row was played before a jump: the repeat is then left out. */
  private isEndingOfOldRepeat({ barIndex }: Bar): boolean {
    return (
      this.jumped && [...endingsOfRow(this.bars, barIndex)].some((k) => this.beforeJump.has(k))
    );
  }

  /** The section being repeated; without a sign it begins where the last one ended. */
  private section(): Section {
    const open = this.sections.at(-1);
    if (open) return open;
    const implicit = { start: this.implicitStart, pass: 1 };
    this.sections.push(implicit);
    return implicit;
  }

  private visit(bar: Bar): void {
    if (this.visits.length >= MOST_VISITS) {
      throw new InputError("endless-repeat", `the repeats and jumps never come to an end`, {
        bar: bar.barLabel,
      });
    }
    const pass = (this.passes.get(bar.barIndex) ?? 0) + 1;
    this.passes.set(bar.barIndex, pass);
    this.visits.push({
      visitIndex: this.visits.length,
      barIndex: bar.barIndex,
      pass,
      startQuarters: this.time,
      lengthQuarters: bar.lengthQuarters,
    });
    this.time = this.time.add(bar.lengthQuarters);
  }

  private after(bar: Bar): number | undefined {
    const { barIndex } = bar;
    if (bar.repeatEnd) {
      const section = this.section();
      const times = this.isLeftOut(bar) ? 1 : (this.timesThrough.get(barIndex) ?? 2);
      if (section.pass < times) {
        section.pass++;
        return section.start;
      }
      this.closeSection(barIndex);
    } else if (bar.endingStop && this.isLastEnding(barIndex)) {
      this.closeSection(barIndex);
    }
    const jumpedTo = this.jump(bar);
    if (jumpedTo === undefined && endsMovement(this.bars, barIndex)) {
      this.forgetJumps();
      // A repeat sign without a beginning does not go back beyond the movement either.
      this.land(barIndex + 1);
    }
    return jumpedTo ?? barIndex + 1;
  }

  /** A jump is nothing to the next movement. */
  private forgetJumps(): void {
    this.jumped = false;
    this.beforeJump = new Set();
  }

  /** By choice; or after a jump, where it was played before it: one first met in the coda is not. */
  private isLeftOut({ barIndex, repeatEnd }: Bar): boolean {
    if (this.leftOut.signs.has(barIndex)) return true;
    return repeatEnd?.afterJump === false && this.beforeJump.has(barIndex);
  }

  private closeSection(barIndex: number): void {
    this.sections.pop();
    this.implicitStart = barIndex + 1;
  }

  private isLastEnding(barIndex: number): boolean {
    return this.bars[barIndex + 1]?.endingStart === undefined;
  }

  private jump(bar: Bar): number | undefined {
    const { jumps, barIndex } = bar;
    if (!jumps) return undefined;
    if (this.jumped) {
      if (jumps.fine) return this.afterFine(barIndex);
      if (jumps.toCoda !== undefined) {
        const coda = this.target("coda", jumps.toCoda, barIndex, barIndex + 1);
        if (coda !== undefined) return this.land(coda);
        this.notices.push({ kind: "jump-not-followed", text: "to coda", barLabel: bar.barLabel });
      }
    }
    if ((!jumps.daCapo && jumps.dalSegno === undefined) || this.jumpsTaken.has(barIndex))
      return undefined;
    const target = jumps.daCapo
      ? movementStart(this.bars, barIndex)
      : this.target("segno", jumps.dalSegno ?? "", barIndex, 0);
    if (target === undefined) {
      this.notices.push({ kind: "jump-not-followed", text: "dal segno", barLabel: bar.barLabel });
      return undefined;
    }
    this.jumpsTaken.add(barIndex);
    this.beforeJump = new Set(jumps.withRepeats ? [] : this.passes.keys());
    this.jumped = true;
    return this.land(target);
  }

  /** A Fine ends its movement, which need not be the last of the file. */
  private afterFine(barIndex: number): number {
    const next = nextMovement(this.bars, barIndex);
    if (next === undefined) return this.bars.length;
    this.forgetJumps();
    return this.land(next);
  }

  /** A jump leaves every repeat behind; a sign without a beginning then goes back to where it landed. */
  private land(target: number): number {
    this.sections.length = 0;
    this.implicitStart = target;
    return target;
  }

  /** The sign of that name, or the first of its kind where none has it (some programs name both ends apart). */
  private target(
    kind: "segno" | "coda",
    name: string,
    jumpBar: number,
    from: number,
  ): number | undefined {
    const all = this.bars.filter(
      ({ barIndex, jumps }) => barIndex >= from && jumps?.[kind] !== undefined,
    );
    const start = movementStart(this.bars, jumpBar);
    const end = nextMovement(this.bars, jumpBar) ?? this.bars.length;
    const inMovement = all.filter(({ barIndex }) => barIndex >= start && barIndex < end);
    const signs = inMovement.length > 0 ? inMovement : all;
    return (signs.find(({ jumps }) => jumps?.[kind] === name) ?? signs[0])?.barIndex;
  }

  result(): PerformedOrder {
    const leftOut = [...this.leftOut.signs].flatMap((k) => this.bars[k]?.barLabel ?? []);
    if (leftOut.length > 0) this.notices.push({ kind: "repeats-left-out", bars: leftOut });
    const unclosed = unclosedRepeat(this.bars);
    if (unclosed) this.notices.push({ kind: "repeat-unclosed", barLabel: unclosed.barLabel });
    const missed = this.bars.filter((bar) => !this.passes.has(bar.barIndex));
    const [first] = missed;
    if (first) {
      this.notices.push({
        kind: "bars-not-reached",
        barLabel: first.barLabel,
        lastBarLabel: missed.at(-1)?.barLabel ?? first.barLabel,
        bars: missed.length,
      });
    }
    return { visits: this.visits, notices: this.notices };
  }
}

/** The first bar that begins a repeat which no later sign closes. */
function unclosedRepeat(bars: readonly Bar[]): Bar | undefined {
  const open: Bar[] = [];
  for (const bar of bars) {
    if (bar.repeatStart) open.push(bar);
    if (bar.repeatEnd) open.pop();
  }
  return open[0];
}
