/** What the music has to keep to, apart from the length of its bars (see notation.js). */
import { readPitch } from "./pitch.js";
import { chordAt } from "./plan.js";

const LONG = new Set(["w", "h", "q"]);

/** Every note within the instrument's range, and every quarter or longer a note of the chord. */
export function checkPart({ name, range }, bars) {
  const [lowest, highest] = range.map((text) => readPitch(text).semitones);
  bars.forEach((events, bar) => {
    for (const { pitch, value, triplet } of events) {
      if (!pitch) continue;
      if (pitch.semitones < lowest || pitch.semitones > highest) {
        throw new Error(`${name}, bar ${bar}: out of range`);
      }
      if (LONG.has(value) && !triplet && !chordAt(bar).includes(pitch.fifths)) {
        throw new Error(`${name}, bar ${bar}: not in the chord`);
      }
    }
  });
}
