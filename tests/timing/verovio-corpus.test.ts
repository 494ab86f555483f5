import { beforeAll, expect, it } from "vitest";
import { isClarinetName } from "../../src/instruments/names.js";
import { openScore } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { BARS_OF_ONE_TEMPO, DIFFERENT_BARS } from "./verovio-differences.js";
import {
  disagreements,
  END,
  loadVerovio,
  momentsByUs,
  momentsOfPart,
  withTempiFromBarlines,
  type Verovio,
} from "./verovio-oracle.js";

// Scores: OpenScore Orchestra corpus (CC0). Verovio takes about ten seconds for each.

const SLOW = { timeout: 120_000 };

let verovio: Verovio;
beforeAll(async () => {
  verovio = await loadVerovio();
});

describeCorpus("whole scores: every note of every part, and the end", () => {
  const scores = corpusScores();

  it("finds those with differences", () => {
    const names = scores.map(({ name }) => name);
    expect(names).toEqual(expect.arrayContaining(Object.keys(BARS_OF_ONE_TEMPO)));
    expect(names).toEqual(expect.arrayContaining(Object.keys(DIFFERENT_BARS)));
  });

  it.each(scores)("$name", SLOW, async ({ name, path }) => {
    const { bytes } = await readScoreFile(path);
    const xml = bytes.toString("utf8");
    const theirs = verovio(xml);
    const score = openScore(bytes);
    const oneTempo = BARS_OF_ONE_TEMPO[name] ?? [];
    const ours = momentsByUs(score, (part) => withTempiFromBarlines(part, oneTempo));

    const clarinets = score.parts.flatMap((part, k) => (isClarinetName(part.name) ? [k] : []));
    expect(clarinets.length).toBeGreaterThan(0);
    for (const k of clarinets) {
      const isHere = ({ what }: { readonly what: string }) =>
        what === END || what.startsWith(`${k}-`);
      const theirsHere = theirs.filter(isHere);
      expect(theirsHere.length).toBeGreaterThan(150);
      expect(disagreements(ours.filter(isHere), theirsHere)).toEqual([]);
      // Each bar that changes its tempo after the first beat is needed.
      const timeline = score.timeline(score.parts[k]?.id ?? "");
      for (const bar of oneTempo) {
        const others = oneTempo.filter((each) => each !== bar);
        const without = momentsOfPart(withTempiFromBarlines(timeline, others), k);
        expect(disagreements(without, theirsHere), bar).not.toEqual([]);
      }
    }

    // The other parts agree as well, but for the bars that are named.
    const named = DIFFERENT_BARS[name] ?? [];
    const different = disagreements(ours, theirs).map(({ what, ours: moment }) => {
      const part = score.parts[Number.parseInt(what)]?.name ?? what;
      return `${part}, bar ${moment?.bar ?? "?"}`;
    });
    expect([...new Set(different)].sort()).toEqual(
      named.map(({ part, bar }) => `${part}, bar ${bar}`).sort(),
    );
    for (const { part, bar, sign } of named) {
      const id = score.parts.find((each) => each.name === part)?.id ?? "";
      expect(barText(xml, id, bar), `${part}, bar ${bar}`).toMatch(sign);
    }
  });
});

function barText(xml: string, partId: string, bar: string): string {
  const part = new RegExp(`<part id="${partId}">.*?</part>`, "s").exec(xml)?.[0] ?? "";
  return new RegExp(`<measure number="${bar}"[^>]*>.*?</measure>`, "s").exec(part)?.[0] ?? "";
}
