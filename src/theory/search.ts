/**
 * The last of `count` places in order for which something holds, where it holds for a first run of them
 * and for none after; 0 where it holds for none.
 */
export function lastIndexWhere(count: number, holds: (index: number) => boolean): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (holds(middle)) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Items by a key of theirs, each group in the order of the items. */
export function groupBy<T, K>(
  items: readonly T[],
  keyOf: (item: T) => K,
): ReadonlyMap<K, readonly T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}
