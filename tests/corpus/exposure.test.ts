import { expect, it } from "vitest";
import type { Exposure } from "../../src/model/exposure.js";
import { describeCorpus } from "../support/corpus.js";
import {
  doubledNotesOf,
  hasVoices,
  reportedEntries,
  sharesOf,
  viewOf,
  wholeTable,
  type ReportedEntry,
} from "./exposure-table.js";

/** In beach-op32-2 the table counts two quarters too many from bar 168 on (see sounding.test.ts). */
const BEACH_SHIFT = { fromQuarters: 442, byQuarters: 2 };

/** Every clarinet part of the corpus, with its entries after a rest of a bar or more. */
const PARTS: readonly (readonly [folder: string, part: string, entries: number])[] = [
  ["beach-op32-2", "B♭ Clarinet 1", 28],
  ["beach-op32-2", "B♭ Clarinet 2", 22],
  ["boulanger-matin", "A Clarinet 1", 21],
  ["boulanger-matin", "A Clarinet 2", 15],
  ["boulanger-matin", "A Bass Clarinet", 13],
  ["brahms-op98-1", "A Clarinet 1", 43],
  ["brahms-op98-1", "A Clarinet 2", 43],
  ["brahms-op98-2", "A Clarinet 1", 13],
  ["brahms-op98-2", "A Clarinet 2", 15],
  ["brahms-op98-3", "B♭ Clarinet 1", 29],
  ["brahms-op98-3", "B♭ Clarinet 2", 27],
  ["brahms-op98-4", "A Clarinet 1", 26],
  ["brahms-op98-4", "A Clarinet 2", 25],
  ["haydn-104-1", "A Clarinet 1", 34],
  ["haydn-104-1", "A Clarinet 2", 32],
];

// Source of the tables: OpenScore Orchestra corpus (MarkGotham/Hauptstimme, 2025-26), derived by other software.
describeCorpus("exposure against sounding.csv of the corpus", () => {
  it.each(PARTS)(
    "%s, %s: who sounds and who doubles in %i entries",
    async (folder, name, count) => {
      const table = wholeTable(folder, folder === "beach-op32-2" ? BEACH_SHIFT : undefined);
      const { entries } = await reportedEntries(folder, name);
      let [cells, faultyCells, doublings] = [0, 0, 0];
      for (const entry of entries) {
        const view = viewOf(table, entry);
        cells += view.cells;
        faultyCells += view.faultyCells;
        expect(view.withoutRow).toEqual([]);
        expect(view.unexplained).toEqual([]);
        const { exposure } = entry;
        const has = ({ partId }: { readonly partId: string }) => view.parts.has(partId);
        const left = entry.heard.lines.filter(({ part }) => !view.parts.has(part.part.id));
        // The count at the entry, less parts without a column of their own.
        const leftSounding = left.filter(({ spans }) =>
          spans.some(({ start, end }) => start <= entry.heard.from && end > entry.heard.from),
        ).length;
        const atEntry = [...view.parts.values()].filter(([first]) => first?.now !== null).length;
        expect(exposure.atEntry - leftSounding).toBe(atEntry);
        // Who plays along, and for how much of the time.
        const shares = [...sharesOf(view, entry)].filter(([, share]) => share >= 0.25);
        const reported = exposure.playing.filter(has);
        expect(reported.map(({ partId }) => partId)).toEqual(shares.map(([id]) => id));
        reported.forEach(({ share }, k) => {
          expect(share).toBeCloseTo(shares[k]?.[1] ?? NaN, 9);
        });
        doublings += checkDoublings(entry, view);
      }
      expect(entries).toHaveLength(count);
      expect(cells).toBeGreaterThan(1000);
      // Were the tables' faults many, something else would be wrong.
      expect(faultyCells / cells).toBeLessThan(0.08);
      expect(doublings).toBeGreaterThan(0);
    },
  );
});

/**
 * Five entries of different kinds, by their report and the marks in the files; no outside judgement of them.
 * Bars 101 and 170 of the first are marked Solo for the clarinet, over horn and strings; bar 6 is a choir of
 * soft winds; bar 78 is the loud tutti with all but one part playing; at bar 205 the brass have ff.
 */
const JUDGED: readonly (readonly [string, string, string, Exposure["kind"], string])[] = [
  ["beach-op32-2", "B♭ Clarinet 1", "6", "small-group", "unknown"],
  ["beach-op32-2", "B♭ Clarinet 1", "101", "small-group", "leading"],
  ["beach-op32-2", "B♭ Clarinet 1", "170", "small-group", "leading"],
  ["brahms-op98-1", "A Clarinet 1", "78", "covered", "unknown"],
  ["boulanger-matin", "A Clarinet 1", "205", "covered", "unknown"],
];

describeCorpus("exposure of single entries", () => {
  it.each(JUDGED)("%s, %s, bar %s: %s, %s", async (folder, name, bar, kind, role) => {
    const { entries } = await reportedEntries(folder, name);
    const entry = entries.find((each) => each.bar === bar);
    expect(entry?.exposure).toMatchObject({ kind, role: { value: role } });
  });
});

/** Compares the doublings of an entry; gives how many there are. */
function checkDoublings(entry: ReportedEntry, view: Parameters<typeof doubledNotesOf>[0]): number {
  const { exposure, heard } = entry;
  const { noteCount, bounds } = doubledNotesOf(view, entry);
  expect(exposure.noteCount).toBe(noteCount);
  const reported = exposure.doubledBy.filter(({ partId }) => bounds.has(partId));
  for (const { partId, share } of reported) {
    const { least, most } = bounds.get(partId) ?? { least: NaN, most: NaN };
    const notes = Math.round(share * noteCount);
    expect(notes).toBeGreaterThanOrEqual(least);
    // Of double stops the table has the highest note only.
    const line = heard.lines.find(({ part }) => part.part.id === partId);
    const stops = line?.spans.some(({ pitches }) => pitches.length > 1) ?? false;
    const voices = line !== undefined && hasVoices(line.spans);
    if (!stops && !voices) expect(notes).toBeLessThanOrEqual(most);
  }
  // Nobody else has half of the notes or more.
  const ids = new Set(reported.map(({ partId }: Exposure["doubledBy"][number]) => partId));
  for (const [id, { least }] of bounds) {
    if (!ids.has(id)) expect(least / noteCount).toBeLessThan(0.5);
  }
  return reported.length;
}
