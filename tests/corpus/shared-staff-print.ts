import type { PartNote } from "../../src/model/score.js";
import { midiNumber } from "../../src/theory/pitch.js";
import type { Cut } from "./renotate-cut.js";
import type { Random } from "./renotate-random.js";
import { inDivisions, type SourceBar, type SourcePart } from "./renotate-source.js";

/** A note of one of the two players: bars from the beginning of the cut, places in divisions. */
export interface DuoNote extends Pick<
  PartNote,
  "pitches" | "grace" | "tiedFromBefore" | "tiedToNext"
> {
  readonly bar: number;
  readonly at: number;
  readonly end: number;
}

/** What the first and the second player play, each in the order of the part. */
type Lines = readonly [readonly DuoNote[], readonly DuoNote[]];

/** The parts of two players of one instrument, in the bars of a cut. */
export interface Duo {
  readonly source: SourcePart;
  readonly bars: readonly SourceBar[];
  readonly lines: Lines;
  /** As the orchestra counts its players; the second pair has parts of its own. */
  readonly numbers: readonly [number, number];
}

/**
 * How a place of the staff says who plays: `one` is "1." or "2.", `together` "a 2" over unisons, `mixed`
 * the same over unisons and chords, and `held` a note that its tie alone gives to one.
 */
export type Notation = "voices" | "one" | "together" | "mixed" | "chords" | "held" | "silent";

/** A place that no note of either player crosses, up to the next such place. */
interface Segment {
  readonly bar: number;
  readonly from: number;
  readonly to: number;
  readonly lines: Lines;
}

export interface PrintedSegment extends Segment {
  readonly notation: Notation;
  /** Words over its beginning; none where those in force are right. */
  readonly words?: string;
}

const CUT_INSIDE_BAR = 0.4;
const KEEP_NOTATION = 0.6;
const MARK_AGAIN = 0.2;

export function cutDuo(
  [first, second]: readonly [SourcePart, SourcePart],
  { from, to }: Cut,
  random: Random,
): Duo {
  const line = ({ timeline, divisions }: SourcePart) =>
    timeline.notes
      .filter(({ barIndex }) => barIndex >= from && barIndex < to)
      .map((note, k): DuoNote => {
        const at = inDivisions(note.offset, divisions);
        return {
          ...note,
          bar: note.barIndex - from,
          at,
          end: at + inDivisions(note.duration, divisions),
          // Nobody has held a note before the first bar.
          tiedFromBefore: note.tiedFromBefore && k > 0,
        };
      });
  return {
    source: first,
    bars: first.bars.slice(from, to),
    lines: [line(first), line(second)],
    numbers: random.chance(0.3) ? [3, 4] : [1, 2],
  };
}

/** Chooses a notation for every place of the staff, and words where those in force are not right. */
export function planStaff(duo: Duo, random: Random): readonly PrintedSegment[] {
  const { one, all, chords } = wordsFor(duo.numbers);
  let inForce: 0 | 1 | "all" | undefined;
  let last: Notation | undefined;
  return segments(duo, random).map((segment): PrintedSegment => {
    const plays = segment.lines.map((line) => line.length > 0);
    const player = plays[0] ? 0 : 1;
    const fitting = notationsOf(segment).filter((each) => {
      return each !== "held" || (inForce !== 1 - player && heldByOne(duo, segment, player));
    });
    const keeps = fitting.find((each) => each === last && random.chance(KEEP_NOTATION));
    const notation = keeps ?? random.pick(fitting);
    if (notation !== "silent") last = notation;
    const mark = <T extends 0 | 1 | "all">(meaning: T, texts: readonly string[]) => {
      const isNew = inForce !== meaning || random.chance(MARK_AGAIN);
      inForce = meaning;
      return { ...segment, notation, ...(isNew && { words: random.pick(texts) }) };
    };
    if (notation === "one") return mark(player, one[player]);
    if (notation === "together") return mark("all", all);
    if (notation === "mixed") return mark("all", chords);
    const leftOut = inForce === 0 ? 1 : inForce === 1 ? 0 : undefined;
    if (leftOut !== undefined && plays[leftOut]) inForce = undefined;
    return { ...segment, notation };
  });
}

/** Words for the one player or the other, for both in unison, and for both in chords as well. */
function wordsFor([first, second]: Duo["numbers"]) {
  const roman = ["", "I", "II", "III", "IV"] as const;
  const player = (n: number) => [`${n}.`, `${roman[n]}.`, `${n}º`, `${n}. Solo`, `${n}. dolce`];
  const chords = ["a 2", "a2", "à 2", "zu 2", "a due", `${first}., ${second}.`];
  return {
    one: [[...player(first), ...(first === 1 ? ["Solo", "I. Solo"] : [])], player(second)] as const,
    all: [...chords, "unis.", "a 2.", `${first}. ${second}.`],
    chords: [...chords, "div."],
  };
}

function segments({ bars, lines }: Duo, random: Random): readonly Segment[] {
  return bars.flatMap(({ length }, bar) => {
    const inBar = lines.map((line) => line.filter((note) => note.bar === bar));
    const notes = inBar.flat();
    // At a grace note it is not certain which of the notes it belongs to.
    const canCut = (place: number) =>
      place < length &&
      notes.every(({ at, end, grace }) => (grace ? at !== place : place <= at || place >= end));
    const inside = [...new Set(notes.map(({ at }) => at))]
      .filter((place) => place > 0 && canCut(place) && random.chance(CUT_INSIDE_BAR))
      .sort((a, b) => a - b);
    return [0, ...inside].map((from, k): Segment => {
      const to = inside[k] ?? length;
      const within = (line: readonly DuoNote[] = []) =>
        line.filter(({ at }) => at >= from && (at < to || to === length));
      return { bar, from, to, lines: [within(inBar[0]), within(inBar[1])] };
    });
  });
}

function notationsOf({ lines }: Segment): readonly Notation[] {
  const [first, second] = lines;
  const notes = lines.flat();
  if (notes.length === 0) return ["silent"];
  // A chord of one player is divided unless the other has a voice.
  if (notes.some(({ pitches }) => pitches.length !== 1)) return ["voices"];
  if (first.length === 0 || second.length === 0) {
    const isHeld = notes.length === 1 && notes[0]?.tiedFromBefore;
    // Such notes are few.
    return ["voices", "one", ...(isHeld ? Array<Notation>(6).fill("held") : [])];
  }
  const rhythm = (line: readonly DuoNote[]) =>
    line.map(({ at, end, grace }) => `${at} ${end} ${grace}`).join();
  if (rhythm(first) !== rhythm(second)) return ["voices"];
  const unisons = first.map((note, k) => isUnison(note, second[k]));
  if (unisons.every(Boolean)) return ["voices", "together"];
  const divides = first.every((note, k) => unisons[k] || height(note) > height(second[k]));
  if (!divides) return ["voices"];
  return unisons.some(Boolean) ? ["voices", "mixed"] : ["voices", "chords"];
}

function height(note: DuoNote | undefined): number {
  return Math.max(...(note?.pitches ?? []).map(midiNumber));
}

function isUnison(a: DuoNote, b: DuoNote | undefined): boolean {
  const show = (note: DuoNote | undefined) =>
    JSON.stringify([note?.pitches, note?.tiedFromBefore, note?.tiedToNext]);
  return show(a) === show(b);
}

/** Whether the tie alone says whose note it is: the other player had not the same note. */
function heldByOne({ bars, lines }: Duo, { bar, from, lines: here }: Segment, player: 0 | 1) {
  const note = here[player][0];
  const endsHere = (each: DuoNote) =>
    from > 0
      ? each.bar === bar && each.end === from
      : each.bar === bar - 1 && each.end === bars[bar - 1]?.length;
  const before = (line: readonly DuoNote[]) =>
    line.some((each) => !each.grace && endsHere(each) && height(each) === height(note));
  return note?.at === from && before(lines[player]) && !before(lines[player === 0 ? 1 : 0]);
}

/** One of the two as a part of its own. */
export function printAlone(duo: Duo, player: 0 | 1): string {
  const content = duo.bars.map(({ length }, bar) => {
    const inBar = duo.lines[player].filter((note) => note.bar === bar);
    return stretch(inBar, 0, length, "1");
  });
  return documentXml(duo, `Clarinet ${duo.numbers[player]}`, content);
}

/** Both on one staff. */
export function printStaff(duo: Duo, plan: readonly PrintedSegment[], random: Random): string {
  const voices = random.pick([
    ["1", "2"],
    ["1", "2"],
    ["1", "3"],
    ["5", "6"],
  ] as const);
  const [first, second] = duo.numbers;
  const name = random.pick([`Clarinets ${first}. ${second}.`, `Clarinets ${first}, ${second}`]);
  const content = duo.bars.map(({ length }, bar) => {
    let upper = "";
    let lower = "";
    let isLowerUsed = false;
    for (const segment of plan.filter((each) => each.bar === bar)) {
      const [above, below] = voicesOf(segment, voices, random);
      upper += (segment.words === undefined ? "" : wordsXml(segment.words)) + above;
      lower += below;
      isLowerUsed ||= below.includes("<note");
    }
    return isLowerUsed ? `${upper}<backup><duration>${length}</duration></backup>${lower}` : upper;
  });
  return documentXml(duo, name, content);
}

function voicesOf(
  { notation, from, to, lines }: PrintedSegment,
  [upper, lower]: readonly [string, string],
  random: Random,
): readonly [string, string] {
  const nothing = (voice: string) =>
    random.chance(0.5) ? forwardXml(to - from) : restXml(to - from, voice, true);
  if (notation === "voices" || (notation === "silent" && random.chance(0.5))) {
    return [stretch(lines[0], from, to, upper), stretch(lines[1], from, to, lower)];
  }
  const [first, second] = lines;
  if (first.length === 0 && second.length > 0 && random.chance(0.3)) {
    return [nothing(upper), stretch(second, from, to, lower)];
  }
  const line = first.length > 0 ? first : second;
  const chordWith = first.length > 0 ? second : [];
  return [stretch(line, from, to, upper, chordWith), nothing(lower)];
}

/** A voice from a place to another, with its rests; with the notes of a second player as chords. */
function stretch(
  line: readonly DuoNote[],
  from: number,
  to: number,
  voice: string,
  chordWith: readonly DuoNote[] = [],
): string {
  let at = from;
  const pieces = line.map((note, k) => {
    const before = restXml(note.at - at, voice);
    at = note.end;
    const below = chordWith[k];
    const isChord = below && !isUnison(note, below);
    return before + noteXml(note, voice) + (isChord ? noteXml(below, voice, true) : "");
  });
  // A grace note after the last note stands at the end.
  return pieces.join("") + restXml(to - at, voice);
}

function noteXml(note: DuoNote, voice: string, inChord = false): string {
  const { at, end, grace, pitches, tiedFromBefore, tiedToNext } = note;
  const ties = `${tiedFromBefore ? '<tie type="stop"/>' : ""}${tiedToNext ? '<tie type="start"/>' : ""}`;
  const duration = grace ? "" : `<duration>${end - at}</duration>`;
  return pitches
    .map(({ step, alter, octave }, k) => {
      const chord = inChord || k > 0 ? "<chord/>" : "";
      return `<note>${grace ? "<grace/>" : ""}${chord}<pitch><step>${step}</step><alter>${alter}</alter><octave>${octave}</octave></pitch>${duration}${ties}<voice>${voice}</voice></note>`;
    })
    .join("");
}

function restXml(length: number, voice: string, hidden = false): string {
  if (length <= 0) return "";
  return `<note${hidden ? ' print-object="no"' : ""}><rest/><duration>${length}</duration><voice>${voice}</voice></note>`;
}

function forwardXml(length: number): string {
  return length > 0 ? `<forward><duration>${length}</duration></forward>` : "";
}

function wordsXml(text: string): string {
  return `<direction placement="above"><direction-type><words>${text}</words></direction-type></direction>`;
}

function documentXml({ source, bars }: Duo, name: string, contents: readonly string[]): string {
  const { diatonic, chromatic, octaveChange } = source.transposition;
  const octaves = octaveChange === 0 ? "" : `<octave-change>${octaveChange}</octave-change>`;
  const transpose = `<transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>${octaves}</transpose>`;
  const measures = bars.map((bar, k) => {
    const before = bars[k - 1];
    const key = bar.fifths === before?.fifths ? "" : `<key><fifths>${bar.fifths}</fifths></key>`;
    const time = bar.time === before?.time ? "" : bar.time;
    const first = `<divisions>${source.divisions}</divisions>`;
    const attributes = `<attributes>${k === 0 ? first : ""}${key}${time}${k === 0 ? transpose : ""}</attributes>`;
    const barlines = bar.elements.filter((each) => each.name === "barline");
    const isLeft = (xml: string) => xml.includes('location="left"');
    const left = barlines.filter(({ xml }) => isLeft(xml)).map(({ xml }) => xml);
    const right = barlines.filter(({ xml }) => !isLeft(xml)).map(({ xml }) => xml);
    return `<measure number="${bar.label}">${left.join("")}${attributes}${contents[k]}${right.join("")}</measure>`;
  });
  return `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>${name}</part-name></score-part></part-list><part id="P1">${measures.join("\n")}</part></score-partwise>`;
}
