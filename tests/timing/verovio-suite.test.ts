import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, it } from "vitest";
import { openScore } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";
import { DIFFERENT_FILES, type Explanation } from "./verovio-differences.js";
import {
  disagreements,
  END,
  loadVerovio,
  momentsByUs,
  withTempiFromBarlines,
  type Moment,
  type Verovio,
} from "./verovio-oracle.js";

// musicxml-testsuite: the unofficial MusicXML test suite (Reinhold Kainhofer).
// w3c-examples: the examples of the W3C MusicXML 4.0 reference.

let verovio: Verovio;
beforeAll(async () => {
  verovio = await loadVerovio();
});

async function readText(path: string): Promise<string> {
  const { bytes } = await readScoreFile(path);
  return bytes.toString("utf8");
}

function momentsOf(xml: string, barsOfOneTempo: readonly string[] = []): readonly Moment[] {
  return momentsByUs(openScore(Buffer.from(xml)), (part) =>
    withTempiFromBarlines(part, barsOfOneTempo),
  );
}

/** Whole scores; the examples that show one element only are not to be read. */
const FILES = ["musicxml-testsuite", "w3c-examples"].flatMap((folder) => {
  const path = join(CORPUS_ROOT, folder);
  return (existsSync(path) ? readdirSync(path) : [])
    .map((name) => ({ name, path: join(path, name) }))
    .filter(({ path: file }) => {
      const text = readFileSync(file, "latin1");
      return /<score-(?:part|time)wise/.test(text) && /<part[\s>]/.test(text);
    });
});

describeCorpus("every file of the reference and of the test suite", () => {
  it("is at hand", () => {
    expect(FILES.length).toBeGreaterThan(180);
    const names = FILES.map(({ name }) => name);
    expect(names).toEqual(expect.arrayContaining(Object.keys(DIFFERENT_FILES)));
  });

  const alike = FILES.filter(({ name }) => !Object.hasOwn(DIFFERENT_FILES, name));
  it.each(alike)("agrees: $name", async ({ path }) => {
    const xml = await readText(path);
    const ours = momentsOf(xml);
    expect(ours.length).toBeGreaterThan(0);
    expect(disagreements(ours, verovio(xml))).toEqual([]);
  });

  const different = FILES.flatMap(({ name, path }) => {
    const explanation = DIFFERENT_FILES[name];
    return explanation ? [{ name, path, cause: explanation.cause, explanation }] : [];
  });
  it.each(different)("differs: $name: $cause", async ({ path, explanation }) => {
    const xml = await readText(path);
    const ours = momentsOf(xml);
    const theirs = verovio(xml);
    expect(disagreements(ours, theirs)).not.toEqual([]);
    expectExplained(explanation, xml, ours, theirs);
  });
});

function expectExplained(
  explanation: Explanation,
  xml: string,
  ours: readonly Moment[],
  theirs: readonly Moment[],
): void {
  if ("nothingPlayed" in explanation) {
    expect(ours.map(({ what }) => what)).toEqual([END]);
    expect(theirs).toEqual([]);
    return;
  }
  if ("withinQuarters" in explanation) {
    expect(disagreements(ours, theirs, explanation.withinQuarters)).toEqual([]);
    return;
  }
  const copy = explanation.copy(xml);
  expect(copy).not.toBe(xml);
  expect(disagreements(ours, momentsOf(copy))).toEqual([]);
  const theirsOfCopy = verovio(copy);
  const left = disagreements(ours, theirsOfCopy);
  if ("untilQuarters" in explanation) {
    const places = left.map((each) =>
      Math.min(each.ours?.quarters ?? Infinity, each.theirs?.quarters ?? Infinity),
    );
    expect(Math.min(...places)).toBe(explanation.untilQuarters);
  } else if ("barsOfOneTempo" in explanation) {
    expect(left).not.toEqual([]);
    expect(disagreements(momentsOf(copy, explanation.barsOfOneTempo), theirsOfCopy)).toEqual([]);
  } else expect(left).toEqual([]);
}
