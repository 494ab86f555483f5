import { beforeAll, describe, expect, it } from "vitest";
import { openScore, type ScoreDocument } from "../../src/musicxml/document.js";
import { rewriteBars } from "../../src/planning/rewrite.js";
import { loadVerovioLog, type VerovioLog } from "../support/verovio-log.js";
import { describeCorpus } from "../support/corpus.js";
import { partAlone } from "../support/part-alone.js";
import { attributes, note, scoreXml } from "../support/score-xml.js";
import { outOfOrder } from "../planning/element-order.js";
import { open, PARTS, ranges } from "./rewrite-parts.js";
import { soundingRows, soundsOf, type Sound } from "./sounding-table.js";

/** Where the table of beach-op32-2 begins to count two quarters too many. */
const BEACH_SLIP_QUARTERS = 442;
const TOLERANCE_QUARTERS = 0.001;

function soundsIn(bytes: Buffer, partId: string): readonly Sound[] {
  const score = openScore(bytes);
  return soundsOf(
    score,
    score.parts.find(({ id }) => id === partId)!,
  ).sounds;
}

/** Courtesy signs that were put in: those of the corpus have more attributes. */
function withoutCourtesies(bytes: Buffer): string {
  return bytes.toString().replace(/\s*<accidental cautionary="yes">[a-z-]+<\/accidental>/g, "");
}

describeCorpus("rewriting the clarinet parts of the corpus", () => {
  describe.each(PARTS)("%s, %s for %s", (folder, name, to, back, faultyRows) => {
    it("sounds as sounding.csv says in every row, and lasts as long", async () => {
      const { bytes, score, partId, timeline } = await open(folder, name);
      const own = soundsIn(bytes, partId);
      const rows = soundingRows(folder, name).filter(
        ({ quarters }) => folder !== "beach-op32-2" || quarters < BEACH_SLIP_QUARTERS,
      );
      for (const range of ranges(timeline)) {
        const request = { partId, ranges: [range], instrument: to };
        const sounds = soundsIn(rewriteBars(bytes, score, request).bytes, partId);
        const differing = rows.filter(
          ({ quarters, pitch }) => !pitchesNear(sounds, quarters).includes(pitch),
        );
        expect(differing).toHaveLength(faultyRows);
        expect(sounds).toEqual(own);
      }
    });

    it("is spelled as before once written back, byte for byte but for courtesy signs", async () => {
      const { bytes, score, partId, timeline } = await open(folder, name);
      for (const range of ranges(timeline)) {
        const there = rewriteBars(bytes, score, { partId, ranges: [range], instrument: to }).bytes;
        const again = openScore(there);
        expect(again.timeline(partId).transpositions).not.toEqual(timeline.transpositions);
        const home = rewriteBars(there, again, { partId, ranges: [range], instrument: back }).bytes;
        const pitches = openScore(home)
          .timeline(partId)
          .notes.map((note) => note.pitches);
        expect(pitches).toEqual(timeline.notes.map((note) => note.pitches));
        expect(withoutCourtesies(home) === bytes.toString()).toBe(true);
      }
    });

    it("keeps the other parts and the bars outside, but for the signs and words of the change", async () => {
      const { bytes, score, partId, timeline } = await open(folder, name);
      const [, range] = ranges(timeline);
      const there = rewriteBars(bytes, score, { partId, ranges: [range!], instrument: to }).bytes;
      const again = openScore(there);
      const barsOf = (from: Buffer, document: ScoreDocument, id: string) =>
        document.barSlices(id).map(({ start, end }) => from.toString("utf8", start, end));
      for (const { id } of score.parts) {
        const before = barsOf(bytes, score, id);
        const after = barsOf(there, again, id);
        const changed = before.flatMap((text, k) => (after[k] === text ? [] : [k]));
        if (id !== partId) expect(changed).toEqual([]);
        const third = Math.floor(before.length / 3);
        for (const k of changed) expect(outOfOrder(after[k] ?? "")).toEqual([]);
        for (const k of changed) {
          if (k >= third && k <= 2 * third) continue;
          const plain = after[k]!.replace(
            /\s*<direction placement="above"><direction-type><words>to [^]*?<\/direction>/,
            "",
          )
            .replace(/\s*<attributes><key>[^]*?<\/attributes>/, "")
            .replace(/\s*<(?:key><fifths>[^]*?<\/key|transpose><diatonic>[^]*?<\/transpose)>/g, "");
          expect(plain).toBe(before[k]);
        }
      }
    });
  });

  describe("in another program", () => {
    let logOf: VerovioLog;
    beforeAll(async () => {
      logOf = await loadVerovioLog();
    });

    it("says what it does not understand, so that silence means something", () => {
      const slur = `<notations><slur type="stop" number="1"/></notations>`;
      const bars = [attributes({ meter: "4/4" }) + note("C5", 4, slur)];
      expect(logOf(scoreXml([{ bars }]))).toContain("slur");
    });

    it.each(PARTS)("%s, %s for %s opens without a warning more", async (folder, name, to) => {
      const { bytes, score, partId, timeline } = await open(folder, name);
      const own = logOf(partAlone(bytes, partId));
      expect(own).toBe("");
      for (const range of ranges(timeline)) {
        const request = { partId, ranges: [range], instrument: to };
        const written = rewriteBars(bytes, score, request).bytes;
        expect(logOf(partAlone(written, partId))).toBe(own);
      }
    });
  });
});

function pitchesNear(sounds: readonly Sound[], quarters: number): readonly (number | null)[] {
  return [-TOLERANCE_QUARTERS, 0, TOLERANCE_QUARTERS].map((shift) => {
    const at = quarters + shift;
    const sounding = sounds.filter(({ start, end }) => start <= at && end > at);
    return sounding.length === 0 ? null : Math.max(...sounding.map(({ pitch }) => pitch));
  });
}
