import { fifthsOf, nearestPitch, readPitch } from "./pitch.js";

/** Third, fifth and seventh above the root, in fifths. */
const QUALITIES = { "": [4, 1], m: [-3, 1], 7: [4, 1, -2] };

/** Reads a chord such as "Bb", "Gm" or "A7" into the names of its notes, root first. */
export function readChord(text) {
  const [, root, quality] = /^([A-G][#b]?)(m|7)?$/.exec(text) ?? [];
  if (!root) throw new Error(`not a chord: ${text}`);
  const rootFifths = fifthsOf(root);
  return [rootFifths, ...QUALITIES[quality ?? ""].map((above) => rootFifths + above)];
}

/**
 * A note of the chord near a pitch. The degree is 1, 3, 5 or 7 (the root where there is no
 * seventh), or "*" for whichever is nearest.
 */
export function chordTone(chord, degree, aroundText) {
  const around = readPitch(aroundText);
  if (degree !== "*") return nearestPitch(chord[(degree - 1) / 2] ?? chord[0], around);
  const distance = (text) => Math.abs(readPitch(text).semitones - around.semitones);
  return chord
    .map((fifths) => nearestPitch(fifths, around))
    .reduce((best, each) => (distance(each) < distance(best) ? each : best));
}
