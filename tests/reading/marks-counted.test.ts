import { beforeAll, expect, it } from "vitest";
import { isClarinetName } from "../../src/instruments/names.js";
import type { NoteMarks } from "../../src/model/score.js";
import { openScore, type ScoreDocument } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";

// Scores: OpenScore Orchestra corpus (CC0). Every mark of every clarinet part is counted in the bytes
// with expressions of our own, so that nothing of the reader under test is shared.

type Counts = Record<string, number>;

const ARTICULATIONS =
  /<(staccato|staccatissimo|tenuto|accent|strong-accent|detached-legato|spiccato)\b/g;
const ORNAMENTS = /<(?:delayed-|vertical-)?((?:inverted-)?(?:turn|mordent))\b/g;
const LEVELS = /<(p{1,4}|mp|mf|f{1,4}|fp)\/>/g;

function cutPart(xml: string, partId: string): string {
  const part = new RegExp(`<part id="${partId}">(.*?)</part>`, "s").exec(xml)?.[1];
  if (part === undefined) throw new Error(`no part ${partId}`);
  return part;
}

/** What the notes of a part bear, one entry a chord; rests are left out. */
function marksInBytes(part: string): readonly Counts[] {
  const chords: Counts[] = [];
  for (const [, note = ""] of part.matchAll(/<note\b[^>]*>(.*?)<\/note>/gs)) {
    if (/<rest\b/.test(note)) continue;
    const counts = countsOf(note);
    const first = note.includes("<chord/>") ? chords.at(-1) : undefined;
    if (!first) chords.push(counts);
    else
      for (const key of Object.keys(counts)) first[key] = Math.max(first[key] ?? 0, counts[key]!);
  }
  return chords;
}

function countsOf(note: string): Counts {
  const counts: Counts = {};
  const add = (key: string) => (counts[key] = (counts[key] ?? 0) + 1);
  for (const [tag] of note.matchAll(/<slur\b[^>]*>/g)) {
    if (tag.includes(`type="start"`)) add("slur start");
    if (tag.includes(`type="stop"`)) add("slur stop");
  }
  for (const [, name = ""] of note.matchAll(ARTICULATIONS)) counts[name] = 1;
  if (note.includes("<trill-mark")) add("trill");
  else if (note.includes("<wavy-line")) add("trill goes on");
  const altered = /<trill-mark.*<accidental-mark[^>]*>(\w+)</s.exec(note)?.[1];
  if (altered) add(`trill ${altered}`);
  for (const [, name = ""] of note.matchAll(ORNAMENTS)) add(name);
  const [, kind = "", strokes = ""] = /<tremolo[^>]*type="(\w+)"[^>]*>(\d)</.exec(note) ?? [];
  if (kind) add(`tremolo ${kind} ${strokes}`);
  return counts;
}

function readByUs(marks: NoteMarks = {}): Counts {
  const { slurStarts, slurStops, articulations = [], trill, ornament, tremolo } = marks;
  const names = { "-1": "flat", "0": "natural", "1": "sharp" };
  const altered = trill?.accidental;
  return {
    ...(slurStarts && { "slur start": slurStarts }),
    ...(slurStops && { "slur stop": slurStops }),
    ...Object.fromEntries(articulations.map((name) => [name, 1])),
    ...(trill && { [trill.continues ? "trill goes on" : "trill"]: 1 }),
    ...(altered !== undefined && { [`trill ${names[String(altered) as "0"]}`]: 1 }),
    ...(ornament && { [ornament]: 1 }),
    ...(tremolo && { [`tremolo ${tremolo.kind} ${tremolo.strokes}`]: 1 }),
  };
}

/** The levels of a part in the order of the file; of one `<dynamics>` the last. */
function levelsInBytes(part: string): readonly string[] {
  return [...part.matchAll(/<dynamics\b[^>]*>(.*?)<\/dynamics>/gs)].flatMap(([, inside = ""]) => {
    const last = [...inside.matchAll(LEVELS)].at(-1)?.[1];
    return last === undefined ? [] : [last === "fp" ? "p" : last];
  });
}

const count = (text: string, pattern: RegExp) => [...text.matchAll(pattern)].length;

describeCorpus("marks of the clarinets", () => {
  const scores = new Map<string, { readonly xml: string; readonly score: ScoreDocument }>();
  beforeAll(async () => {
    for (const { name, path } of corpusScores()) {
      const { bytes } = await readScoreFile(path);
      scores.set(name, { xml: bytes.toString("utf8"), score: openScore(bytes) });
    }
  });

  const parts = (name: string) => {
    const { xml, score } = scores.get(name)!;
    return score.parts
      .filter((part) => isClarinetName(part.name))
      .map(({ id }) => ({ bytes: cutPart(xml, id), timeline: score.timeline(id) }));
  };

  it.each(corpusScores())("$name: every note bears what the bytes say", ({ name }) => {
    for (const { bytes, timeline } of parts(name)) {
      const ours = timeline.notes.map(({ marks }) => readByUs(marks));
      expect(ours.some((each) => Object.keys(each).length > 0)).toBe(true);
      expect(ours).toEqual(marksInBytes(bytes));
    }
  });

  it.each(corpusScores())("$name: dynamics and hairpins are those of the bytes", ({ name }) => {
    for (const { bytes, timeline } of parts(name)) {
      const ours = timeline.dynamics.map(({ value }) => value as string);
      expect(ours.length).toBeGreaterThan(0);
      expect(ours).toEqual(levelsInBytes(bytes));
      for (const kind of ["crescendo", "diminuendo"]) {
        const swells = timeline.swells.filter((each) => each.kind === kind);
        expect(swells).toHaveLength(count(bytes, new RegExp(`<wedge\\b[^>]*type="${kind}"`, "g")));
      }
    }
  });

  // Counted in the bytes beforehand with another parser (Python, xml.etree): 535 <dynamics>, of which
  // 85 are accents alone. No clarinet has a tremolo, turn or mordent.
  it("are as many as were counted in all scores together", () => {
    const total: Counts = {};
    const add = (key: string, more: number) => (total[key] = (total[key] ?? 0) + more);
    for (const { name } of corpusScores()) {
      for (const { timeline } of parts(name)) {
        for (const { marks } of timeline.notes) {
          for (const [key, more] of Object.entries(readByUs(marks))) add(key, more);
        }
        add("dynamics", timeline.dynamics.length);
        add("swells", timeline.swells.length);
      }
    }
    expect(total).toEqual({
      "slur start": 930,
      "slur stop": 930,
      staccato: 2141,
      staccatissimo: 94,
      tenuto: 67,
      accent: 293,
      "strong-accent": 45,
      trill: 11,
      "trill goes on": 3,
      "trill flat": 1,
      "trill natural": 1,
      "trill sharp": 2,
      dynamics: 450,
      swells: 139,
    });
  });

  // Strings have the chords and the tremolos.
  it.each([
    ["beach-op32-2", ["single 1", "single 2", "single 3"]],
    ["boulanger-matin", ["single 2", "single 3", "start 2", "stop 2"]],
  ])("and in every other part of %s", (name, tremolos) => {
    const { xml, score } = scores.get(name)!;
    const kinds = new Set<string>();
    for (const { id } of score.parts) {
      const expected = marksInBytes(cutPart(xml, id));
      expect(score.timeline(id).notes.map(({ marks }) => readByUs(marks))).toEqual(expected);
      for (const key of expected.flatMap((each) => Object.keys(each))) kinds.add(key);
    }
    const found = [...kinds].flatMap((key) => /^tremolo (.*)/.exec(key)?.[1] ?? []);
    expect(found.sort()).toEqual(tremolos);
  });
});
