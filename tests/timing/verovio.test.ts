import { existsSync, readdirSync, readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { openScore } from "../../src/musicxml/document.js";
import {
  disagreements,
  loadVerovio,
  momentsByUs,
  withoutGraceNotes,
  type Verovio,
} from "./verovio-oracle.js";

let verovio: Verovio;
beforeAll(async () => {
  verovio = await loadVerovio();
});

const TIMING = "fixtures/timing";
const DIVIDED = "-divided.musicxml";
const timingFiles = readdirSync(TIMING).filter((name) => name.endsWith(".musicxml"));

describe("small scores: every note of one part", () => {
  it("finds scores", () => {
    expect(timingFiles.length).toBeGreaterThanOrEqual(8);
  });

  it.each(timingFiles)("%s", (name) => {
    // Verovio has one tempo a bar: where it changes in mid-bar, it is given the same music with a
    // barline in that place.
    const divided = `${TIMING}/${name.replace(".musicxml", DIVIDED)}`;
    const path = `${TIMING}/${name}`;
    const theirs = verovio(readFileSync(existsSync(divided) ? divided : path, "utf8"));
    const ours = momentsByUs(openScore(readFileSync(path)));
    expect(ours.length).toBeGreaterThan(5);
    expect(disagreements(ours, theirs)).toEqual([]);
  });
});

const DEMO = "fixtures/demo";
const demoFiles = existsSync(DEMO)
  ? readdirSync(DEMO).filter((name) => name.endsWith(".musicxml"))
  : [];

describe.runIf(demoFiles.length > 0)("whole pieces: every note of every part", () => {
  it.each(demoFiles)("%s", (name) => {
    const xml = readFileSync(`${DEMO}/${name}`, "utf8");
    const ours = momentsByUs(openScore(Buffer.from(xml)));
    expect(ours.length).toBeGreaterThan(100);
    expect(disagreements(ours, verovio(withoutGraceNotes(xml)))).toEqual([]);
  });
});
