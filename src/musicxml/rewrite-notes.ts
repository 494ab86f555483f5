import type { SpelledPitch } from "../model/score.js";
import {
  NO_LINES,
  signsNeeded,
  type AlteredLines,
  type SignedNote,
} from "../theory/accidentals.js";
import { isStep, movePitch } from "../theory/pitch.js";
import {
  childSpan,
  insertInOrder,
  newContent,
  removal,
  spanText,
  type Edit,
  type Span,
} from "./spans.js";

/** A pitched note of a bar, as it stands and as it is to be written. */
export interface NoteToWrite {
  readonly span: Span;
  /** Quarters from the start of the bar; a grace note has that of its note. */
  readonly at: number;
  readonly staff: number;
  readonly from: SpelledPitch;
  readonly to: SpelledPitch;
  /** Written signatures at the note. */
  readonly fromFifths: number;
  readonly toFifths: number;
  /** How the pitches around the note are moved. */
  readonly move: (written: SpelledPitch) => SpelledPitch;
  /** Tied to a note that is written for another instrument. */
  readonly tiedFromOutside: boolean;
  /** Left as it is, in a bar with notes that are not: it only gets a sign that it needs now. */
  readonly stays?: boolean;
}

// MusicXML 4.0, type `accidental-value`, by semitones; the first name of each is the one written.
const SIGN_ALTERS: readonly (readonly [name: string, alter: number])[] = [
  ["natural", 0],
  ["sharp", 1],
  ["flat", -1],
  ["double-sharp", 2],
  ["flat-flat", -2],
  ["natural-sharp", 1],
  ["natural-flat", -1],
  ["sharp-sharp", 2],
  ["quarter-sharp", 0.5],
  ["quarter-flat", -0.5],
  ["three-quarters-sharp", 1.5],
  ["three-quarters-flat", -1.5],
];

function signName(alter: number): string | undefined {
  return SIGN_ALTERS.find(([, each]) => each === alter)?.[0];
}

function signAlter(name: string): number | undefined {
  return SIGN_ALTERS.find(([each]) => each === name)?.[1];
}

/** Reads the `<pitch>` of a note; undefined where it has none that can be read. */
export function notePitch(text: string, note: Span): SpelledPitch | undefined {
  const pitch = childSpan(note, "pitch");
  if (!pitch) return undefined;
  const step = spanText(text, childSpan(pitch, "step"));
  const alter = Number(spanText(text, childSpan(pitch, "alter")));
  const octave = Number(spanText(text, childSpan(pitch, "octave")) || "x");
  const isRead = isStep(step) && Number.isFinite(alter) && Number.isInteger(octave);
  return isRead ? { step, alter, octave } : undefined;
}

/** Whether a note goes on from another under a tie. */
export function isTiedFromBefore(text: string, note: Span): boolean {
  return note.children.some(
    ({ name, start, contentStart }) =>
      name === "tie" && /\stype\s*=\s*["']stop/.test(text.slice(start, contentStart)),
  );
}

/**
 * The edits that write the notes of one bar anew: pitch, the sign before it, signs over it, and its height
 * where the file gives that. An accidental that stays right keeps its element, one that was there as a
 * courtesy stays one.
 *
 * @param before lines altered in the bar before, as the output writes it
 */
export function noteEdits(
  text: string,
  notes: readonly NoteToWrite[],
  before: AlteredLines,
): { readonly edits: readonly Edit[]; readonly altered: AlteredLines } {
  const inTime = [...notes].sort((a, b) => a.at - b.at);
  const own = signsNeeded(
    inTime.map((note) => signed(text, note, "from")),
    NO_LINES,
  );
  const written = signsNeeded(
    inTime.map((note) => signed(text, note, "to")),
    before,
  );
  const edits = inTime.flatMap((note, k) => {
    const { span, to } = note;
    const accidental = childSpan(span, "accidental");
    const need = written.needs[k] ?? "none";
    if (note.stays === true && (accidental || need !== "required")) return [];
    const wasNeeded = own.needs[k] === "required";
    const isHidden = /\sprint-object\s*=\s*["']no/.test(text.slice(span.start, span.contentStart));
    return [
      ...pitchEdits(text, note),
      ...heightEdits(text, note),
      ...markEdits(text, note),
      ...(accidental
        ? need === "none" && wasNeeded
          ? [removal(text, accidental)]
          : signEdits(text, accidental, to.alter)
        : need === "none" || isHidden
          ? []
          : newSign(text, span, to.alter, need === "courtesy")),
    ];
  });
  return { edits, altered: written.altered };
}

function signed(text: string, note: NoteToWrite, side: "from" | "to"): SignedNote {
  const isShown = childSpan(note.span, "accidental") !== undefined;
  const tied = isTiedFromBefore(text, note.span) && !isShown;
  return {
    pitch: note[side],
    fifths: side === "from" ? note.fromFifths : note.toFifths,
    staff: note.staff,
    tied: side === "from" ? tied : tied && !note.tiedFromOutside,
  };
}

const BEFORE_ALTER = new Set(["step"]);

function pitchEdits(text: string, { span, from, to }: NoteToWrite): readonly Edit[] {
  const pitch = childSpan(span, "pitch");
  const step = pitch && childSpan(pitch, "step");
  const octave = pitch && childSpan(pitch, "octave");
  if (!pitch || !step || !octave) return [];
  const alter = childSpan(pitch, "alter");
  return [
    ...newContent(text, step, to.step),
    ...newContent(text, octave, String(to.octave)),
    ...(from.alter === to.alter
      ? []
      : alter
        ? to.alter === 0
          ? [removal(text, alter)]
          : newContent(text, alter, String(to.alter))
        : [insertInOrder(text, pitch, BEFORE_ALTER, `<alter>${to.alter}</alter>`)]),
  ];
}

/** A step on the staff in tenths of the distance of two lines. */
const STEP_TENTHS = 5;
const HEIGHT = /(\sdefault-y\s*=\s*["'])(-?\d+(?:\.\d+)?)/;

/** Heights on the page go with the note. */
function heightEdits(text: string, { span, from, to }: NoteToWrite): readonly Edit[] {
  const steps = staffStep(to) - staffStep(from);
  const stem = childSpan(span, "stem");
  return [span, ...(stem ? [stem] : [])].flatMap(({ start, contentStart }) => {
    const match = HEIGHT.exec(text.slice(start, contentStart));
    if (!match || steps === 0) return [];
    const [, before = "", height = ""] = match;
    const at = start + match.index + before.length;
    const decimals = height.split(".")[1]?.length ?? 0;
    const moved = (Number(height) + STEP_TENTHS * steps).toFixed(decimals);
    return [{ start: at, end: at + height.length, text: moved }];
  });
}

function staffStep({ step, octave }: SpelledPitch): number {
  return "CDEFGAB".indexOf(step) + 7 * octave;
}

/** Signs over a note, as at a trill or turn, are for its neighbour: the upper, or the lower one below. */
function markEdits(text: string, { span, from, move }: NoteToWrite): readonly Edit[] {
  const marks = span.children
    .filter(({ name }) => name === "notations")
    .flatMap(({ children }) => children.flatMap((each) => [each, ...each.children]))
    .filter(({ name }) => name === "accidental-mark");
  return marks.flatMap((mark) => {
    const alter = signAlter(spanText(text, mark));
    if (alter === undefined) return [];
    const isBelow = /\splacement\s*=\s*["']below/.test(text.slice(mark.start, mark.contentStart));
    const neighbour = { ...movePitch(from, isBelow ? -1 : 1, 0), alter };
    return signEdits(text, mark, move(neighbour).alter);
  });
}

function signEdits(text: string, sign: Span, alter: number): readonly Edit[] {
  const name = signName(alter);
  if (name === undefined || signAlter(spanText(text, sign)) === alter) return [];
  const tag = text.slice(sign.start, sign.contentStart);
  // A glyph that was chosen for the old sign is not one for the new.
  const glyph = /\ssmufl\s*=\s*(?:"[^"]*"|'[^']*')/.exec(tag);
  return [
    ...(glyph
      ? [
          {
            start: sign.start + glyph.index,
            end: sign.start + glyph.index + glyph[0].length,
            text: "",
          },
        ]
      : []),
    ...newContent(text, sign, name),
  ];
}

// What stands before the accidental of a note: MusicXML 4.0, <note>.
const BEFORE_ACCIDENTAL = new Set([
  "grace",
  "cue",
  "chord",
  "pitch",
  "duration",
  "tie",
  "instrument",
  "footnote",
  "level",
  "voice",
  "type",
  "dot",
]);

function newSign(text: string, note: Span, alter: number, courtesy: boolean): readonly Edit[] {
  const name = signName(alter);
  if (name === undefined) return [];
  const why = courtesy ? ' cautionary="yes"' : "";
  const xml = `<accidental${why}>${name}</accidental>`;
  return [insertInOrder(text, note, BEFORE_ACCIDENTAL, xml)];
}

/**
 * Turns the `<instrument>` of a note to a sound of the part list.
 * @param sound its id; "keep" or "take-out" where the list has none for the instrument
 */
export function soundEdits(text: string, note: Span, sound: string): readonly Edit[] {
  const element = childSpan(note, "instrument");
  if (!element || sound === "keep") return [];
  if (sound === "take-out") return [removal(text, element)];
  const match = /(\sid\s*=\s*["'])([^"']*)/.exec(text.slice(element.start, element.end));
  if (!match || match[2] === sound) return [];
  const start = element.start + match.index + (match[1] ?? "").length;
  return [{ start, end: start + (match[2] ?? "").length, text: sound }];
}
