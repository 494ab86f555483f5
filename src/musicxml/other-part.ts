import { InputError } from "../model/input-error.js";
import type { Notice } from "../model/finding.js";
import type { HeardNote, OtherPart, WordsInBar } from "../model/other-part.js";
import type { Dynamic, FromHere, PartInfo, PartNote, Transposition } from "../model/score.js";
import { soundingPitch } from "../theory/pitch.js";
import { readTransposition, type BarContent } from "./bar-content.js";
import type { PartSlices } from "./document-index.js";
import { readNotedLevel, readDirectionLevel } from "./dynamics.js";
import { children, type XmlElement } from "./elements.js";
import { fillMeasureRepeat, type MeasureRepeatState } from "./measure-repeat.js";
import { readOtherBar } from "./other-bars.js";
import { printedOffset, printedWords, staffOf } from "./page-signs.js";
import { comparePositions } from "./placing.js";

/** What is read of a bar. */
interface OtherBar {
  readonly notes: readonly HeardNote[];
  readonly dynamics: readonly FromHere<Dynamic>[];
  readonly words: readonly WordsInBar[];
}

const NOTHING: OtherBar = { notes: [], dynamics: [], words: [] };
const NOTE_TAGS = ["<pitch", "<unpitched"];
const DYNAMICS_TAG = "<dynamics";
const MEASURE_REPEAT_TAG = "<measure-repeat";

/**
 * A part of the document as the others hear it.
 * @param concertScore whether the document is notated at sounding pitch
 */
export function openOtherPart(
  bytes: Buffer,
  slices: PartSlices,
  part: PartInfo,
  concertScore: boolean,
): OtherPart {
  const read = new Map<number, OtherBar>();
  const unreadable = new Set<number>();
  const has = (barIndex: number, tag: string) => {
    const slice = slices.bars.bar(barIndex);
    return slice !== undefined && bytes.subarray(slice.start, slice.end).includes(tag);
  };
  const barsWith = (tag: string) =>
    Array.from({ length: slices.bars.length }, (_, k) => k).filter((k) => has(k, tag));
  const content = once(() => contentReader(bytes, slices, barsWith(MEASURE_REPEAT_TAG).length > 0));
  const transpositions = once(() =>
    concertScore
      ? []
      : slices.transposeBars.flatMap((k) => {
          const found = attempt(() => content()(k));
          return found ? transpositionsIn(found, k) : [];
        }),
  );
  const levelBars = once(() => barsWith(DYNAMICS_TAG));
  const attempt = (work: () => BarContent): BarContent | undefined => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      return undefined;
    }
  };
  const bar = (barIndex: number): OtherBar => {
    if (barIndex >= slices.bars.length || barIndex < 0) return NOTHING;
    const known = read.get(barIndex);
    if (known) return known;
    const found = attempt(() => content()(barIndex));
    if (!found) unreadable.add(barIndex);
    const made = found ? readBar(found, barIndex, transpositions()) : NOTHING;
    read.set(barIndex, made);
    return made;
  };
  return {
    part,
    barCount: slices.bars.length,
    barLabel: (barIndex) => slices.bars.label(barIndex),
    notes: (barIndex) => bar(barIndex).notes,
    isSilent: (barIndex) =>
      (content().plain && !NOTE_TAGS.some((tag) => has(barIndex, tag))) ||
      bar(barIndex).notes.length === 0,
    dynamics: (barIndex) => bar(barIndex).dynamics,
    words: (barIndex) => bar(barIndex).words,
    dynamicAt: (at) => {
      const bars = levelBars();
      for (let k = bars.length - 1; k >= 0; k--) {
        const barIndex = bars[k] ?? 0;
        if (barIndex > at.barIndex) continue;
        const level = bar(barIndex).dynamics.findLast((each) => comparePositions(each.at, at) <= 0);
        if (level) return level.value;
      }
      return undefined;
    },
    unreadableBars: () => [...unreadable].sort((a, b) => a - b),
  };
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
}

/** Reads one bar at a time; where bars stand for those before them, all up to the one wanted. */
function contentReader(bytes: Buffer, slices: PartSlices, hasMeasureRepeats: boolean) {
  const single = (barIndex: number) => readOtherBar(bytes, slices, barIndex, refuseOddNumbers);
  if (!hasMeasureRepeats) return Object.assign(single, { plain: true });
  const state: MeasureRepeatState = { bars: 0 };
  const contents: BarContent[] = [];
  const upTo = (barIndex: number): BarContent => {
    while (contents.length < barIndex) contents.push(fill(contents.length));
    return (contents[barIndex] ??= fill(barIndex));
  };
  const fill = (k: number) => fillMeasureRepeat(single(k), k, state, contents, () => undefined);
  return Object.assign(upTo, { plain: false });
}

/** A wrong length or pitch would make wrong facts of all that sounds with it. */
function refuseOddNumbers(notice: Notice): void {
  if (notice.kind !== "odd-number") return;
  throw new InputError("not-well-formed", `${notice.element} "${notice.text}" is no number`);
}

function transpositionsIn(
  { signs }: BarContent,
  barIndex: number,
): readonly FromHere<Transposition>[] {
  return signs
    .filter(({ value }) => value.name === "attributes")
    .flatMap(({ offset, value }) =>
      children(value, "transpose").flatMap((element): readonly FromHere<Transposition>[] => {
        const by = readTransposition(element);
        return by ? [{ at: { barIndex, offset }, value: by, ...staffOf(element) }] : [];
      }),
    );
}

function readBar(
  content: BarContent,
  barIndex: number,
  transpositions: readonly FromHere<Transposition>[],
): OtherBar {
  return {
    notes: content.notes
      .filter(({ cue, hidden }) => !cue && !hidden)
      .map((note) => heard(note, transpositions)),
    dynamics: content.signs.flatMap(({ offset, value }): readonly FromHere<Dynamic>[] => {
      const level = levelOf(value);
      const at = value.name === "direction" ? offset.add(printedOffset(value, content)) : offset;
      return level ? [{ at: { barIndex, offset: at }, value: level }] : [];
    }),
    words: content.signs.flatMap(({ offset, value }): readonly WordsInBar[] => {
      const text = value.name === "direction" ? printedWords(value) : "";
      return text === "" ? [] : [{ offset, text }];
    }),
  };
}

function levelOf(sign: XmlElement): Dynamic | undefined {
  if (sign.name === "dynamics") return readNotedLevel(sign);
  return sign.name === "direction" ? readDirectionLevel(sign) : undefined;
}

function heard(note: PartNote, transpositions: readonly FromHere<Transposition>[]): HeardNote {
  const { barIndex, offset, duration, voice, staff, grace, tiedFromBefore, tiedToNext } = note;
  const by = transpositions.findLast(
    (each) =>
      comparePositions(each.at, note) <= 0 && (each.staff === undefined || each.staff === staff),
  );
  return {
    ...{ barIndex, offset, duration, voice, staff, grace, tiedFromBefore, tiedToNext },
    pitches: by ? note.pitches.map((pitch) => soundingPitch(pitch, by.value)) : note.pitches,
  };
}
