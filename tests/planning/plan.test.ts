import { describe, expect, it } from "vitest";
import { VERDICTS, type Verdict } from "../../src/model/finding.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import { PLAN_PREFERENCES } from "../../src/model/plan.js";
import { leastSum, TooEntangledError } from "../../src/planning/eliminate.js";
import { bestPlan, planCost, type PlanProblem, type PlanVisit } from "../../src/planning/plan.js";
import { PLAN_WEIGHTS, type PlanWeights } from "../../src/planning/weights.js";

const CLARINETS = ["clarinet-bflat", "clarinet-a", "clarinet-c", "clarinet-d"] as const;
const [B, A] = CLARINETS;

/** A small generator of its own, so that a failure can be run again by its seed. */
function randomOf(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Up to ten passages on one to three instruments, played in order with up to three repeats of some of them. */
function randomProblem(seed: number): PlanProblem {
  const random = randomOf(seed);
  const below = (n: number) => Math.floor(random() * n);
  const count = 1 + below(10);
  const most = count > 7 ? 2 : 3;
  const passages = Array.from({ length: count }, () => {
    const first = below(4);
    return {
      options: Array.from({ length: 1 + below(most) }, (_, k) => ({
        instrument: CLARINETS[(first + k) % 4] ?? B,
        difficulty: random() * 5,
        printed: k === 0,
      })),
    };
  });
  const order = passages.map((_, k) => k);
  for (let repeats = below(4); repeats > 0; repeats--) {
    const from = below(count);
    const until = from + 1 + below(count - from);
    const at = order.indexOf(until - 1) + 1;
    order.splice(at, 0, ...order.slice(0, count).filter((k) => k >= from && k < until));
  }
  const visits = order.map((passage): PlanVisit => {
    const table = new Map<string, Verdict>();
    return {
      passage,
      notes: 1 + below(60),
      verdict: (from, to) => {
        const pair = `${from}>${to}`;
        const verdict = table.get(pair) ?? VERDICTS[below(4)] ?? "ample";
        table.set(pair, verdict);
        return verdict;
      },
    };
  });
  // Every verdict is drawn before anybody asks, so that the order of asking does not matter.
  for (const { verdict } of visits)
    for (const a of CLARINETS) for (const b of CLARINETS) verdict(a, b);
  return { passages, visits };
}

/** Prices about as large as the difficulties, so that the two are weighed against each other. */
function randomWeights(seed: number): PlanWeights {
  const random = randomOf(seed + 1e6);
  const price = () => random() * 100;
  return {
    transposing: random(),
    change: { ample: price(), workable: price(), tight: price(), impossible: price() },
  };
}

/** What a plan costs by the definition in the issue, written down a second time. */
function costByHand(problem: PlanProblem, weights: PlanWeights, plan: readonly number[]): number {
  const on = problem.visits.map(({ passage }) => {
    const option = problem.passages[passage]?.options[plan[passage] ?? -1];
    if (!option) throw new Error("no option");
    return option;
  });
  const load = on.reduce((sum, { difficulty, printed }, k) => {
    return (
      sum + (problem.visits[k]?.notes ?? 0) * (difficulty + (printed ? 0 : weights.transposing))
    );
  }, 0);
  const prices = on.slice(1).map(({ instrument }, k) => {
    const from = on[k]?.instrument ?? instrument;
    const verdict = problem.visits[k + 1]?.verdict;
    return from === instrument || !verdict ? 0 : weights.change[verdict(from, instrument)];
  });
  return prices.reduce((sum, price) => sum + price, load);
}

function cheapestOfAll(problem: PlanProblem, weights: PlanWeights): number {
  let least = Infinity;
  const plan = problem.passages.map(() => 0);
  const go = (k: number) => {
    if (k === plan.length) {
      least = Math.min(least, costByHand(problem, weights, plan));
      return;
    }
    for (let option = 0; option < (problem.passages[k]?.options.length ?? 0); option++) {
      plan[k] = option;
      go(k + 1);
    }
  };
  go(0);
  return least;
}

describe("bestPlan", () => {
  it("equals brute force on 1,000 random parts of up to 10 passages, with repeats", () => {
    let returning = 0;
    let changed = 0;
    for (let seed = 1; seed <= 1000; seed++) {
      const problem = randomProblem(seed);
      const kind = PLAN_PREFERENCES[seed % PLAN_PREFERENCES.length] ?? "balanced";
      const weights = seed % 8 < 4 ? PLAN_WEIGHTS[kind] : randomWeights(seed);
      const { options, cost } = bestPlan(problem, weights);
      const least = cheapestOfAll(problem, weights);
      expect(Math.abs(cost - least), `seed ${seed}`).toBeLessThan(1e-11 * Math.max(100, least));
      expect(costByHand(problem, weights, options)).toBeCloseTo(cost, 4);
      if (problem.visits.length > problem.passages.length) returning++;
      if (options.some((option) => option > 0)) changed++;
    }
    // The sample has what it is meant to have.
    expect(returning).toBeGreaterThan(500);
    expect(changed).toBeGreaterThan(500);
  });

  it("decides each passage of a chain against one other, and of a ring against two", () => {
    const two = (first: InstrumentId) => ({
      options: [B, A].map((instrument) => ({
        instrument,
        difficulty: 0.1,
        printed: instrument === first,
      })),
    });
    const passages = [two(B), two(A), two(B), two(A)];
    const visit = (passage: number): PlanVisit => ({ passage, notes: 10, verdict: () => "tight" });
    const chain = { passages, visits: [0, 1, 2, 3].map(visit) };
    const ring = { passages, visits: [0, 1, 2, 3, 0, 1, 2, 3].map(visit) };
    expect(bestPlan(chain, PLAN_WEIGHTS.balanced).widest).toBe(4);
    expect(bestPlan(ring, PLAN_WEIGHTS.balanced).widest).toBe(8);
  });

  const part = (verdict: Verdict, harder: number): PlanProblem => ({
    passages: [
      { options: [{ instrument: B, difficulty: 0.1, printed: true }] },
      {
        options: [
          { instrument: A, difficulty: 0.1, printed: true },
          { instrument: B, difficulty: 0.1 + harder, printed: false },
        ],
      },
    ],
    visits: [
      { passage: 0, notes: 20, verdict: () => verdict },
      { passage: 1, notes: 20, verdict: () => verdict },
    ],
  });
  // 20 notes that are harder by d, read by sight at 0.2: 20 d + 4 against the price of the change.
  it.each([
    ["ample", 0, "clarinet-a"], // 4 against 2
    ["workable", 0.1, "clarinet-bflat"], // 6 against 8
    ["workable", 0.3, "clarinet-a"], // 10 against 8
    ["tight", 2.7, "clarinet-bflat"], // 58 against 60
    ["tight", 2.9, "clarinet-a"], // 62 against 60
    ["impossible", 10, "clarinet-bflat"], // 204 against any price
  ] as const)("a change that is %s, %d points harder: %s", (verdict, harder, expected) => {
    const problem = part(verdict, harder);
    const { options } = bestPlan(problem, PLAN_WEIGHTS.balanced);
    expect(problem.passages[1]?.options[options[1] ?? 0]?.instrument).toBe(expected);
  });

  it("makes no change where the fewest are wanted, and an ample one where the fingers count", () => {
    const problem = part("ample", 4);
    expect(bestPlan(problem, PLAN_WEIGHTS["fewest-changes"]).options).toEqual([0, 1]);
    expect(bestPlan(problem, PLAN_WEIGHTS["easiest-fingers"]).options).toEqual([0, 0]);
    expect(bestPlan(part("workable", 0.3), PLAN_WEIGHTS["safest-changes"]).options).toEqual([0, 1]);
  });

  it("has a plan for a part without passages, and none for an option that is not there", () => {
    const empty = { passages: [], visits: [] };
    expect(bestPlan(empty, PLAN_WEIGHTS.balanced)).toEqual({ options: [], cost: 0, widest: 1 });
    expect(() => planCost(part("ample", 0), PLAN_WEIGHTS.balanced, [0, 2])).toThrow(RangeError);
  });
});

describe("leastSum", () => {
  it("refuses what is too entangled, rather than guess", () => {
    const sizes = Array.from({ length: 14 }, () => 4);
    const tables = sizes.flatMap((_, a) =>
      sizes.slice(a + 1).map((__, k) => ({
        variables: [a, a + 1 + k],
        costs: Array.from({ length: 16 }, (___, n) => n),
      })),
    );
    expect(() => leastSum(sizes, tables)).toThrow(TooEntangledError);
  });
});
