import { readInstrumentName } from "../instruments/names.js";
import { groupBy } from "../theory/search.js";

/**
 * Who sits where, by the names of the parts of one file: "A Clarinet 1" and "Clarinet 1 in B♭" are both
 * "Clarinet 1", so that a player is followed from one movement to the next. Several parts of the same name are
 * numbered in the order of the score; a name that says nothing stands for itself.
 * @param parts of one file, those in question only
 * @returns a name for each, no two alike
 */
export function chairNames(
  parts: readonly { readonly id: string; readonly name: string }[],
): readonly string[] {
  const plain = parts.map(({ id, name }) => chairOf(name) || id);
  const alike = groupBy([...plain.keys()], (k) => plain[k] ?? "");
  const numbered = plain.map((chair, k) => {
    const same = alike.get(chair) ?? [];
    return same.length > 1 ? `${chair} ${same.indexOf(k) + 1}` : chair;
  });
  // "Clarinet 1", "Clarinet", "Clarinet": the second would be Clarinet 1 again.
  const taken = new Set<string>();
  return numbered.map((chair, k) => {
    const name = taken.has(chair) ? `${chair} (${parts[k]?.id ?? ""})` : chair;
    taken.add(name);
    return name;
  });
}

function chairOf(partName: string): string {
  const name = readInstrumentName(partName);
  if (!name?.family) return partName.trim();
  const players = name.players ?? [];
  const kind = name.family.replaceAll("-", " ");
  const called = `${kind.charAt(0).toUpperCase()}${kind.slice(1)}`;
  return players.length === 0 ? called : `${called} ${players.join(", ")}`;
}
