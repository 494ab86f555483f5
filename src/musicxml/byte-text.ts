/** The characters that shape XML, as bytes of UTF-8. */
export const LESS = 0x3c;
export const GREATER = 0x3e;
export const SLASH = 0x2f;
export const BANG = 0x21;
export const QUESTION = 0x3f;
export const QUOTE = 0x22;
export const APOSTROPHE = 0x27;
export const OPEN_BRACKET = 0x5b;

/**
 * Where a character stands from a place on; the length where it does not. What is looked for in a document
 * is a few bytes away as a rule, and a call of `indexOf` costs more than the way there.
 */
export function placeOf(bytes: Buffer, character: number, from: number): number {
  let place = from;
  while (place < bytes.length && bytes[place] !== character) place++;
  return place;
}

/** Whether a name stands at a place. */
export function matches(bytes: Buffer, start: number, name: Uint8Array): boolean {
  for (let k = 0; k < name.length; k++) if (bytes[start + k] !== name[k]) return false;
  return true;
}

/** Whether there is only white space (or nothing) between two places. */
export function isBlank(bytes: Buffer, start: number, end: number): boolean {
  for (let k = start; k < end; k++) if ((bytes[k] ?? 0) > 0x20) return false;
  return true;
}

/** Element names by their first byte. */
export function nameSet(names: readonly string[]): ReadonlyMap<number, readonly Buffer[]> {
  const byFirst = new Map<number, Buffer[]>();
  for (const name of names.map((each) => Buffer.from(each))) {
    const first = name[0] ?? 0;
    byFirst.set(first, [...(byFirst.get(first) ?? []), name]);
  }
  return byFirst;
}
