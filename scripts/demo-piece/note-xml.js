import { keyAlter, writtenPitch } from "./pitch.js";
import { element } from "./xml.js";

const TYPES = { w: "whole", h: "half", q: "quarter", e: "eighth", g: "eighth" };
const ACCIDENTALS = { "-1": "flat", 0: "natural", 1: "sharp" };

/**
 * Writes the notes of one part in order, remembering what the reader remembers: ties over the
 * bar line, and the accidentals of the bar.
 */
export class NoteWriter {
  #tied = false;
  #alters = new Map();

  startBar() {
    this.#alters.clear();
  }

  /**
   * @param event a note from notation.js
   * @param instrument transposition to write for, from pitch.js
   * @param keyFifths the written key signature
   * @param instrumentId a score-instrument to name on the note, if it is named
   */
  note(event, { instrument, keyFifths, instrumentId }) {
    const written = event.pitch && writtenPitch(event.pitch, instrument);
    const tieStop = this.#tied && written !== undefined;
    const tieStart = event.marks.includes("~");
    if (!event.grace) this.#tied = tieStart;
    return element("note", [
      event.grace && element('grace slash="yes"'),
      event.cue && element("cue"),
      written ? pitchXml(written) : element(event.wholeBar ? 'rest measure="yes"' : "rest"),
      !event.grace && element("duration", event.duration),
      tieStop && element('tie type="stop"'),
      tieStart && element('tie type="start"'),
      instrumentId && written && !event.cue && element(`instrument id="${instrumentId}"`),
      element("voice", 1),
      event.value && element(event.cue ? 'type size="cue"' : "type", TYPES[event.value]),
      event.dotted && element("dot"),
      written && !tieStop && this.#accidental(written, keyFifths),
      event.triplet &&
        element("time-modification", [element("actual-notes", 3), element("normal-notes", 2)]),
      event.beam && element('beam number="1"', event.beam),
      notations(event, tieStart, tieStop),
    ]);
  }

  /** The accidental a reader needs, given the key signature and the bar so far. */
  #accidental({ step, alter, octave }, keyFifths) {
    const place = step + octave;
    const known = this.#alters.get(place) ?? keyAlter(keyFifths, step);
    this.#alters.set(place, alter);
    return alter !== known && element("accidental", ACCIDENTALS[alter]);
  }
}

function pitchXml({ step, alter, octave }) {
  return element("pitch", [
    element("step", step),
    alter !== 0 && element("alter", alter),
    element("octave", octave),
  ]);
}

function notations({ marks, tuplet }, tieStart, tieStop) {
  const articulations = [
    marks.includes("'") && element("staccato"),
    marks.includes(">") && element("accent"),
  ].filter(Boolean);
  const signs = [
    tieStop && element('tied type="stop"'),
    tieStart && element('tied type="start"'),
    marks.includes(")") && element('slur number="1" type="stop"'),
    marks.includes("(") && element('slur number="1" type="start"'),
    tuplet && element(`tuplet type="${tuplet}" bracket="yes"`),
    articulations.length > 0 && element("articulations", articulations),
    marks.includes("^") && element('fermata type="upright"'),
  ].filter(Boolean);
  return signs.length > 0 && element("notations", signs);
}
