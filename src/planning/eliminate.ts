/** A cost that depends on some of the variables; the last of them runs fastest in the table. */
export interface CostTable {
  /** Each variable once. */
  readonly variables: readonly number[];
  /** One cost for every combination of their values. */
  readonly costs: readonly number[];
}

/** The cheapest values found, and how wide the widest table was. */
export interface Elimination {
  /** One value for each variable. */
  readonly values: readonly number[];
  readonly cost: number;
  /** Most combinations that were compared to decide one variable. */
  readonly widest: number;
}

/** A problem that is too entangled to be solved exactly. */
export class TooEntangledError extends Error {}

/** Combinations compared for one variable; more would take more than about a second. */
export const MOST_COMBINATIONS = 1 << 22;

/**
 * The values with the least sum of costs, exactly: dynamic programming that decides one variable after the
 * other, each against all values of those it shares a table with, always the one with the fewest such
 * combinations next. On a chain that is the usual dynamic programme along it.
 * Among equals the lower value of the variable that is decided first is taken.
 * @param sizes how many values each variable has, at least one
 * @throws TooEntangledError when some variable would need more than `MOST_COMBINATIONS`
 */
export function leastSum(sizes: readonly number[], tables: readonly CostTable[]): Elimination {
  let live = [...tables];
  let widest = 1;
  const left = new Set(sizes.keys());
  const decided: Decision[] = [];
  while (left.size > 0) {
    const { variable, around, combinations } = cheapestNext(sizes, live, left);
    if (combinations > MOST_COMBINATIONS) {
      throw new TooEntangledError(`${combinations} combinations for one variable`);
    }
    widest = Math.max(widest, combinations);
    const own = live.filter(({ variables }) => variables.includes(variable));
    const { costs, choices } = decide(sizes, own, variable, around);
    live = live.filter((table) => !own.includes(table));
    live.push({ variables: around, costs });
    decided.push({ variable, around, choices });
    left.delete(variable);
  }
  const values = sizes.map(() => 0);
  for (const { variable, around, choices } of decided.reverse()) {
    values[variable] = choices[positionOf(sizes, around, values)] ?? 0;
  }
  // What is left are tables of no variable.
  return { values, widest, cost: live.reduce((sum, { costs }) => sum + (costs[0] ?? 0), 0) };
}

interface Decision {
  readonly variable: number;
  readonly around: readonly number[];
  /** The best value for every combination of those around. */
  readonly choices: readonly number[];
}

/** The variable with the fewest combinations of itself and those around it. */
function cheapestNext(
  sizes: readonly number[],
  tables: readonly CostTable[],
  left: ReadonlySet<number>,
) {
  const neighbours = new Map<number, Set<number>>(
    [...left].map((variable) => [variable, new Set()]),
  );
  for (const { variables } of tables) {
    for (const a of variables) {
      for (const b of variables) if (a !== b) neighbours.get(a)?.add(b);
    }
  }
  let best = { variable: -1, around: [] as readonly number[], combinations: Infinity };
  for (const [variable, set] of neighbours) {
    const around = [...set];
    const combinations = around.reduce((n, k) => n * (sizes[k] ?? 1), sizes[variable] ?? 1);
    if (best.variable < 0 || combinations < best.combinations) {
      best = { variable, around, combinations };
    }
  }
  return best;
}

function decide(
  sizes: readonly number[],
  tables: readonly CostTable[],
  variable: number,
  around: readonly number[],
) {
  const values = sizes.map(() => 0);
  const costs: number[] = [];
  const choices: number[] = [];
  const combinations = around.reduce((n, k) => n * (sizes[k] ?? 1), 1);
  for (let k = 0; k < combinations; k++) {
    let rest = k;
    for (const each of [...around].reverse()) {
      const size = sizes[each] ?? 1;
      values[each] = rest % size;
      rest = Math.floor(rest / size);
    }
    let least = Infinity;
    let choice = 0;
    for (let value = 0; value < (sizes[variable] ?? 1); value++) {
      values[variable] = value;
      let cost = 0;
      for (const table of tables) {
        cost += table.costs[positionOf(sizes, table.variables, values)] ?? 0;
      }
      if (cost < least) {
        least = cost;
        choice = value;
      }
    }
    costs.push(least);
    choices.push(choice);
  }
  return { costs, choices };
}

function positionOf(
  sizes: readonly number[],
  variables: readonly number[],
  values: readonly number[],
): number {
  return variables.reduce((at, k) => at * (sizes[k] ?? 1) + (values[k] ?? 0), 0);
}
