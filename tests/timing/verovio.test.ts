import { existsSync, readdirSync, readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
// @ts-expect-error: the package has no types; what is used of it is declared below.
import { VerovioToolkit } from "verovio/esm";
// @ts-expect-error: the same.
import createVerovioModule from "verovio/wasm";
import { openScore } from "../../src/musicxml/document.js";
import { midiNumber } from "../../src/theory/pitch.js";
import { toNumber, ZERO } from "../../src/theory/fraction.js";
import { performedNotes } from "../../src/timing/performed-notes.js";
import { perform } from "./times.js";

// Verovio (RISM Digital Center, LGPL) reads MusicXML, unfolds repeats and times every note by
// itself: see "renderToTimemap" in its reference book. It unfolds repeats and endings by default.
// It carries the last tempo back into a repeated section, where we go by the page: so every repeated
// section of these scores begins with a tempo of its own.

interface TimemapEntry {
  readonly qstamp: number;
  /** Milliseconds, rounded. */
  readonly tstamp: number;
  /** Identifiers of the notes that begin. */
  readonly on?: readonly string[];
}
interface Toolkit {
  loadData(data: string): boolean;
  renderToTimemap(options: Readonly<Record<string, boolean>>): readonly TimemapEntry[];
  getMIDIValuesForElement(id: string): { readonly pitch: number };
}

/** Where a note begins, and its written pitch as a MIDI number. */
interface Onset {
  readonly quarters: number;
  readonly seconds: number;
  readonly pitch: number;
}

const TOLERANCE_SECONDS = 0.01;

let toolkit: Toolkit;
beforeAll(async () => {
  const wasm: unknown = await (createVerovioModule as () => Promise<unknown>)();
  toolkit = new (VerovioToolkit as new (module: unknown) => Toolkit)(wasm);
});

function onsetsByVerovio(path: string): readonly Onset[] {
  if (!toolkit.loadData(readFileSync(path, "utf8"))) throw new Error(`not read: ${path}`);
  return toolkit.renderToTimemap({}).flatMap(({ qstamp, tstamp, on = [] }) =>
    on.map((id) => ({
      quarters: qstamp,
      seconds: tstamp / 1000,
      pitch: toolkit.getMIDIValuesForElement(id).pitch,
    })),
  );
}

/** Every note that is played, at the likely tempo; grace notes take no time and are left out. */
function onsetsByUs(path: string): readonly Onset[] {
  const score = openScore(readFileSync(path));
  return score.parts.flatMap(({ id }) => {
    const { timeline, performance, map } = perform(score.timeline(id));
    return performedNotes(timeline.notes, performance)
      .filter(({ note }) => !note.grace)
      .flatMap(({ note, startQuarters }) =>
        note.pitches.map((pitch) => ({
          quarters: toNumber(startQuarters),
          seconds: map.secondsBetween(ZERO, startQuarters).likely,
          pitch: midiNumber(pitch),
        })),
      );
  });
}

const TIMING = "fixtures/timing";
const DIVIDED = "-divided.musicxml";
const timingFiles = readdirSync(TIMING).filter((name) => name.endsWith(".musicxml"));

describe("small scores: every note of one part, in order", () => {
  it("finds scores", () => {
    expect(timingFiles.length).toBeGreaterThanOrEqual(8);
  });

  it.each(timingFiles)("%s", (name) => {
    // Verovio has one tempo a bar: where it changes in mid-bar, it is given the same music with a
    // barline in that place.
    const divided = `${TIMING}/${name.replace(".musicxml", DIVIDED)}`;
    const theirs = onsetsByVerovio(existsSync(divided) ? divided : `${TIMING}/${name}`);
    const ours = onsetsByUs(`${TIMING}/${name}`);
    expect(ours.length).toBeGreaterThan(5);
    expect(ours.map(({ pitch }) => pitch)).toEqual(theirs.map(({ pitch }) => pitch));
    ours.forEach((onset, k) => {
      expect(onset.quarters).toBeCloseTo(theirs[k]!.quarters, 6);
      expect(Math.abs(onset.seconds - theirs[k]!.seconds)).toBeLessThan(TOLERANCE_SECONDS);
    });
  });
});

const DEMO = "fixtures/demo";
const demoFiles = existsSync(DEMO)
  ? readdirSync(DEMO).filter((name) => name.endsWith(".musicxml"))
  : [];

// Verovio times cue notes as well, and grace notes as it plays them: so every onset of ours must be
// among its own, not the other way round.
describe.runIf(demoFiles.length > 0)("whole pieces: every note of every part", () => {
  it.each(demoFiles)("%s", (name) => {
    const secondsAt = new Map<number, number>();
    for (const { quarters, seconds } of onsetsByVerovio(`${DEMO}/${name}`)) {
      secondsAt.set(Math.round(quarters * 1e6), seconds);
    }
    const ours = onsetsByUs(`${DEMO}/${name}`);
    expect(ours.length).toBeGreaterThan(100);
    const elsewhere = ours.filter(({ quarters, seconds }) => {
      const theirs = secondsAt.get(Math.round(quarters * 1e6));
      return theirs === undefined || Math.abs(theirs - seconds) >= TOLERANCE_SECONDS;
    });
    expect(elsewhere).toEqual([]);
  });
});
