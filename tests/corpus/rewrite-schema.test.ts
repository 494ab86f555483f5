import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import { openScore, type ScoreDocument } from "../../src/musicxml/document.js";
import { rewriteBars } from "../../src/planning/rewrite.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";
import { partAlone } from "../support/part-alone.js";
import { errorsAdded, schemaErrorsAdded, schemaErrorsOfAll } from "../support/schema.js";
import { open, PARTS, ranges } from "./rewrite-parts.js";

/** What is not as it should be behind an element out of place, in the same parent, libxml2 does not see. */
const OUT_OF_PLACE = "This element is not expected";

describeCorpus("what is written of the clarinets of the corpus, by the schema", () => {
  it.each(PARTS)("%s, %s for %s", async (folder, name, to) => {
    const { bytes, score, partId, timeline } = await open(folder, name);
    const written = ranges(timeline).map((range) => {
      const request = { partId, ranges: [range], instrument: to };
      return partAlone(rewriteBars(bytes, score, request).bytes, partId);
    });
    const source = partAlone(bytes, partId);
    expect(written.filter((xml) => xml !== source)).toHaveLength(2);
    const [own = [], ...errors] = await schemaErrorsOfAll([source, ...written]);
    // Attributes and values of 4.0 only, which hide nothing.
    expect(own.filter((error) => error.includes(OUT_OF_PLACE))).toEqual([]);
    for (const each of errors) expect(errorsAdded(own, each)).toEqual([]);
  });

  it("has nothing more against a whole score", async () => {
    const [folder, name, to] = PARTS.find(([, each]) => each === "A Bass Clarinet")!;
    const { bytes, score, partId, timeline } = await open(folder, name);
    const request = { partId, ranges: ranges(timeline).slice(0, 1), instrument: to };
    const written = rewriteBars(bytes, score, request).bytes;
    expect(written.equals(bytes)).toBe(false);
    expect(await schemaErrorsAdded(bytes.toString(), written.toString())).toEqual([]);
  });
});

// musicxml-testsuite: the unofficial MusicXML test suite (Reinhold Kainhofer).
// w3c-examples: the examples of the W3C MusicXML 4.0 reference.
const FILES = ["musicxml-testsuite", "w3c-examples"].flatMap((folder) => {
  const path = join(CORPUS_ROOT, folder);
  return (existsSync(path) ? readdirSync(path) : [])
    .map((name) => ({ name, xml: asClarinets(readFileSync(join(path, name), "utf8")) }))
    .filter(({ xml }) => /<score-(?:part|time)wise/.test(xml) && /<part[\s>]/.test(xml));
});

/** Hardly one of their parts is for a clarinet: all are called one, which leaves the music as it is. */
function asClarinets(xml: string): string {
  return xml.replace(
    /<part-name\b[^>]*?(?:\/>|>[^<]*<\/part-name>)/g,
    "<part-name>Clarinet in C</part-name>",
  );
}

/** All bars, and bars in the middle, after which the way back is printed. */
const WRITINGS: readonly (readonly [range: 0 | 1, instrument: InstrumentId])[] = [
  [0, "clarinet-bflat"],
  [1, "clarinet-a"],
  [1, "bass-clarinet-bflat"],
];

/** The documents that can be made of the parts of one; none of a part that the program refuses. */
function writings(bytes: Buffer, score: ScoreDocument): readonly string[] {
  return score.parts.flatMap(({ id }) => {
    try {
      const both = ranges(score.timeline(id));
      return WRITINGS.map(([range, instrument]) => {
        const request = { partId: id, ranges: [both[range]!], instrument };
        return rewriteBars(bytes, score, request).bytes;
      }).flatMap((result) => (result.equals(bytes) ? [] : [result.toString()]));
    } catch (error) {
      if (error instanceof InputError) return [];
      throw error;
    }
  });
}

/** Files of which nothing is written: keys of another kind than fifths, a score that says so, a display name. */
const NOT_WRITTEN = [
  "13c-KeySignatures-NonTraditional.xml",
  "13d-KeySignatures-Microtones.xml",
  "concert-score-and-for-part-elements.musicxml",
  "assess-and-player-elements.musicxml",
];

/** Files with an element that 3.0 does not have, or not in that place: the rest of its parent is not judged. */
const HIDING = [
  "00g-Basics-Keys.xml",
  "00h-Basics-TimeSignatures.xml",
  "02c-MultipleNotationChildren-RFK.xml",
  "08a-Partorder-Rosegarden.xml",
  "assess-and-player-elements.musicxml",
  "concert-score-and-for-part-elements.musicxml",
  "instrument-change-element.musicxml",
  "tutorial-percussion.musicxml",
];

describeCorpus("what is written of the test suite and the examples of the standard", () => {
  it("has no schema error that its source does not have", async () => {
    const suites = FILES.map(({ name, xml }) => {
      const bytes = Buffer.from(xml);
      return { name, xml, written: writings(bytes, openScore(bytes)) };
    });
    const none = suites.filter(({ written }) => written.length === 0);
    expect(none.map(({ name }) => name).sort()).toEqual([...NOT_WRITTEN].sort());
    const errors = await schemaErrorsOfAll(suites.flatMap(({ xml, written }) => [xml, ...written]));
    let at = 0;
    const judged = suites.map(({ name, written }) => {
      const [own = [], ...after] = errors.slice(at, (at += 1 + written.length));
      return { name, own, added: after.flatMap((each) => errorsAdded(own, each)) };
    });
    expect(judged.filter(({ added }) => added.length > 0)).toEqual([]);
    const hiding = judged.filter(({ own }) => own.some((error) => error.includes(OUT_OF_PLACE)));
    expect(hiding.map(({ name }) => name).sort()).toEqual([...HIDING].sort());
    const valid = judged.filter(({ own }) => own.length === 0);
    expect(valid.length).toBeGreaterThan(150);
  });
});
