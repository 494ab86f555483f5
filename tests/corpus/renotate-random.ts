/** Random numbers that a seed repeats, so that a failure can be made again from its seed. */
export interface Random {
  /** From 0 up to 1. */
  readonly next: () => number;
  /** A whole number from 0 up to a limit. */
  readonly below: (limit: number) => number;
  readonly chance: (probability: number) => boolean;
  readonly pick: <T>(items: readonly T[]) => T;
  /** Some of the items, in the order they have. */
  readonly some: <T>(items: readonly T[], count: number) => readonly T[];
}

/** The generator "mulberry32" (T. Ettinger, public domain). */
export function seeded(seed: number): Random {
  let state = (seed * 0x9e3779b1) | 0;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const below = (limit: number) => Math.floor(next() * limit);
  return {
    next,
    below,
    chance: (probability) => next() < probability,
    pick: <T>(items: readonly T[]) => {
      if (items.length === 0) throw new Error("nothing to pick from");
      return items[below(items.length)] as T;
    },
    some: <T>(items: readonly T[], count: number) => {
      const left = items.map((item, k) => ({ item, k }));
      const taken: typeof left = [];
      while (taken.length < count && left.length > 0) {
        taken.push(...left.splice(below(left.length), 1));
      }
      return taken.sort((a, b) => a.k - b.k).map(({ item }) => item);
    },
  };
}
