import type { Verdict } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import { leastSum, type CostTable } from "./eliminate.js";
import type { PlanWeights } from "./weights.js";

/** One way to play a passage. */
export interface PlanOption {
  readonly instrument: InstrumentId;
  /** In points a note (`Difficulty.score`). */
  readonly difficulty: number;
  /** Whether the player reads what is printed; else it is transposed by sight. */
  readonly printed: boolean;
}

/** A passage of the page with the instruments it may be played on: at least one, no instrument twice. */
export interface PlanPassage {
  readonly options: readonly PlanOption[];
}

/** One time through a passage, or through some of it, in the order of performance. */
export interface PlanVisit {
  /** Position in the problem's passages. */
  readonly passage: number;
  readonly notes: number;
  /** How a change of instrument in the rest before it stands; never asked before the first visit. */
  readonly verdict: (from: InstrumentId, to: InstrumentId) => Verdict;
}

/** A part as a choice of instruments. */
export interface PlanProblem {
  readonly passages: readonly PlanPassage[];
  readonly visits: readonly PlanVisit[];
}

/** Which option each passage is played on, and what that costs. */
export interface Solution {
  /** Position in the options of each passage. */
  readonly options: readonly number[];
  readonly cost: number;
  /** Most combinations that were compared to decide one passage. */
  readonly widest: number;
}

/**
 * The instrument for every passage with the least cost of the whole part: over all visits the notes times
 * what each takes, and the price of every change. A passage that a repeat brings back is read from the same
 * print, so it has one instrument each time.
 *
 * The optimum is exact. Where no passage comes back the passages are a chain, and it is the dynamic
 * programme along it; a repeat closes the chain to a ring, whose passages are then decided against two
 * others instead of one, and so on (see `leastSum`). Among equals the first options are preferred.
 * @throws TooEntangledError when repeats join so many passages that it would take too long
 */
export function bestPlan(problem: PlanProblem, weights: PlanWeights): Solution {
  const sizes = problem.passages.map(({ options }) => options.length);
  const { values, widest } = leastSum(sizes, costTables(problem, weights));
  return { options: values, widest, cost: planCost(problem, weights, values) };
}

/** What a choice of options costs, in notes that are one point harder. */
export function planCost(
  { passages, visits }: PlanProblem,
  weights: PlanWeights,
  options: readonly number[],
): number {
  let cost = 0;
  let before: InstrumentId | undefined;
  for (const { passage, notes, verdict } of visits) {
    const option = passages[passage]?.options[options[passage] ?? 0];
    if (!option) throw new RangeError(`no such option of passage ${passage}`);
    cost += notes * pointsOf(option, weights);
    if (before !== undefined && before !== option.instrument) {
      cost += weights.change[verdict(before, option.instrument)];
    }
    before = option.instrument;
  }
  return cost;
}

function pointsOf({ difficulty, printed }: PlanOption, { transposing }: PlanWeights): number {
  return difficulty + (printed ? 0 : transposing);
}

/** A table for each passage, and one for each two visits that follow one another. */
function costTables({ passages, visits }: PlanProblem, weights: PlanWeights): CostTable[] {
  const notes = passages.map(() => 0);
  for (const visit of visits) notes[visit.passage] = (notes[visit.passage] ?? 0) + visit.notes;
  const tables: CostTable[] = passages.map(({ options }, k) => ({
    variables: [k],
    costs: options.map((option) => (notes[k] ?? 0) * pointsOf(option, weights)),
  }));
  visits.forEach(({ passage, verdict }, k) => {
    const before = visits[k - 1]?.passage;
    // From a passage to itself the instrument stays.
    if (before === undefined || before === passage) return;
    const [left, right] = [passages[before]?.options ?? [], passages[passage]?.options ?? []];
    tables.push({
      variables: [before, passage],
      costs: left.flatMap(({ instrument: from }) =>
        right.map(({ instrument: to }) => (from === to ? 0 : weights.change[verdict(from, to)])),
      ),
    });
  });
  return tables;
}
