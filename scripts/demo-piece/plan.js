/** The frame that all parts share. Bars are named by their printed number; 0 is the pick-up. */
import { readChord } from "./chords.js";

export const TITLE = "Lanterns on the Weir";
export const FILE_NAME = "lanterns-on-the-weir";
export const SUBTITLE = "Concert piece for small orchestra";
export const COMPOSER = "Tove Marrindal";
export const ORCHESTRA = "Library of the Saltmere Vale Symphony Orchestra";
export const RIGHTS = "The piece, its composer and its orchestra are invented.";
export const LAST_BAR = 128;
export const REPEAT = { from: 31, to: 50 };

export const METERS = {
  0: "4/4",
  17: "3/4",
  31: "6/8",
  51: "3/4",
  60: "5/8",
  61: "2/4",
  83: "7/8",
  85: "4/4",
  87: "3/4",
  101: "4/4",
};

/** Key signatures at sounding pitch, in fifths. */
export const KEYS = {
  0: -2,
  17: 2,
  31: -2,
  46: 2,
  51: 3,
  61: -3,
  72: 3,
  82: -1,
  91: -2,
  101: -3,
  122: 2,
};

export const TEMPI = {
  0: { words: "Andante con moto", unit: "quarter", perMinute: 84 },
  17: { words: "Allegretto grazioso", unit: "quarter", perMinute: 108 },
  31: { words: "Con moto", unit: "quarter", dotted: true, perMinute: 80 },
  51: { words: "Allegro vivo", unit: "quarter", perMinute: 126 },
  80: { words: "poco rit." },
  82: { words: "Lento misterioso", unit: "quarter", perMinute: 60 },
  101: { words: "Allegro giocoso", unit: "quarter", perMinute: 120 },
};

export const LETTERS = {
  9: "A",
  17: "B",
  31: "C",
  41: "D",
  51: "E",
  61: "F",
  72: "G",
  82: "H",
  91: "J",
  101: "K",
  109: "L",
  114: "M",
  122: "N",
};

const CHORDS = `F |
  Bb | Gm | Eb | F7 | Bb | Cm | F7 | Bb |
  Gm | Cm | F7 | Bb | Gm | Bb | A | A7 |
  D | A7 | D | G | D | Em | A7 | D | Bm | Em | A7 | D | D7 | D7 |
  Gm | Gm | Cm | D7 | Gm | Eb | Cm | F7 | Bb | Gm |
  Cm | Gm | Eb | A7 | A7 | D | G | A7 | D | D |
  A | E7 | A | D | A | Bm | E7 | A | A | Bb7 |
  Eb | Ab | Bb7 | Eb | Cm | Bb7 | Eb | Cm | Ab | E7 | E7 |
  A | D | E7 | A | F#m | Bm | E7 | A | E7 | A |
  Dm | Gm | Dm | A7 | Dm | Bb | Gm | Cm | D7 |
  Gm | Cm | Gm | D7 | Gm | Eb | Cm | D7 | Gm | Gm |
  Eb | Cm | Ab | Bb7 | Eb | Ab | Fm | Bb7 |
  Eb | Cm | Ab | Bb7 | Eb |
  Cm | Fm | Bb7 | Eb | Gm | Bb | A7 | A7 |
  D | G | A7 | D | G | A7 | D`
  .split("|")
  .map((text) => readChord(text.trim()));

if (CHORDS.length !== LAST_BAR + 1) throw new Error(`${CHORDS.length} chords`);

/** The value in force at a bar. */
function inForce(table, bar) {
  const from = Object.keys(table).map(Number);
  return table[Math.max(...from.filter((each) => each <= bar))];
}

const QUARTERS = { "4/4": 4, "3/4": 3, "2/4": 2, "6/8": 3, "5/8": 2.5, "7/8": 3.5 };

export const meterAt = (bar) => inForce(METERS, bar);
export const keyAt = (bar) => inForce(KEYS, bar);
export const chordAt = (bar) => CHORDS[bar];
export const quartersIn = (bar) => (bar === 0 ? 1 : QUARTERS[meterAt(bar)]);
