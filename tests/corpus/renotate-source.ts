import { join } from "node:path";
import { performPart } from "../../src/analyses/performed.js";
import { selectParts } from "../../src/instruments/select-parts.js";
import { instrumentsFor } from "../../src/instruments/table.js";
import type { Fraction } from "../../src/model/fraction.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { PartTimeline, Transposition } from "../../src/model/score.js";
import type { BarVisit } from "../../src/model/time.js";
import type { BarSlice } from "../../src/musicxml/bar-slices.js";
import { openScore, type ListedPart, type ScoreDocument } from "../../src/musicxml/document.js";
import { scanDocument } from "../../src/musicxml/scan.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { toNumber } from "../../src/theory/fraction.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import { playedInOrder } from "../../src/timing/performed-notes.js";
import { CORPUS_ROOT } from "../support/corpus.js";

/** A place in a part: bars as in the file from 0, and divisions from the start of the bar. */
export interface Place {
  readonly bar: number;
  readonly at: number;
}

/** A child of `<measure>` as text. */
export interface BarElement {
  readonly name: string;
  readonly xml: string;
  /** Divisions from the start of the bar. */
  readonly at: number;
}

export interface SourceBar {
  readonly label: string;
  readonly elements: readonly BarElement[];
  /** In divisions. */
  readonly length: number;
  /** What is in force in the bar: key signatures and meters change at barlines only. */
  readonly fifths: number;
  readonly time: string;
}

/** A rest of two quarters or more between two notes, in which another instrument can be taken up. */
export interface Seam {
  /** The beginning of the note before the rest. */
  readonly lastNote: Place;
  readonly leave: Place;
  readonly enter: Place;
  /** Places inside the rest where a sign can stand: where it begins, and bars that begin in it. */
  readonly inside: readonly Place[];
}

/** A note as the player plays it. */
export interface SourceNote extends Place {
  /** Divisions from the start of its bar. */
  readonly end: number;
  /** Sounding pitches as MIDI 1.0 numbers. */
  readonly sounding: readonly number[];
}

/** A clarinet part of a corpus score, opened so that it can be printed otherwise. */
export interface SourcePart {
  readonly folder: string;
  readonly name: string;
  readonly player: number;
  readonly divisions: number;
  readonly transposition: Transposition;
  readonly instrument: InstrumentId;
  readonly bars: readonly SourceBar[];
  /** Notes that are played, in the order of the page. */
  readonly notes: readonly SourceNote[];
  readonly seams: readonly Seam[];
  readonly score: ScoreDocument;
  readonly listed: ListedPart;
  /** As read from the whole score. */
  readonly timeline: PartTimeline;
  readonly visits: readonly BarVisit[];
}

export function comparePlaces(a: Place, b: Place): number {
  return a.bar - b.bar || a.at - b.at;
}

/** Every place of a part is a whole number of its divisions. */
export function inDivisions(quarters: Fraction, divisions: number): number {
  return Math.round(toNumber(quarters) * divisions);
}

const SEAM_QUARTERS = 2;

/** Names of the clarinets that are taken: of one player, in B-flat or A, no bass clarinet. */
const SOURCE_NAME = /^(?:B♭|A) Clarinet ([12])$/;

/** The clarinet parts of a corpus score that can be re-notated. */
export async function sourceParts(folder: string): Promise<readonly SourcePart[]> {
  const { bytes } = await readScoreFile(join(CORPUS_ROOT, "corpus", folder, "score.mxl"));
  const index = scanDocument(bytes);
  const score = openScore(bytes);
  const text = ({ start, end }: BarSlice) => bytes.toString("utf8", start, end);
  const topBars = index.parts[0]?.bars.toArray() ?? [];
  return selectParts(score.parts, []).flatMap((part): readonly SourcePart[] => {
    const player = SOURCE_NAME.exec(part.name)?.[1];
    const slices = index.parts.find(({ id }) => id === part.id)?.bars.toArray();
    if (player === undefined || !slices) return [];
    const timeline = score.timeline(part.id);
    const [transposition, ...others] = timeline.transpositions;
    const divisions = Number(/<divisions>(\d+)</.exec(slices.map(text).join(""))?.[1]);
    if (!transposition || others.length > 0 || !divisions) throw new Error(`${part.name}: odd`);
    const bars = readBars(
      slices.map((slice, k) => {
        const top = topBars[k];
        return { label: slice.label, xml: text(slice), topXml: top ? text(top) : "" };
      }),
      timeline,
      divisions,
    );
    checkPlaces(bars, timeline, divisions);
    const notes = sourceNotes(timeline, transposition.value, divisions);
    return [
      {
        folder,
        name: part.name,
        player: Number(player),
        divisions,
        transposition: transposition.value,
        instrument: instrumentsFor(transposition.value)[0]?.id ?? "clarinet-bflat",
        bars,
        notes,
        seams: findSeams(bars, notes, timeline.bars, divisions),
        score,
        listed: part,
        timeline,
        visits: performPart(timeline).performed.performance.visits,
      },
    ];
  });
}

interface BarText {
  readonly label: string;
  readonly xml: string;
  readonly topXml: string;
}

function readBars(
  texts: readonly BarText[],
  timeline: PartTimeline,
  divisions: number,
): readonly SourceBar[] {
  let fifths = 0;
  let time = "";
  return texts.map(({ label, xml, topXml }, k) => {
    const own = elementsOf(xml);
    const printed = timeline.bars[k];
    const length = printed ? inDivisions(printed.lengthQuarters, divisions) : 0;
    // First and second endings stand over the top part only; the part alone needs them as well.
    const endings = (topXml.includes("<ending") ? elementsOf(topXml) : []).filter(
      (each) => each.name === "barline" && each.xml.includes("<ending"),
    );
    const onLeft = (each: BarElement) => each.xml.includes('location="left"');
    const isReplaced = (each: BarElement) =>
      each.name === "barline" && endings.some((ending) => onLeft(ending) === onLeft(each));
    for (const each of own) {
      if (each.name !== "attributes") continue;
      if (each.at > 0) throw new Error(`bar ${label}: attributes inside the bar`);
      fifths = Number(/<fifths>(-?\d+)</.exec(each.xml)?.[1] ?? fifths);
      time = /<time\b[^]*?<\/time>/.exec(each.xml)?.[0] ?? time;
    }
    return {
      label,
      length,
      fifths,
      time,
      elements: [
        ...endings.filter(onLeft).map((each) => ({ ...each, at: 0 })),
        ...own.filter((each) => !isReplaced(each)),
        ...endings.filter((each) => !onLeft(each)).map((each) => ({ ...each, at: length })),
      ],
    };
  });
}

/** No child of a measure holds another of its own name. */
const CHILD = /<([a-z-]+)\b[^>]*?(?:\/>|>[^]*?<\/\1>)/g;

function elementsOf(xml: string): readonly BarElement[] {
  let cursor = 0;
  let chordAt = 0;
  return [...xml.matchAll(CHILD)].map((match): BarElement => {
    const [text, name = ""] = match;
    const duration = Number(/<duration>(\d+)</.exec(text)?.[1] ?? 0);
    if (name === "note" && text.includes("<chord/>")) return { name, xml: text, at: chordAt };
    const element = { name, xml: text, at: cursor };
    if (name === "note") chordAt = cursor;
    if (name === "note" || name === "forward") cursor += duration;
    if (name === "backup") cursor -= duration;
    return element;
  });
}

/** The places found here must be those of the project's own reading. */
function checkPlaces(
  bars: readonly SourceBar[],
  { notes, part }: PartTimeline,
  divisions: number,
): void {
  const here = bars.flatMap(({ elements }, bar) =>
    elements
      .filter(({ xml }) => xml.includes("<pitch>") && !xml.includes("<chord/>"))
      .map(({ at }) => `${bar} ${at}`),
  );
  const there = notes.map(
    ({ barIndex, offset }) => `${barIndex} ${inDivisions(offset, divisions)}`,
  );
  if (here.join() !== there.join()) throw new Error(`${part.name}: the places do not agree`);
}

function sourceNotes(
  { notes }: PartTimeline,
  transposition: Transposition,
  divisions: number,
): readonly SourceNote[] {
  return playedInOrder(notes).flatMap((k): readonly SourceNote[] => {
    const note = notes[k];
    if (!note) return [];
    const at = inDivisions(note.offset, divisions);
    return [
      {
        bar: note.barIndex,
        at,
        end: at + inDivisions(note.duration, divisions),
        sounding: note.pitches.map((pitch) => midiNumber(soundingPitch(pitch, transposition))),
      },
    ];
  });
}

function findSeams(
  bars: readonly SourceBar[],
  notes: readonly SourceNote[],
  printed: PartTimeline["bars"],
  divisions: number,
): readonly Seam[] {
  const starts: number[] = [];
  bars.reduce((sum, { length }, k) => {
    starts[k] = sum;
    return sum + length;
  }, 0);
  const placeOf = (units: number): Place => {
    const bar = starts.findLastIndex((start) => start <= units);
    return { bar, at: units - (starts[bar] ?? 0) };
  };
  const seams: Seam[] = [];
  let end: number | undefined;
  let lastNote: Place | undefined;
  for (const enter of notes) {
    const barStart = starts[enter.bar] ?? 0;
    const start = barStart + enter.at;
    if (end !== undefined && lastNote && start - end >= SEAM_QUARTERS * divisions) {
      const leave = placeOf(end);
      // A grace note that ends a trill stands where its rest begins.
      const canStand = comparePlaces(lastNote, leave) < 0 && hasElementAt(bars, leave);
      const barStarts = bars
        .map((_, bar): Place => ({ bar, at: 0 }))
        .filter((place) => comparePlaces(leave, place) < 0 && comparePlaces(place, enter) < 0);
      const inside = [...(canStand ? [leave] : []), ...barStarts];
      const crosses = printed
        .slice(leave.bar, enter.bar + 1)
        .some(
          (bar) =>
            (bar.barIndex > leave.bar && (bar.repeatStart || bar.endingStart)) ||
            (bar.barIndex < enter.bar && (bar.repeatEnd ?? bar.endingStop)),
        );
      const usable = inside.length > 0 && hasElementAt(bars, enter) && !crosses;
      if (usable && !isInEndings(printed, leave.bar, enter.bar)) {
        seams.push({ lastNote, leave, enter, inside });
      }
    }
    end = Math.max(end ?? 0, barStart + enter.end);
    lastNote = enter;
  }
  return seams;
}

function hasElementAt(bars: readonly SourceBar[], { bar, at }: Place): boolean {
  return bars[bar]?.elements.some((each) => each.at === at && each.name !== "barline") ?? false;
}

/** Which instrument a second ending begins on depends on more than the bar before it. */
function isInEndings(bars: PartTimeline["bars"], from: number, to: number): boolean {
  let open = false;
  return bars.some((bar) => {
    if (bar.endingStart) open = true;
    const inside = open && bar.barIndex >= from && bar.barIndex <= to;
    if (bar.endingStop) open = false;
    return inside;
  });
}
