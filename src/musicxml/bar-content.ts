import type { Fraction } from "../model/fraction.js";
import type { Notify } from "./notices.js";
import type {
  Meter,
  NoteMarks,
  PartNote,
  PartRest,
  SpelledPitch,
  Transposition,
} from "../model/score.js";
import { isNegative, maxFraction, ZERO } from "../theory/fraction.js";
import { isStep, midiNumber } from "../theory/pitch.js";
import { noteValueQuarters, positiveNumber, quarters } from "./durations.js";
import { readMeter } from "./meter.js";
import { child, children, childText, type XmlElement } from "./elements.js";
import { isPencilMark } from "./pencil-marks.js";
import { joinMarks, readNotations } from "./note-marks.js";

/** What carries over from bar to bar. */
export interface NotationState {
  divisions: Fraction;
  meter: Meter;
}

/** A value printed in a bar, `offset` quarters from its start. */
export interface InBar<T> {
  readonly offset: Fraction;
  readonly value: T;
}

/** One bar of one part, as read: places are quarters from the start of the bar. */
export interface BarContent {
  readonly notes: PartNote[];
  /** Rests that are written out. */
  readonly rests: PartRest[];
  /** Every element that is not a note, with the place where it stands; of a note, pauses and dynamics. */
  readonly signs: InBar<XmlElement>[];
  /** Where the furthest voice ends. */
  readonly filled: Fraction;
  readonly meter: Meter;
  /** Divisions in force at each sign, for the offsets written in them. */
  readonly divisionsOf: ReadonlyMap<XmlElement, Fraction>;
}

/**
 * Lays out the content of one bar: every note and sign gets its exact place.
 * `state` is carried to the next bar of the same part.
 */
export function readBarContent(
  elements: readonly XmlElement[],
  barIndex: number,
  state: NotationState,
  notify: Notify,
): BarContent {
  const notes: PartNote[] = [];
  const rests: PartRest[] = [];
  const signs: InBar<XmlElement>[] = [];
  const divisionsOf = new Map<XmlElement, Fraction>();
  let cursor = ZERO;
  let filled = ZERO;
  const move = (to: Fraction) => {
    cursor = to;
    filled = maxFraction(filled, cursor);
  };
  for (const element of elements) {
    switch (element.name) {
      case "note": {
        const duration = noteDuration(element, state.divisions, notify);
        const isChordNote = child(element, "chord") !== undefined;
        const previous = notes.at(-1);
        const notations = readNotations(element);
        const note = readNote(element, barIndex, cursor, duration, notations?.marks, notify);
        if (note === "rest") rests.push(readRest(element, barIndex, cursor, duration));
        else if (isChordNote && previous && previous.voice === note.voice) {
          notes[notes.length - 1] = joinChord(previous, note);
        } else {
          notes.push(isChordNote && previous ? { ...note, offset: previous.offset } : note);
        }
        const start = isChordNote && previous ? previous.offset : cursor;
        for (const value of notations?.signs ?? []) {
          const isDynamic = value.name === "dynamics";
          // Those of another player, in small notes.
          if (isDynamic && note !== "rest" && note.cue) continue;
          // A fermata stands over its note; a caesura and a breath mark come after it.
          const isOver = isDynamic || value.name === "fermata";
          signs.push({ offset: isOver ? start : start.add(duration), value });
        }
        if (!isChordNote) move(cursor.add(duration));
        break;
      }
      case "backup": {
        const target = cursor.sub(
          quarters(childText(element, "duration"), state.divisions, notify),
        );
        if (isNegative(target)) notify({ kind: "backup-before-bar" });
        cursor = maxFraction(ZERO, target);
        break;
      }
      case "forward":
        move(cursor.add(quarters(childText(element, "duration"), state.divisions, notify)));
        break;
      case "attributes":
        readTimeAttributes(element, state, notify);
        signs.push({ offset: cursor, value: element });
        break;
      default:
        // What `muta mark` wrote is not of the print.
        if (isPencilMark(element)) break;
        signs.push({ offset: cursor, value: element });
        divisionsOf.set(element, state.divisions);
    }
  }
  return { notes, rests, signs, filled, meter: state.meter, divisionsOf };
}

function readTimeAttributes(element: XmlElement, state: NotationState, notify: Notify): void {
  const divisions = childText(element, "divisions");
  if (divisions !== undefined) {
    const value = positiveNumber(divisions);
    if (value) state.divisions = value;
    else notify({ kind: "odd-number", element: "divisions", text: divisions });
  }
  const time = child(element, "time");
  if (time) {
    const meter = readMeter(time);
    if (meter) state.meter = meter;
    else
      notify({ kind: "meter-unreadable", text: time.children.map((each) => each.text).join("/") });
  }
}

function noteDuration(note: XmlElement, divisions: Fraction, notify: Notify): Fraction {
  if (child(note, "grace")) return ZERO;
  const written = childText(note, "duration");
  if (written !== undefined) return quarters(written, divisions, notify);
  notify({ kind: "missing-duration", count: 1 });
  const value = noteValueQuarters(childText(note, "type") ?? "", children(note, "dot").length);
  const ratio = child(note, "time-modification");
  if (!value || !ratio) return value ?? ZERO;
  const actual = positiveNumber(childText(ratio, "actual-notes") ?? "");
  const normal = positiveNumber(childText(ratio, "normal-notes") ?? "");
  return actual && normal ? value.mul(normal).div(actual) : value;
}

function readNote(
  element: XmlElement,
  barIndex: number,
  offset: Fraction,
  duration: Fraction,
  marks: NoteMarks | undefined,
  notify: Notify,
): PartNote | "rest" {
  let voice = "1";
  let staff = 1;
  let pitch: SpelledPitch | undefined;
  let grace = false;
  let cue = false;
  let unpitched = false;
  let scoreInstrumentId: string | undefined;
  let tiedFromBefore = false;
  let tiedToNext = false;
  for (const each of element.children) {
    switch (each.name) {
      case "rest":
        return "rest";
      case "pitch":
        pitch = readPitch(each, notify);
        break;
      case "unpitched":
        unpitched = true;
        break;
      case "grace":
        grace = true;
        break;
      case "cue":
        cue = true;
        break;
      case "type":
        // The size says it where an exporter gives cue notes a sound of their own.
        if (each.attributes["size"] === "cue" || each.attributes["size"] === "grace-cue")
          cue = true;
        break;
      case "voice":
        voice = each.text.trim();
        break;
      case "staff":
        staff = Number(each.text) || 1;
        break;
      case "tie":
        if (each.attributes["type"] === "stop") tiedFromBefore = true;
        if (each.attributes["type"] === "start") tiedToNext = true;
        break;
      case "instrument":
        scoreInstrumentId = each.attributes["id"];
        break;
    }
  }
  if (!pitch && unpitched) notify({ kind: "unpitched", count: 1 });
  return {
    barIndex,
    offset,
    duration,
    voice,
    staff,
    pitches: pitch ? [pitch] : [],
    grace,
    cue,
    hidden: element.attributes["print-object"] === "no",
    tiedFromBefore,
    tiedToNext,
    ...(scoreInstrumentId !== undefined && { scoreInstrumentId }),
    ...(marks && { marks }),
  };
}

function readRest(
  element: XmlElement,
  barIndex: number,
  offset: Fraction,
  duration: Fraction,
): PartRest {
  return {
    barIndex,
    offset,
    duration,
    voice: childText(element, "voice") ?? "1",
    staff: Number(childText(element, "staff")) || 1,
    hidden: element.attributes["print-object"] === "no",
  };
}

/** Highest first; most chords are written from the bottom or from the top. */
function joinPitches(
  chord: readonly SpelledPitch[],
  added: readonly SpelledPitch[],
): readonly SpelledPitch[] {
  const [top] = chord;
  const bottom = chord.at(-1);
  const [pitch] = added;
  if (!pitch || !top || !bottom) return [...chord, ...added];
  if (midiNumber(pitch) >= midiNumber(top)) return [...added, ...chord];
  if (midiNumber(pitch) <= midiNumber(bottom)) return [...chord, ...added];
  return [...chord, ...added].sort((a, b) => midiNumber(b) - midiNumber(a));
}

function joinChord(first: PartNote, second: PartNote): PartNote {
  const marks = joinMarks(first.marks, second.marks);
  return {
    ...first,
    pitches: joinPitches(first.pitches, second.pitches),
    // A chord with one full-size or visible note is played.
    cue: first.cue && second.cue,
    hidden: first.hidden && second.hidden,
    tiedFromBefore: first.tiedFromBefore && second.tiedFromBefore,
    tiedToNext: first.tiedToNext || second.tiedToNext,
    ...(marks && { marks }),
  };
}

function readPitch(element: XmlElement, notify: Notify): SpelledPitch | undefined {
  const step = childText(element, "step") ?? "";
  const alterText = childText(element, "alter");
  const alter = alterText === "" ? NaN : Number(alterText ?? "0");
  const octave = Number(childText(element, "octave") || "x");
  if (
    !isStep(step) ||
    !Number.isFinite(alter) ||
    !Number.isInteger(octave) ||
    Math.abs(alter) > 4
  ) {
    notify({
      kind: "odd-number",
      element: "pitch",
      text: element.children.map((each) => each.text).join(" "),
    });
    return undefined;
  }
  return { step, alter, octave };
}

/** Reads a `<transpose>` or `<part-transpose>`; a missing `diatonic` is taken from the semitones. */
export function readTransposition(element: XmlElement): Transposition | undefined {
  const chromatic = Number(childText(element, "chromatic") ?? "x");
  if (!Number.isInteger(chromatic) || Math.abs(chromatic) > 60) return undefined;
  const octaveChange = Number(childText(element, "octave-change") ?? "0");
  const given = childText(element, "diatonic");
  // Seven letters to twelve semitones: -2 is a second, -3 a third, -9 a sixth.
  const diatonic = given === undefined ? Math.round((chromatic * 7) / 12) : Number(given);
  if (!Number.isInteger(diatonic) || !Number.isInteger(octaveChange)) return undefined;
  return { diatonic, chromatic, octaveChange };
}
