/** Bars: what stands at the head of a bar, and the signs between the notes. */
import { DIVISIONS } from "./notation.js";
import { INSTRUMENTS } from "./pitch.js";
import { keyAt, LAST_BAR, LETTERS, METERS, REPEAT, TEMPI } from "./plan.js";
import { element } from "./xml.js";

const CLEFS = { treble: ["G", 2], bass: ["F", 4] };

/** The key signature on the staff, in fifths. */
export const writtenKey = (bar, plays) => keyAt(bar) + INSTRUMENTS[plays].fifths;

/** A new page or line, a new name in the margin, or nothing. */
export function print(bar, { pages, lines }, newName) {
  const turn = pages.includes(bar) ? "new-page" : lines.includes(bar) && "new-system";
  if (!turn && !newName) return undefined;
  const [text, accidental] = newName ?? [];
  return element(turn ? `print ${turn}="yes"` : "print", [
    newName &&
      element("part-name-display", [
        element("display-text", text),
        accidental && element("accidental-text", accidental),
      ]),
  ]);
}

/**
 * @param staff what the part prints anew in this bar (parts.js), if anything
 * @param multipleRest how many bars a rest that begins here lasts, if the part draws it as one
 */
export function attributes({ bar, clef, staff, multipleRest }) {
  const transpose = staff && !staff.transposeForgotten && INSTRUMENTS[staff.plays].transpose;
  const [sign, line] = CLEFS[clef];
  const content = [
    bar === 0 && element("divisions", DIVISIONS),
    staff && element("key", [element("fifths", writtenKey(bar, staff.plays))]),
    METERS[bar] && time(METERS[bar]),
    bar === 0 && element("clef", [element("sign", sign), element("line", line)]),
    transpose && staff.plays !== staff.before && transposition(transpose),
    multipleRest && element("measure-style", [element("multiple-rest", multipleRest)]),
  ].filter(Boolean);
  return content.length > 0 && element("attributes", content);
}

function time(meter) {
  const [beats, beatType] = meter.split("/");
  return element("time", [element("beats", beats), element("beat-type", beatType)]);
}

function transposition({ diatonic, chromatic, octave }) {
  return element("transpose", [
    element("diatonic", diatonic),
    element("chromatic", chromatic),
    octave && element("octave-change", octave),
  ]);
}

export function barline(bar, side) {
  const wanted = [
    side === "left" && bar === REPEAT.from && ["heavy-light", 'repeat direction="forward"'],
    side === "right" && bar === REPEAT.to && ["light-heavy", 'repeat direction="backward"'],
    side === "right" && bar === LAST_BAR && ["light-heavy"],
  ].find(Boolean);
  if (!wanted) return undefined;
  const [style, repeat] = wanted;
  return element(`barline location="${side}"`, [
    element("bar-style", style),
    repeat && element(repeat),
  ]);
}

/** Rehearsal letter and tempo, which stand in the top part only. */
export function sharedDirections(bar) {
  const tempo = TEMPI[bar];
  return [
    LETTERS[bar] && direction("above", [element("rehearsal", LETTERS[bar])]),
    tempo && tempoDirection(tempo),
  ];
}

function tempoDirection({ words, unit, dotted, perMinute }) {
  if (!perMinute) return direction("above", [element('words font-style="italic"', words)]);
  const metronome = element("metronome", [
    element("beat-unit", unit),
    dotted && element("beat-unit-dot"),
    element("per-minute", perMinute),
  ]);
  const sound = element(`sound tempo="${dotted ? perMinute * 1.5 : perMinute}"`);
  return direction("above", [element('words font-weight="bold"', words), metronome], sound);
}

export function dynamic({ text }) {
  return direction("below", [element("dynamics", [element(text)])]);
}

/** Words above the staff, or a change of the playback instrument, or both. */
export function sign({ words, instrument }, instruments) {
  const chosen = instrument && instruments[instrument];
  const sound =
    chosen &&
    element("sound", [
      element(`instrument-change id="${chosen.id}"`, [element("instrument-sound", chosen.sound)]),
    ]);
  return words ? direction("above", [element("words", words)], sound) : sound;
}

function direction(placement, types, sound) {
  return element(`direction placement="${placement}"`, [
    ...types.map((type) => element("direction-type", [type])),
    sound,
  ]);
}
