import { InputError } from "../model/input-error.js";
import type { OtherPart } from "../model/other-part.js";
import type { PartInfo, PartTimeline, ScoreTitles, Transposition } from "../model/score.js";
import { readTransposition } from "./bar-content.js";
import { descendants, parseContent } from "./elements.js";
import { readHeader } from "./header.js";
import type { BarSlice } from "./bar-slices.js";
import type { DocumentIndex, PartSlices } from "./document-index.js";
import { openOtherPart } from "./other-part.js";
import { scanDocument } from "./scan.js";
import { readTimeline } from "./timeline.js";

/** A part as listed, before its bars are read. */
export interface ListedPart extends PartInfo {
  readonly barCount: number;
}

/** An open document: what is in it, and how to read a part of it. */
export interface ScoreDocument extends ScoreTitles {
  readonly layout: "partwise" | "timewise";
  /** The MusicXML version the file claims, such as `4.0`. */
  readonly version: string;
  readonly parts: readonly ListedPart[];
  /**
   * Reads one part, with the tempi and repeats of all.
   * @throws InputError naming the part and bar
   */
  readonly timeline: (partId: string) => PartTimeline;
  /** All parts but one, as its player hears them; a bar of theirs is read when it is asked for. */
  readonly otherParts: (partId: string) => readonly OtherPart[];
  /** The transpositions a part prints and the bars they stand in, without reading its notes. */
  readonly transpositions: (partId: string) => readonly PrintedTransposition[];
  /** The printed number of a part's first bar. */
  readonly firstBarLabel: (partId: string) => string;
  /** Where the bars of a part stand in the bytes, for whoever writes some of them anew. */
  readonly barSlices: (partId: string) => readonly BarSlice[];
}

/** A transposition and the bar that prints it. */
export interface PrintedTransposition {
  readonly barIndex: number;
  readonly barLabel: string;
  readonly value: Transposition;
}

/**
 * Opens a MusicXML document (partwise or timewise, 1.0 to 4.0) without reading its notes.
 * @param bytes the document as UTF-8, as from `readScoreFile`
 * @throws InputError when it is no well-formed MusicXML score
 */
export function openScore(bytes: Buffer): ScoreDocument {
  const index = scanDocument(bytes);
  const header = readHeader(bytes.toString("utf8", index.header.start, index.header.end));
  const parts = index.parts.map((slices, k) => listedPart(slices, k, header.parts));
  const named: DocumentIndex = {
    ...index,
    parts: index.parts.map((slices, k) => ({ ...slices, id: parts[k]?.id ?? "" })),
  };
  const slicesOf = (partId: string): PartSlices => {
    const slices = named.parts.find(({ id }) => id === partId);
    if (!slices) throw new InputError("no-matching-part", `there is no part "${partId}"`);
    return slices;
  };
  // One for all who ask, so that a bar is read once.
  const opened = new Map<PartSlices, OtherPart>();
  const heard = (slices: PartSlices, k: number): OtherPart => {
    const part = parts[k];
    if (!part) throw new Error(`part ${slices.id} is not listed`);
    const other = opened.get(slices) ?? openOtherPart(bytes, slices, part, header.concertScore);
    opened.set(slices, other);
    return other;
  };
  return {
    title: header.title,
    movement: header.movement,
    layout: index.layout,
    version: index.version,
    parts,
    timeline: (partId) => {
      const part = parts[named.parts.indexOf(slicesOf(partId))];
      if (!part) throw new Error(`part ${partId} is not listed`);
      return readTimeline(bytes, named, part, header.concertScore);
    },
    otherParts: (partId) => {
      const own = slicesOf(partId);
      return named.parts.flatMap((slices, k) => (slices === own ? [] : [heard(slices, k)]));
    },
    transpositions: (partId) => printedTranspositions(bytes, slicesOf(partId)),
    barSlices: (partId) => slicesOf(partId).bars.toArray(),
    firstBarLabel: (partId) => slicesOf(partId).bars.label(0),
  };
}

function printedTranspositions(bytes: Buffer, slices: PartSlices): readonly PrintedTransposition[] {
  return slices.transposeBars.flatMap((barIndex) => {
    const slice = slices.bars.bar(barIndex);
    if (!slice) return [];
    const { label, start, end } = slice;
    return parseContent(bytes.toString("utf8", start, end), { part: slices.id, bar: label })
      .filter(({ name }) => name === "attributes")
      .flatMap((attributes) => descendants(attributes, "transpose"))
      .flatMap((element) => {
        const value = readTransposition(element);
        return value ? [{ barIndex, barLabel: label, value }] : [];
      });
  });
}

/** A part's entry in the part list; by position where the id is missing or not listed. */
function listedPart(slices: PartSlices, position: number, listed: readonly PartInfo[]): ListedPart {
  const info = listed.find((each) => each.id === slices.id && each.id !== "") ?? listed[position];
  const id = slices.id || (info?.id ?? "") || `part ${position + 1}`;
  return {
    id,
    name: info?.name ?? "",
    abbreviation: info?.abbreviation ?? "",
    scoreInstruments: info?.scoreInstruments ?? [],
    ...(info?.headings && { headings: info.headings }),
    barCount: slices.bars.length,
  };
}
