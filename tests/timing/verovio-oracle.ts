// @ts-expect-error: the package has no types; what is used of it is declared below.
import { enableLog, LOG_OFF, VerovioToolkit } from "verovio/esm";
// @ts-expect-error: the same.
import createVerovioModule from "verovio/wasm";
import type { PartTimeline } from "../../src/model/score.js";
import type { ScoreDocument } from "../../src/musicxml/document.js";
import { midiNumber } from "../../src/theory/pitch.js";
import { toNumber, ZERO } from "../../src/theory/fraction.js";
import { performedNotes } from "../../src/timing/performed-notes.js";
import { performAsEncoded } from "./times.js";

// Verovio (RISM Digital Center, LGPL) reads MusicXML, unfolds repeats and times every note by
// itself: see "renderToTimemap" in its reference book. It unfolds repeats and endings by default.
// It carries the last tempo back into a repeated section, where we go by the page; no score that is
// compared has a tempo that changes inside a repeat without one at its beginning.

interface TimemapEntry {
  readonly qstamp: number;
  /** Milliseconds, rounded. */
  readonly tstamp: number;
  /** Identifiers of the notes that begin. */
  readonly on?: readonly string[];
}
interface Toolkit {
  loadData(data: string): boolean;
  setOptions(options: Readonly<Record<string, string>>): void;
  renderToTimemap(options: Readonly<Record<string, boolean>>): readonly TimemapEntry[];
}

/** When a note begins, in the order of performance, or when all is over. */
export interface Moment {
  /** The part by its position and the written pitch as a MIDI number; or `END`. */
  readonly what: string;
  /** The printed number of the bar; known of our own moments only. */
  readonly bar?: string;
  readonly quarters: number;
  readonly seconds: number;
}

export const END = "end";
const UNPITCHED = "unpitched";

/** The other reader: what it makes of a document; nothing where it finds no music. */
export type Verovio = (xml: string) => readonly Moment[];

export async function loadVerovio(): Promise<Verovio> {
  const wasm: unknown = await (createVerovioModule as () => Promise<unknown>)();
  const toolkit = new (VerovioToolkit as new (module: unknown) => Toolkit)(wasm);
  (enableLog as (level: unknown, module: unknown) => void)(LOG_OFF, wasm);
  // One endless line: nothing is drawn, and pages would take as long again.
  toolkit.setOptions({ breaks: "none" });
  return (xml) => {
    if (!toolkit.loadData(withNamedNotes(xml))) throw new Error("verovio does not read this");
    const entries = toolkit.renderToTimemap({});
    const onsets = entries.flatMap(({ qstamp, tstamp, on = [] }) =>
      on.flatMap((id) => {
        const what = NAME.exec(id)?.[1];
        return what === undefined ? [] : [{ what, quarters: qstamp, seconds: tstamp / 1000 }];
      }),
    );
    const last = entries.at(-1);
    if (!last) return onsets;
    return [...onsets, { what: END, quarters: last.qstamp, seconds: last.tstamp / 1000 }];
  };
}

/** The names given below; a note of a section that is repeated has something added. */
const NAME = /^muta-(\d+-(?:-?\d+|unpitched))-\d+/;

/** Semitones above C. */
const SEMITONES: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/**
 * Gives every note that is played an identifier with its part and pitch, which verovio keeps. Read with
 * expressions of our own, so that nothing of the reader under test is shared.
 */
function withNamedNotes(xml: string): string {
  let partIndex = -1;
  let count = 0;
  return xml.replace(/<part(?=[\s>]).*?<\/part>/gs, (part) => {
    partIndex++;
    let isPlayed = true;
    return part.replace(
      /<note((?:\s[^>]*)?)>(.*?)<\/note>/gs,
      (all, attributes: string, inside) => {
        const content = String(inside);
        const inChord = /<chord\b/.test(content);
        if (!inChord) {
          isPlayed =
            !/<(?:rest|grace|cue)\b|<type size="cue"/.test(content) &&
            !attributes.includes(`print-object="no"`);
        }
        const pitch = writtenPitch(content);
        // A chord without pitches is one stroke.
        if (!isPlayed || (inChord && pitch === UNPITCHED)) return all;
        const id = `muta-${partIndex}-${pitch}-${count++}`;
        return `<note${attributes.replace(/\sid="[^"]*"/, "")} id="${id}">${content}</note>`;
      },
    );
  });
}

function writtenPitch(note: string): string {
  const textOf = (name: string) => new RegExp(`<${name}>\\s*([^<\\s]+)\\s*<`).exec(note)?.[1];
  const step = SEMITONES[textOf("step") ?? ""];
  if (step === undefined) return UNPITCHED;
  const alter = Number(textOf("alter") ?? 0);
  return String(Math.round(step + alter + 12 * (Number(textOf("octave")) + 1)));
}

/**
 * What we make of a document, by the numbers of the file. Grace notes take no time and are left out.
 * @param reshape what to do to a part before it is timed
 */
export function momentsByUs(
  score: ScoreDocument,
  reshape: (part: PartTimeline) => PartTimeline = (part) => part,
): readonly Moment[] {
  return withOneEnd(
    score.parts.flatMap(({ id }, partIndex) =>
      momentsOfPart(reshape(score.timeline(id)), partIndex),
    ),
  );
}

/** The moments of one part, the end among them. */
export function momentsOfPart(part: PartTimeline, partIndex: number): readonly Moment[] {
  const { performance, map, total } = performAsEncoded(part);
  const secondsAt = (quarters: typeof total) => map.secondsBetween(ZERO, quarters).likely;
  const onsets = performedNotes(part.notes, performance)
    .filter(({ note }) => !note.grace)
    .flatMap(({ note, visit, startQuarters }): Moment[] => {
      const when = {
        bar: part.bars[visit.barIndex]?.barLabel ?? "",
        quarters: toNumber(startQuarters),
        seconds: secondsAt(startQuarters),
      };
      const pitches = note.pitches.map((pitch) => String(Math.round(midiNumber(pitch))));
      const names = pitches.length > 0 ? pitches : [UNPITCHED];
      return names.map((pitch) => ({ what: `${partIndex}-${pitch}`, ...when }));
    });
  return [...onsets, { what: END, quarters: toNumber(total), seconds: secondsAt(total) }];
}

/** All parts end together: the last of their ends. */
function withOneEnd(moments: readonly Moment[]): readonly Moment[] {
  const ends = moments.filter(({ what }) => what === END);
  const last = ends.sort((a, b) => b.quarters - a.quarters).slice(0, 1);
  return [...moments.filter(({ what }) => what !== END), ...last];
}

/** A moment of which the two say different things, or that only one of them knows. */
export interface Disagreement {
  readonly what: string;
  readonly ours: Moment | undefined;
  readonly theirs: Moment | undefined;
}

export const TOLERANCE_SECONDS = 0.01;
/** Places agree as far as numbers of this size can tell. */
const TOLERANCE_QUARTERS = 1e-6;

/** Compares every moment, in both directions: the first E of one with the first E of the other and so on. */
export function disagreements(
  ours: readonly Moment[],
  theirs: readonly Moment[],
  toleranceQuarters = TOLERANCE_QUARTERS,
): readonly Disagreement[] {
  const oursBy = inOrderByName(ours);
  const theirsBy = inOrderByName(theirs);
  return [...new Set([...oursBy.keys(), ...theirsBy.keys()])].flatMap((what) => {
    const mine = oursBy.get(what) ?? [];
    const others = theirsBy.get(what) ?? [];
    const pairs = Array.from({ length: Math.max(mine.length, others.length) }, (_, k) => ({
      what,
      ours: mine[k],
      theirs: others[k],
    }));
    return pairs.filter(
      ({ ours: a, theirs: b }) =>
        !a ||
        !b ||
        Math.abs(a.quarters - b.quarters) > toleranceQuarters ||
        Math.abs(a.seconds - b.seconds) >= TOLERANCE_SECONDS,
    );
  });
}

function inOrderByName(moments: readonly Moment[]): ReadonlyMap<string, readonly Moment[]> {
  const byName = new Map<string, Moment[]>();
  for (const moment of moments) {
    const same = byName.get(moment.what);
    if (same) same.push(moment);
    else byName.set(moment.what, [moment]);
  }
  for (const same of byName.values()) same.sort((a, b) => a.quarters - b.quarters);
  return byName;
}

/**
 * The part with the tempi of some bars as verovio has them: one tempo a bar, the last number in it, from
 * its beginning.
 */
export function withTempiFromBarlines(
  part: PartTimeline,
  barLabels: readonly string[],
): PartTimeline {
  const labelOf = (barIndex: number) => part.bars[barIndex]?.barLabel ?? "";
  const numbers = part.tempoSigns.filter(
    ({ printed, playback }) => printed !== undefined || playback !== undefined,
  );
  const tempoSigns = numbers.flatMap((sign, k) => {
    const { barIndex } = sign.at;
    if (!barLabels.includes(labelOf(barIndex))) return [sign];
    if (numbers[k + 1]?.at.barIndex === barIndex) return [];
    return [{ ...sign, at: { barIndex, offset: ZERO } }];
  });
  return { ...part, tempoSigns };
}

/** The document without its grace notes, for which verovio delays other notes. */
export function withoutGraceNotes(xml: string): string {
  return xml.replace(/<note(?=[\s>])[^>]*>(?:(?!<\/note>).)*?<grace\b.*?<\/note>/gs, "");
}
