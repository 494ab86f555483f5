import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { analyseCount } from "../../src/analyses/count-report.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { CountedRest } from "../../src/model/count.js";
import { toNumber } from "../../src/theory/fraction.js";
import { sumsOf } from "../analyses/counting-cases.js";
import { CORPUS_ROOT, corpusScores, describeCorpus } from "../support/corpus.js";
import { clarinetParts, soundingRows } from "./sounding-table.js";

/** The tables give positions to four decimals. */
const TOLERANCE_QUARTERS = 0.001;

/** In beach-op32-2 the table counts two quarters too many from bar 168 on (see sounding.test.ts). */
const SHIFTED = { folder: "beach-op32-2", fromQuarters: 442, byQuarters: 2 };

/** Rows that give the second player notes of a bar marked "1." (see sounding.test.ts); that at its beginning is not asked. */
const WRONG_PLAYER = { folder: "brahms-op98-1", name: "A Clarinet 2", bar: "166", rows: 7 };

/** A row inside a note whose beginning rounds down shows a rest (`lostNotes` there): 814.3333 < 814 1/3. */
const LOST_NOTE = { folder: "brahms-op98-1", name: "A Clarinet 2", quarters: 814.5 };

const sources = corpusScores().map(({ name }) => name);

async function countedParts(folder: string) {
  const { score, parts } = await clarinetParts(folder);
  const source = { file: folder, title: "", movement: "" };
  return parts.map((part) => ({
    name: part.name,
    rests: analyseCount(score.timeline(part.id), USUAL_PROFILE, source, { fromBars: 0 }).rests,
  }));
}

/** Where the count begins and where it ends: the groups summed up from the end of the last note. */
function spanOf({ groups }: CountedRest) {
  const from = toNumber(groups[0]!.from.quarters);
  return { from, to: from + toNumber(sumsOf({ groups }).quarters!) };
}

// Source of the tables: OpenScore Orchestra corpus (MarkGotham/Hauptstimme, 2025-26), derived by other software.
describeCorpus("counting the rests of the corpus", () => {
  it.each(sources)("%s: the groups add up to the rest", async (folder) => {
    for (const { rests } of await countedParts(folder)) {
      expect(rests.length).toBeGreaterThan(10);
      for (const { rest, groups } of rests) {
        const sums = sumsOf({ groups });
        expect(sums.quarters?.equals(rest.quarters)).toBe(true);
        expect(sums.bars).toBeCloseTo(rest.bars, 9);
        expect(sums.beats).toBeCloseTo(rest.beats, 9);
        expect(sums.counted).toBe(rest.counted.bars);
        expect(sums.partBeats).toBeCloseTo(rest.counted.beats, 9);
      }
    }
  });

  it.each(sources)("%s: who counts them is silent to the end, and then sounds", async (folder) => {
    for (const { name, rests } of await countedParts(folder)) {
      const rows = soundingRows(folder, name).map((row) => ({
        ...row,
        quarters:
          folder === SHIFTED.folder && row.quarters >= SHIFTED.fromQuarters
            ? row.quarters - SHIFTED.byQuarters
            : row.quarters,
      }));
      const sounding: string[] = [];
      const tooLong: number[] = [];
      for (const counted of rests) {
        const { from, to } = spanOf(counted);
        const inside = rows.filter(
          ({ quarters }) =>
            quarters > from + TOLERANCE_QUARTERS && quarters < to - TOLERANCE_QUARTERS,
        );
        sounding.push(...inside.filter(({ pitch }) => pitch !== null).map(({ bar }) => bar));
        // Nor is the rest longer than what is counted.
        const before = rows.findLast(({ quarters }) => quarters < from - TOLERANCE_QUARTERS);
        if (before?.pitch === null) tooLong.push(before.quarters);
        if (!counted.entry) continue;
        const entry = rows.find(({ quarters }) => Math.abs(quarters - to) <= TOLERANCE_QUARTERS);
        expect(entry?.bar).toBe(counted.entry.at.barLabel);
        expect({ name, to, pitch: entry?.pitch }).not.toMatchObject({ pitch: null });
      }
      const { bar, rows: count } = WRONG_PLAYER;
      const isFaulty = folder === WRONG_PLAYER.folder && name === WRONG_PLAYER.name;
      const isLost = folder === LOST_NOTE.folder && name === LOST_NOTE.name;
      expect(tooLong).toEqual(isLost ? [LOST_NOTE.quarters] : []);
      expect(sounding).toEqual(isFaulty ? Array.from({ length: count }, () => bar) : []);
    }
  });

  const withMaps = sources.filter((name) =>
    existsSync(join(CORPUS_ROOT, "corpus", name, "bars.json")),
  );
  it.each(withMaps)("%s: meters and lengths of what is counted", async (folder) => {
    const bars = barsOf(folder);
    for (const { rests } of await countedParts(folder)) {
      for (const { from, lastBar, meter, kind, quarters } of rests.flatMap(
        ({ groups }) => groups,
      )) {
        const inGroup = bars.slice(from.barIndex, lastBar.barIndex + 1);
        expect(new Set(inGroup.map((bar) => bar.meter))).toEqual(new Set([meter.label]));
        const length = inGroup.reduce((sum, bar) => sum + bar.quarters, 0);
        if (kind === "part") expect(toNumber(quarters)).toBeLessThanOrEqual(length);
        else expect(toNumber(quarters)).toBe(length);
      }
    }
  });
});

/** `bars.json` lists a bar where its description is not that of the one before; those between are like it, and full. */
function barsOf(folder: string): readonly { readonly meter: string; readonly quarters: number }[] {
  const listed = JSON.parse(
    readFileSync(join(CORPUS_ROOT, "corpus", folder, "bars.json"), "utf8"),
  ) as readonly {
    readonly count: number;
    readonly time_signature: string;
    readonly nominal_length: number;
    readonly actual_length: number;
  }[];
  return listed.flatMap((entry, k) => {
    const alike = (listed[k + 1]?.count ?? entry.count + 1) - entry.count;
    return Array.from({ length: alike }, (_, bar) => ({
      meter: entry.time_signature,
      quarters: bar === 0 ? entry.actual_length : entry.nominal_length,
    }));
  });
}
