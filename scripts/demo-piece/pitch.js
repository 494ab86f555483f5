/**
 * Pitches keep their spelling: a place on the line of fifths (C is 0, G is 1, B-flat is -2) and a
 * number of semitones, with middle C at 60.
 */
const LINE_OF_FIFTHS = "FCGDAEB";
const SEMITONES = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const ALTERS = { "": 0, "#": 1, b: -1 };

/** What has to be added to a sounding pitch or key to write it for the instrument. */
export const INSTRUMENTS = {
  c: { fifths: 0, semitones: 0 },
  horn: { fifths: 1, semitones: 7, transpose: { diatonic: -4, chromatic: -7 } },
  bflat: { fifths: 2, semitones: 2, transpose: { diatonic: -1, chromatic: -2 } },
  a: { fifths: -3, semitones: 3, transpose: { diatonic: -2, chromatic: -3 } },
  bass: { fifths: 2, semitones: 14, transpose: { diatonic: -1, chromatic: -2, octave: -1 } },
};

/** Reads a name without an octave: "Bb" is -2 fifths. */
export function fifthsOf(name) {
  const [, letter, accidental] = /^([A-Ga-g])([#b]?)$/.exec(name) ?? [];
  if (!letter) throw new Error(`not a note name: ${name}`);
  return LINE_OF_FIFTHS.indexOf(letter.toUpperCase()) - 1 + 7 * ALTERS[accidental];
}

/** Reads a pitch with its octave: "bb4" is the B-flat above middle C. */
export function readPitch(text) {
  const fifths = fifthsOf(text.slice(0, -1));
  const { step, alter } = spell(fifths);
  return { fifths, semitones: 12 * (Number(text.at(-1)) + 1) + SEMITONES[step] + alter };
}

/** The letter and accidental for a place on the line of fifths. */
function spell(fifths) {
  const alter = Math.floor((fifths + 1) / 7);
  return { step: LINE_OF_FIFTHS[fifths + 1 - 7 * alter], alter };
}

export function writtenPitch(sounding, instrument) {
  const fifths = sounding.fifths + instrument.fifths;
  const semitones = sounding.semitones + instrument.semitones;
  const { step, alter } = spell(fifths);
  if (Math.abs(alter) > 1) throw new Error(`double accidental on written ${step}`);
  return { step, alter, octave: (semitones - alter - SEMITONES[step]) / 12 - 1 };
}

/** The note of the given name that lies nearest to a pitch; of two equally near, the lower. */
export function nearestPitch(fifths, around) {
  const { step, alter } = spell(fifths);
  const name = step.toLowerCase() + ["b", "", "#"][alter + 1];
  const candidates = [1, 2, 3, 4, 5, 6].map((octave) => name + octave);
  const distance = (text) => Math.abs(readPitch(text).semitones - around.semitones);
  return candidates.reduce((best, each) => (distance(each) < distance(best) ? each : best));
}

/** Whether a key signature already alters the letter as asked. */
export function keyAlter(keyFifths, step) {
  const place = LINE_OF_FIFTHS.indexOf(step);
  if (keyFifths > 0) return place < keyFifths ? 1 : 0;
  return 6 - place < -keyFifths ? -1 : 0;
}
