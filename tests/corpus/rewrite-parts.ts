import { join } from "node:path";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { PartTimeline } from "../../src/model/score.js";
import { openScore, type ScoreDocument } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import type { BarRange } from "../../src/planning/rewrite.js";
import { CORPUS_ROOT } from "../support/corpus.js";

/**
 * The clarinet parts, what each is written for, and in how many rows of sounding.csv its own notes differ from
 * the table: faults of the table, explained in sounding.test.ts. In beach-op32-2 the rows after its slip are left out.
 */
export const PARTS: readonly (readonly [
  folder: string,
  part: string,
  to: InstrumentId,
  back: InstrumentId,
  faultyRows: number,
])[] = [
  ["beach-op32-2", "B♭ Clarinet 1", "clarinet-a", "clarinet-bflat", 0],
  ["beach-op32-2", "B♭ Clarinet 2", "clarinet-a", "clarinet-bflat", 0],
  ["boulanger-matin", "A Clarinet 1", "clarinet-bflat", "clarinet-a", 6],
  ["boulanger-matin", "A Clarinet 2", "clarinet-bflat", "clarinet-a", 0],
  ["boulanger-matin", "A Bass Clarinet", "bass-clarinet-bflat", "bass-clarinet-a", 4],
  ["brahms-op98-1", "A Clarinet 1", "clarinet-bflat", "clarinet-a", 27],
  ["brahms-op98-1", "A Clarinet 2", "clarinet-bflat", "clarinet-a", 34],
  ["brahms-op98-2", "A Clarinet 1", "clarinet-bflat", "clarinet-a", 0],
  ["brahms-op98-2", "A Clarinet 2", "clarinet-bflat", "clarinet-a", 0],
  ["brahms-op98-3", "B♭ Clarinet 1", "clarinet-a", "clarinet-bflat", 0],
  ["brahms-op98-3", "B♭ Clarinet 2", "clarinet-a", "clarinet-bflat", 0],
  ["brahms-op98-4", "A Clarinet 1", "clarinet-bflat", "clarinet-a", 0],
  ["brahms-op98-4", "A Clarinet 2", "clarinet-bflat", "clarinet-a", 0],
  ["haydn-104-1", "A Clarinet 1", "clarinet-bflat", "clarinet-a", 0],
  ["haydn-104-1", "A Clarinet 2", "clarinet-bflat", "clarinet-a", 0],
];

export interface Opened {
  readonly bytes: Buffer;
  readonly score: ScoreDocument;
  readonly partId: string;
  readonly timeline: PartTimeline;
}

let last: { readonly folder: string; readonly bytes: Buffer } | undefined;

export async function open(folder: string, name: string): Promise<Opened> {
  if (last?.folder !== folder) {
    const { bytes } = await readScoreFile(join(CORPUS_ROOT, "corpus", folder, "score.mxl"));
    last = { folder, bytes };
  }
  const { bytes } = last;
  const score = openScore(bytes);
  const partId = score.parts.find((part) => part.name === name)?.id ?? "";
  return { bytes, score, partId, timeline: score.timeline(partId) };
}

/** The whole part, and the middle third of its bars. */
export function ranges({ bars }: PartTimeline): readonly BarRange[] {
  const label = (k: number) => bars[k]?.barLabel ?? "";
  const third = Math.floor(bars.length / 3);
  return [
    { from: label(0), to: label(bars.length - 1) },
    { from: label(third), to: label(2 * third) },
  ];
}
