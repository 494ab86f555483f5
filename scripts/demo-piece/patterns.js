/**
 * Accompaniment, made from the chord and the meter of each bar. A pattern such as "hold 3 g4" is
 * its name, the degree of the chord and the register; the result is note text (see notation.js).
 */
import { chordTone } from "./chords.js";

/** How a bar divides: one long sound, its two halves, its beats, and the rest after the first beat. */
const METERS = {
  "4/4": { hold: ["w"], halves: ["h", "h"], beats: ["q", "q", "q", "q"], after: ["q", "h"] },
  "3/4": { hold: ["h."], halves: ["h", "q"], beats: ["q", "q", "q"], after: ["h"] },
  "2/4": { hold: ["h"], halves: ["q", "q"], beats: ["q", "q"], after: ["q"] },
  "6/8": { hold: ["h."], halves: ["q.", "q."], beats: ["q.", "q."], after: ["q."] },
  "5/8": { hold: ["q.", "q"], halves: ["q.", "q"], beats: ["q.", "q"], after: ["q"] },
  "7/8": { hold: ["h", "q."], halves: ["h", "q."], beats: ["q", "q", "q."], after: ["q", "q."] },
};

const EIGHTHS = { q: 2, "q.": 3 };

const PATTERNS = {
  /** One sound for the whole bar. */
  hold: (tone, { hold }) =>
    hold.map((value, k) => `${tone()}:${value}${k < hold.length - 1 ? "~" : ""}`),
  /** The degree asked for, then the fifth. */
  halves: (tone, { halves }) => [`${tone()}:${halves[0]}`, `${tone(5)}:${halves[1]}`],
  beats: (tone, { beats }) => beats.map((value) => `${tone()}:${value}'`),
  /** A rest on each beat and the chord after it; in 3/4 the waltz. */
  after: (tone, { beats }, meter) =>
    meter === "3/4"
      ? ["r:q", `${tone()}:q'`, `${tone()}:q'`]
      : beats.flatMap((value) => ["r:e", ...Array(EIGHTHS[value] - 1).fill(`${tone()}:e'`)]),
  /** Broken chords in eighths. */
  waves: (tone, { beats }) => {
    const count = beats.reduce((sum, value) => sum + EIGHTHS[value], 0);
    return Array.from({ length: count }, (_, k) => `${tone([1, 5, 3, 5][k % 4])}:e`);
  },
  /** The first beat only. */
  stroke: (tone, { beats, after }) => [
    `${tone()}:${beats[0]}`,
    ...after.map((value) => `r:${value}`),
  ],
  /** Before a general pause on the last beat. */
  pause: (tone) => [`${tone()}:h.`, "r:q^"],
};

export function patternBar(pattern, chord, meter) {
  const [name, degree, register] = pattern.split(" ");
  const make = PATTERNS[name];
  if (!make) throw new Error(`no pattern called ${name}`);
  const tone = (other = degree) => chordTone(chord, other, register);
  return make(tone, METERS[meter], meter).join(" ");
}
