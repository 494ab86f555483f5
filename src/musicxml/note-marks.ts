import type { Articulation, NoteMarks, Ornament, Tremolo } from "../model/score.js";
import type { XmlElement } from "./elements.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** What the `<notations>` of a note or rest hold. */
export interface Notations {
  /** Undefined where there are none, as under a fermata alone. */
  readonly marks: NoteMarks | undefined;
  /** Signs that have a place of their own on the page: pauses and `<dynamics>`. */
  readonly signs: readonly XmlElement[];
}

const NO_SIGNS: readonly XmlElement[] = [];

// MusicXML 4.0, <articulations>. Left out: stresses of speech, and slides of pitch.
const ARTICULATIONS: ReadonlySet<string> = new Set<Articulation>([
  "staccato",
  "staccatissimo",
  "tenuto",
  "accent",
  "strong-accent",
  "detached-legato",
  "spiccato",
]);

/**
 * MusicXML 4.0, `<ornaments>`, by the notes that are played: a turn that comes late or stands upright
 * is a turn, and Haydn's sign is read as one. A plain mordent goes below, an inverted one above.
 */
const ORNAMENTS: ReadonlyMap<string, Ornament> = new Map<string, Ornament>([
  ["turn", "turn"],
  ["delayed-turn", "turn"],
  ["vertical-turn", "turn"],
  ["haydn", "turn"],
  ["inverted-turn", "inverted-turn"],
  ["delayed-inverted-turn", "inverted-turn"],
  ["inverted-vertical-turn", "inverted-turn"],
  ["mordent", "mordent"],
  ["inverted-mordent", "inverted-mordent"],
]);

/** MusicXML 4.0, type `accidental-value`: semitones; those of other tunings are left out. */
const ACCIDENTALS: ReadonlyMap<string, number> = new Map<string, number>([
  ["natural", 0],
  ["sharp", 1],
  ["flat", -1],
  ["natural-sharp", 1],
  ["natural-flat", -1],
  ["double-sharp", 2],
  ["sharp-sharp", 2],
  ["flat-flat", -2],
  ["quarter-sharp", 0.5],
  ["quarter-flat", -0.5],
  ["three-quarters-sharp", 1.5],
  ["three-quarters-flat", -1.5],
]);

/**
 * Reads the `<notations>` of a note or rest in one pass; undefined where it has none.
 * What cannot be read is left out without a notice, since no note sounds otherwise for it.
 */
export function readNotations(note: XmlElement): Notations | undefined {
  let marks: Writable<NoteMarks> | undefined;
  let signs: XmlElement[] | undefined;
  for (const notations of note.children) {
    if (notations.name !== "notations") continue;
    marks ??= {};
    for (const each of notations.children) {
      switch (each.name) {
        case "slur":
          if (each.attributes["type"] === "start") marks.slurStarts = (marks.slurStarts ?? 0) + 1;
          if (each.attributes["type"] === "stop") marks.slurStops = (marks.slurStops ?? 0) + 1;
          break;
        case "articulations":
          for (const sign of each.children) {
            if (isPause(sign)) (signs ??= []).push(sign);
            else if (isArticulation(sign.name)) addArticulation(marks, sign.name);
          }
          break;
        case "ornaments":
          readOrnaments(each.children, marks);
          break;
        case "dynamics":
          (signs ??= []).push(each);
          break;
        default:
          if (isPause(each)) (signs ??= []).push(each);
      }
    }
  }
  if (!marks) return undefined;
  const hasMarks = Object.keys(marks).length > 0;
  return { marks: hasMarks ? marks : undefined, signs: signs ?? NO_SIGNS };
}

/** What holds the time up at a note or rest. */
function isPause({ name }: XmlElement): boolean {
  return name === "fermata" || name === "caesura" || name === "breath-mark";
}

function isArticulation(name: string): name is Articulation {
  return ARTICULATIONS.has(name);
}

function addArticulation(marks: Writable<NoteMarks>, name: Articulation): void {
  const before = marks.articulations;
  if (!before?.includes(name)) marks.articulations = before ? [...before, name] : [name];
}

/** The children of `<ornaments>`: each accidental is for the sign that it follows. */
function readOrnaments(signs: readonly XmlElement[], marks: Writable<NoteMarks>): void {
  let begins = false;
  let goesOn = false;
  let isOfTrill = true;
  let accidental: number | undefined;
  for (const { name, attributes, text } of signs) {
    switch (name) {
      case "trill-mark":
        begins = true;
        isOfTrill = true;
        break;
      case "wavy-line":
        // Some print the line alone, from its start.
        if (attributes["type"] === "start") begins = true;
        else goesOn = true;
        isOfTrill = true;
        break;
      case "accidental-mark":
        if (isOfTrill) accidental ??= ACCIDENTALS.get(text.trim());
        break;
      case "tremolo": {
        const tremolo = readTremolo(attributes["type"], text);
        if (tremolo) marks.tremolo = tremolo;
        break;
      }
      default: {
        isOfTrill = false;
        const ornament = ORNAMENTS.get(name);
        if (ornament) marks.ornament ??= ornament;
      }
    }
  }
  if (begins || goesOn) {
    marks.trill = { continues: !begins, ...(accidental !== undefined && { accidental }) };
  }
}

/** MusicXML 4.0, `<tremolo>`: its text is the number of strokes, 0 to 8; a single one unless it says so. */
function readTremolo(type = "single", text: string): Tremolo | undefined {
  if (type === "unmeasured") return { strokes: 0, kind: type };
  if (type !== "single" && type !== "start" && type !== "stop") return undefined;
  const strokes = text.trim();
  return /^[0-8]$/.test(strokes) ? { strokes: Number(strokes), kind: type } : undefined;
}

/**
 * The marks of a chord, from its note so far and the next: what stands at one stands at the chord.
 * Slurs are not added up, since a slur of the chord may be written at each of its notes.
 */
export function joinMarks(
  first: NoteMarks | undefined,
  second: NoteMarks | undefined,
): NoteMarks | undefined {
  if (!first || !second) return first ?? second;
  const joined: Writable<NoteMarks> = {};
  const slurStarts = Math.max(first.slurStarts ?? 0, second.slurStarts ?? 0);
  const slurStops = Math.max(first.slurStops ?? 0, second.slurStops ?? 0);
  if (slurStarts > 0) joined.slurStarts = slurStarts;
  if (slurStops > 0) joined.slurStops = slurStops;
  const articulations = new Set([...(first.articulations ?? []), ...(second.articulations ?? [])]);
  if (articulations.size > 0) joined.articulations = [...articulations];
  const trill = first.trill ?? second.trill;
  if (trill) joined.trill = trill;
  const ornament = first.ornament ?? second.ornament;
  if (ornament) joined.ornament = ornament;
  const tremolo = first.tremolo ?? second.tremolo;
  if (tremolo) joined.tremolo = tremolo;
  return joined;
}
