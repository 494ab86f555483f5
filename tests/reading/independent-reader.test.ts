import { parseMeasure, type Note } from "musicxml-interfaces";
import { beforeAll, describe, expect, it } from "vitest";
import { isClarinetName } from "../../src/instruments/names.js";
import type { PartNote } from "../../src/model/score.js";
import { openScore, type ScoreDocument } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";

// Scores: OpenScore Orchestra corpus (CC0). Reader to compare with: the package musicxml-interfaces,
// which takes one bar at a time. Bars are cut out here with expressions of our own, so that nothing
// of the reader under test is shared.

/** Numbers of the package's enumerations, which are declared but do not exist when it runs. */
const TIE_START = 0;
const TIE_STOP = 1;
const CUE_SIZE = 2;

/** A note or chord as both readers can tell it; places and lengths in quarters. */
interface Heard {
  readonly at: number;
  readonly quarters: number;
  readonly pitches: readonly string[];
  readonly grace: boolean;
  readonly cue: boolean;
  readonly hidden: boolean;
  readonly tiedFromBefore: boolean;
  readonly tiedToNext: boolean;
  readonly voice: string;
}

/** From when to when nothing is played, in quarters from the start of the bar. */
type Silence = readonly [number, number];

/** The bars of one part as MusicXML. */
function cutBars(xml: string, partId: string): readonly string[] {
  const part = new RegExp(`<part id="${partId}">(.*?)</part>`, "s").exec(xml)?.[1];
  if (part === undefined) throw new Error(`no part ${partId}`);
  return [...part.matchAll(/<measure\b[^>]*>(.*?)<\/measure>/gs)].map(([, bar = ""]) => bar);
}

interface Element {
  readonly _class: string;
  readonly divisions?: number;
  readonly duration?: number;
}

/** Reads bars with the other package, following its divisions, backups and chords. */
function readByOthers(bars: readonly string[]) {
  let divisions = 1;
  return bars.map((bar) => {
    const { parts } = parseMeasure(`<measure number="1"><part id="P1">${bar}</part></measure>`);
    const notes: Heard[] = [];
    const rests: Silence[] = [];
    let ticks = 0;
    let oneVoice = true;
    for (const element of (parts["P1"] ?? []) as readonly Element[]) {
      const length = element.duration ?? 0;
      if (element._class === "Attributes") divisions = element.divisions ?? divisions;
      else if (element._class === "Backup" || element._class === "Forward") {
        ticks += element._class === "Backup" ? -length : length;
        oneVoice = false;
      } else if (element._class === "Note") {
        const note = element as unknown as Note;
        if (note.rest) rests.push([ticks / divisions, (ticks + length) / divisions]);
        else if (note.chord) notes.push(withChordNote(notes.pop(), note));
        else notes.push(heardFrom(note, ticks / divisions, length / divisions));
        if (!note.chord && !note.grace) ticks += length;
      }
    }
    return { notes, rests: joined(rests), oneVoice };
  });
}

/** Rests that follow each other as one silence. */
function joined(rests: readonly Silence[]): readonly Silence[] {
  return rests.reduce<readonly Silence[]>((silences, [from, to]) => {
    const last = silences.at(-1);
    return last?.[1] === from
      ? [...silences.slice(0, -1), [last[0], to]]
      : [...silences, [from, to]];
  }, []);
}

/** What our notes leave free of a bar that long. */
function silencesAround(notes: readonly PartNote[], barQuarters: number): readonly Silence[] {
  const sounding = notes.filter(({ grace }) => !grace);
  const ends = [0, ...sounding.map(({ offset, duration }) => offset.add(duration).valueOf())];
  const starts = [...sounding.map(({ offset }) => offset.valueOf()), barQuarters];
  return ends.map((end, k): Silence => [end, starts[k]!]).filter(([from, to]) => to > from);
}

function heardFrom(note: Note, at: number, quarters: number): Heard {
  const { step = "", alter = 0, octave } = note.pitch ?? { octave: NaN };
  const ties = (note.ties ?? []).map(({ type }) => Number(type));
  return {
    at,
    quarters,
    pitches: [`${step.toUpperCase()} ${alter} ${octave}`],
    grace: note.grace !== undefined,
    cue: note.cue !== undefined || Number(note.noteType?.size ?? 0) === CUE_SIZE,
    hidden: note.printObject === false,
    tiedFromBefore: ties.includes(TIE_STOP),
    tiedToNext: ties.includes(TIE_START),
    voice: String(note.voice ?? 1),
  };
}

/** A chord goes on as one note: tied from before only as a whole, tied to the next in any note. */
function withChordNote(first: Heard | undefined, note: Note): Heard {
  if (!first) throw new Error("a chord without a first note");
  const second = heardFrom(note, first.at, first.quarters);
  return {
    ...first,
    pitches: [...first.pitches, ...second.pitches],
    tiedFromBefore: first.tiedFromBefore && second.tiedFromBefore,
    tiedToNext: first.tiedToNext || second.tiedToNext,
  };
}

function readByUs(note: PartNote): Heard {
  return {
    at: note.offset.valueOf(),
    quarters: note.duration.valueOf(),
    pitches: note.pitches.map(({ step, alter, octave }) => `${step} ${alter} ${octave}`),
    grace: note.grace,
    cue: note.cue,
    hidden: note.hidden,
    tiedFromBefore: note.tiedFromBefore,
    tiedToNext: note.tiedToNext,
    voice: note.voice,
  };
}

const inAnyOrder = (notes: readonly Heard[]) =>
  notes.map((each) => ({ ...each, pitches: [...each.pitches].sort() }));

describeCorpus("our reader and an independent one", () => {
  describe.each(corpusScores())("$name", ({ path }) => {
    let xml: string;
    let score: ScoreDocument;
    beforeAll(async () => {
      const { bytes } = await readScoreFile(path);
      xml = bytes.toString("utf8");
      score = openScore(bytes);
    });

    it("agree on every note and rest of every bar of every clarinet part", () => {
      const parts = score.parts.filter(({ name }) => isClarinetName(name));
      expect(parts.length).toBeGreaterThan(0);
      for (const part of parts) {
        const { bars, notes } = score.timeline(part.id);
        const theirs = readByOthers(cutBars(xml, part.id));
        expect(bars).toHaveLength(theirs.length);
        expect(notes.length).toBeGreaterThan(20);
        theirs.forEach((expected, barIndex) => {
          const where = `${part.name}, bar ${bars[barIndex]?.barLabel ?? ""}`;
          const ours = notes.filter((note) => note.barIndex === barIndex);
          expect(inAnyOrder(ours.map(readByUs)), where).toEqual(inAnyOrder(expected.notes));
          if (!expected.oneVoice) return;
          const length = bars[barIndex]!.lengthQuarters.valueOf();
          expect(silencesAround(ours, length), where).toEqual(expected.rests);
        });
      }
    });
  });
});
