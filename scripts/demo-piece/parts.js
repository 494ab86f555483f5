/** Who plays: the parts in score order, and what the staff of clarinet 2 prints at each entry. */
import { CLARINET_1, CLARINET_2 } from "./music-clarinets.js";
import { TIMPANI, VIOLIN, VIOLONCELLO } from "./music-strings.js";
import { BASSOON, FLUTE, HORN, OBOE } from "./music-winds.js";
import { KEYS } from "./plan.js";

/** The three instruments of clarinet 2, as `<score-instrument>`s. */
const DOUBLES = {
  bflat: { name: "Clarinet in B♭", sound: "wind.reed.clarinet.bflat" },
  a: { name: "Clarinet in A", sound: "wind.reed.clarinet.a" },
  bass: { name: "Bass Clarinet", sound: "wind.reed.clarinet.bass" },
};

/**
 * What is printed where clarinet 2 comes in on another instrument. Always the key signature and,
 * unless the copyist forgot it, the transposition; now and then also a new name in the margin, or
 * the instrument on every note of the passage. The words stand in the music itself.
 */
const CLARINET_2_STAVES = {
  0: { plays: "bflat" },
  17: { plays: "a" },
  31: { plays: "bflat" },
  46: { plays: "a", newName: ["Clarinet 2 in A"], onNotes: true },
  51: { plays: "a" },
  61: { plays: "bflat", onNotes: true },
  72: { plays: "a" },
  91: { plays: "bass", onNotes: true },
  109: { plays: "bflat", newName: ["Clarinet 2 in B", "flat"] },
  122: { plays: "a", transposeForgotten: true },
};

/** Other staves print every key signature, and one transposition at the start. */
function plainStaves(plays) {
  return Object.fromEntries(Object.keys(KEYS).map((bar) => [bar, { plays }]));
}

const plain = (name, short, sound, music, range, { plays = "c", clef = "treble" } = {}) => ({
  name,
  short,
  clef,
  range,
  music,
  staves: plainStaves(plays),
  instruments: { [plays]: { name, sound } },
});

export const CLARINET_2_PART = {
  name: "Clarinet 2",
  short: "Cl. 2",
  clef: "treble",
  range: ["c2", "g6"],
  music: CLARINET_2,
  staves: CLARINET_2_STAVES,
  instruments: DOUBLES,
};

export const ALL_PARTS = [
  plain("Flute", "Fl.", "wind.flutes.flute", FLUTE, ["c4", "c7"]),
  plain("Oboe", "Ob.", "wind.reed.oboe", OBOE, ["bb3", "f6"]),
  plain("Clarinet 1 in B♭", "Cl. 1", "wind.reed.clarinet.bflat", CLARINET_1, ["d3", "f6"], {
    plays: "bflat",
  }),
  CLARINET_2_PART,
  plain("Bassoon", "Bsn.", "wind.reed.bassoon", BASSOON, ["bb1", "c5"], { clef: "bass" }),
  plain("Horn in F", "Hn.", "brass.french-horn", HORN, ["f2", "f5"], { plays: "horn" }),
  plain("Timpani", "Timp.", "drum.timpani", TIMPANI, ["d2", "c4"], { clef: "bass" }),
  plain("Violin", "Vln.", "strings.violin", VIOLIN, ["g3", "e7"]),
  plain("Violoncello", "Vc.", "strings.cello", VIOLONCELLO, ["c2", "c5"], { clef: "bass" }),
];

/**
 * The layout of the clarinet 2 part: bars that begin a page or a line. The turn at 86 falls in the
 * rest of a change.
 */
export const CLARINET_2_LAYOUT = {
  pages: [55, 86],
  lines: [6, 17, 22, 31, 36, 46, 51, 61, 67, 72, 77, 82, 91, 97, 101, 109, 114, 122],
};
