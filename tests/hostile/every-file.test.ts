import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { InputError } from "../../src/model/input-error.js";
import type { PartReport } from "../../src/model/report.js";
import { openScore } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";
import { linesOf, runMuta } from "../support/run-muta.js";

// musicxml-testsuite: the unofficial MusicXML test suite (Reinhold Kainhofer).
// w3c-examples: the examples of the W3C MusicXML 4.0 reference.

/**
 * Examples that are no scores but show one element: its name is the reason for which they are refused.
 * One of the examples is a score without any part.
 */
const REFUSED: Readonly<Record<string, string>> = {
  "beat-repeat-element.fragment.xml": "<measure>",
  "breath-mark-element.fragment.xml": "<notations>",
  "caesura-element.fragment.xml": "<notations>",
  "coda-element.fragment.xml": "<direction>",
  "cue-element.fragment.xml": "<measure>",
  "divisions-and-duration-elements.fragment.xml": "<measure>",
  "ending-element.fragment.xml": "<part>",
  "ensemble-element.musicxml": "<score-part>",
  "fermata-element.fragment.xml": "<barline>",
  "grace-element-appoggiatura.fragment.xml": "<note>",
  "grace-element.fragment.xml": "<measure>",
  "group-time-element.fragment.xml": "<part-group>",
  "instrument-link-element.fragment.xml": "<part-list>",
  "measure-repeat-element.fragment.xml": "<part>",
  "metronome-arrows-element.fragment.xml": "<metronome>",
  "metronome-element.fragment.xml": "<direction>",
  "metronome-note-element.fragment.xml": "<direction>",
  "metronome-tied-element.fragment.xml": "<metronome>",
  "midi-device-element.musicxml": "<score-part>",
  "midi-instrument-element.musicxml": "<score-part>",
  "movement-number-and-movement-title-elements.musicxml": "no part",
  "multiple-rest-element.fragment.xml": "<attributes>",
  "part-link-element.musicxml": "<score-part>",
  "part-name-display-element.fragment.xml": "<part-name-display>",
  "repeat-element.fragment.xml": "<barline>",
  "segno-element.fragment.xml": "<direction>",
  "senza-misura-element.fragment.xml": "<time>",
  "swing-element.fragment.xml": "<direction>",
  "transpose-element.fragment.xml": "<attributes>",
  "tremolo-element-double.fragment.xml": "<measure>",
  "tremolo-element-single.fragment.xml": "<note>",
  "trill-mark-element.fragment.xml": "<note>",
  "virtual-instrument-element.musicxml": "<score-part>",
};

const FOLDERS = ["musicxml-testsuite", "w3c-examples"];
const FILES = FOLDERS.flatMap((folder) => {
  const path = join(CORPUS_ROOT, folder);
  return existsSync(path)
    ? readdirSync(path).map((name) => ({ name, path: join(path, name) }))
    : [];
});

/** The reports of the parts whose instrument is known; a part for another player is refused as such. */
async function read(path: string): Promise<readonly PartReport[]> {
  const { bytes } = await readScoreFile(path);
  const score = openScore(bytes);
  expect(score.parts.length).toBeGreaterThan(0);
  return score.parts.flatMap(({ id, barCount }) => {
    const timeline = score.timeline(id);
    expect(timeline.bars).toHaveLength(barCount);
    for (const { offset, duration } of timeline.notes) {
      expect(Math.min(Number(offset), Number(duration))).toBeGreaterThanOrEqual(0);
    }
    try {
      return [analysePart(timeline, USUAL_PROFILE, { ...score, file: path })];
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      expect(error).toMatchObject({ code: "unknown-instrument", part: id });
      return [];
    }
  });
}

describeCorpus("every file of the reference and of the test suite", () => {
  it("is at hand", () => {
    expect(FILES.length).toBeGreaterThan(190);
    expect(FILES.map(({ name }) => name)).toEqual(expect.arrayContaining(Object.keys(REFUSED)));
    const fragments = FILES.filter(({ name }) => name.includes(".fragment."));
    expect(fragments.filter(({ name }) => !Object.hasOwn(REFUSED, name))).toEqual([]);
  });

  const scores = FILES.filter(({ name }) => !Object.hasOwn(REFUSED, name));
  it.each(scores)("is read with all its parts: $name", async ({ path }) => {
    for (const { barCount, durationSeconds } of await read(path)) {
      expect(barCount).toBeGreaterThan(0);
      const { short, likely, long } = durationSeconds;
      expect(short).toBeGreaterThan(0);
      expect(likely).toBeGreaterThanOrEqual(short);
      expect(long).toBeGreaterThanOrEqual(likely);
      expect(long).toBeLessThan(3600);
    }
  });

  it.each(FILES.filter(({ name }) => Object.hasOwn(REFUSED, name)))(
    "is refused in one clear line: $name",
    async ({ name, path }) => {
      const error: unknown = await read(path).catch((reason: unknown) => reason);
      expect(error).toBeInstanceOf(InputError);
      const { message } = error as InputError;
      expect(message).toContain(REFUSED[name]);
      expect(message).toMatch(/^\P{Cc}{10,120}$/u);
    },
  );
});

describeCorpus("muta over all of them at once", () => {
  it("exits with 2 and accounts for every file", async () => {
    const paths = FILES.map(({ path }) => path);
    const { code, stdout, stderr } = await runMuta(["check", "--format", "ndjson", ...paths]);
    expect(code).toBe(2);
    expect(stderr).not.toContain("fault of the program");
    const reported = linesOf(stdout).map((line) => (JSON.parse(line) as { file: string }).file);
    const refused = linesOf(stderr).map((line) => /^muta: (.*?): ./.exec(line)?.[1] ?? line);
    expect(new Set([...reported, ...refused])).toEqual(new Set(paths));
    for (const { name, path } of FILES) {
      if (Object.hasOwn(REFUSED, name)) expect(refused).toContain(path);
    }
    // The rest are for no woodwind player, and the parts that are there are listed.
    const others = linesOf(stderr).filter(
      (line) => !Object.keys(REFUSED).some((name) => line.includes(`${name}: `)),
    );
    for (const line of others)
      expect(line).toMatch(/no part is for a woodwind player; there are: /);
  });
});

describeCorpus("instrument-change-element.musicxml", () => {
  it("has the one change that the reference describes", async () => {
    const file = join(CORPUS_ROOT, "w3c-examples", "instrument-change-element.musicxml");
    const [report, ...more] = await read(file);
    expect(more).toEqual([]);
    expect(report?.changes).toHaveLength(1);
    const change = report!.changes[0]!;
    expect(change).toMatchObject({
      from: "clarinet-bflat",
      to: "saxophone-alto",
      leave: { barLabel: "1", atBarEnd: true },
      enter: { barLabel: "5", beat: 1 },
      disagreements: [],
    });
    // Three bars of 4/4, and no tempo in the file.
    expect(change.rest.quarters.equals(12)).toBe(true);
    expect(change.rest).toMatchObject({ bars: 3, tempoSource: "assumed" });
    expect(change.evidence).toContainEqual(
      expect.objectContaining({ kind: "words", barLabel: "2", text: "To Alto Sax" }),
    );
    expect(change.evidence.map(({ kind }) => kind)).toContain("instrument-change");
  });
});
