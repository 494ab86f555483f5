/** Names of the fifteen usual major keys, from seven flats to seven sharps. */
const MAJOR_KEYS = [
  "C-flat", "G-flat", "D-flat", "A-flat", "E-flat", "B-flat", "F",
  "C", "G", "D", "A", "E", "B", "F-sharp", "C-sharp",
] as const; // prettier-ignore

/** A key the player reads, with how it was reached. */
export interface WrittenKey {
  readonly fifths: number;
  readonly respelled: boolean;
}

/**
 * The key signature a transposing instrument reads for a sounding one.
 * Past six accidentals the enharmonic key with fewer is taken, as printers do.
 * @param soundingFifths sharps positive, flats negative
 * @param instrumentFifths the instrument's own key: -2 for B-flat, 3 for A
 * Source: K. W. Gehrkens, Essentials in Conducting (1919), table near p. 100.
 */
export function writtenKey(soundingFifths: number, instrumentFifths: number): WrittenKey {
  const plain = soundingFifths - instrumentFifths;
  let fifths = plain;
  while (fifths > 6) fifths -= 12;
  while (fifths < -6) fifths += 12;
  return { fifths, respelled: fifths !== plain };
}

/** Name of the major key with that signature; signatures past seven are given as a count. */
export function majorKeyName(fifths: number): string {
  return MAJOR_KEYS[fifths + 7] ?? signatureText(fifths);
}

const MINOR_KEYS = [
  "a-flat", "e-flat", "b-flat", "f", "c", "g", "d",
  "a", "e", "b", "f-sharp", "c-sharp", "g-sharp", "d-sharp", "a-sharp",
] as const; // prettier-ignore

/** Name of the minor key with that signature, in lower case. */
export function minorKeyName(fifths: number): string {
  return MINOR_KEYS[fifths + 7] ?? signatureText(fifths);
}

/** "no sharps or flats", "1 sharp", "3 flats". */
export function signatureText(fifths: number): string {
  if (fifths === 0) return "no sharps or flats";
  const count = Math.abs(fifths);
  return `${count} ${fifths > 0 ? "sharp" : "flat"}${count === 1 ? "" : "s"}`;
}

/** Whether a key signature alters a letter, and by how much (-2 to 2). */
export function signatureAlter(fifths: number, stepFifths: number): number {
  // Letters sit at -1 (F) to 5 (B) on the line of fifths; n sharps raise those below n - 1.
  return Math.floor((fifths - stepFifths + 5) / 7);
}
