import { beforeAll, describe, expect, it } from "vitest";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { A, attributes, B_FLAT, BASS, note, rest, scoreXml, words } from "../support/score-xml.js";
import { KINDS, type MisprintKind } from "./misprint-kinds.js";
import type { Planted } from "./misprint-plant.js";
import { expectedWarnings, foundReports, inOrder } from "./misprint-report.js";
import {
  expectedChanges,
  foundChanges,
  INSTRUMENT_NOTICES,
  readBack,
  soundingNotes,
} from "./renotate-expect.js";
import { printPlan } from "./renotate-print.js";
import { seeded } from "./renotate-random.js";
import { sourceParts, type SourcePart } from "./renotate-source.js";

// Misprints planted in real clarinet parts with changes: every one is reported at its bar, and the same
// print without the misprint reports none. Every failure names its seed.

const PARTS_PER_KIND = 100;

let sources: readonly SourcePart[] = [];

/** Not every part has a place for every misprint: after so many tries the next part is taken. */
const TRIES_PER_SOURCE = 50;

/** A plan with the misprint, or the plan of a part without any. */
function planFor(kind: MisprintKind, seed: number, isMisprint: boolean): Planted {
  const random = seeded(seed);
  for (let tries = 0; ; tries++) {
    const source = sources[(seed + Math.floor(tries / TRIES_PER_SOURCE)) % sources.length];
    const plan = source && kind.plan(source, random, isMisprint);
    if (plan) return plan;
  }
}

describeCorpus("misprints planted in parts of the corpus", () => {
  beforeAll(async () => {
    sources = (await Promise.all(corpusScores().map(({ name }) => sourceParts(name)))).flat();
  }, 60_000);

  it.each(KINDS)("$name: reported at its bar", (kind) => {
    for (let seed = 1; seed <= PARTS_PER_KIND; seed++) {
      const { plan, misprints } = planFor(kind, seed, true);
      const read = readBack(printPlan(plan));
      const expected = inOrder([...misprints, ...expectedWarnings(plan, read)]);
      expect(
        expected.filter((report) => report.kind === kind.kind),
        `seed ${seed}`,
      ).toHaveLength(1);
      expect(foundReports(read), `seed ${seed}`).toEqual(expected);
      expect(foundChanges(read.changes), `seed ${seed}`).toEqual(expectedChanges(plan));
    }
  });

  it.each(KINDS)("$name: nothing where the print is right", (kind) => {
    for (let seed = 1; seed <= PARTS_PER_KIND; seed++) {
      const { plan } = planFor(kind, seed, false);
      const read = readBack(printPlan(plan));
      expect(foundReports(read), `seed ${seed}`).toEqual([]);
      expect(expectedWarnings(plan, read), `seed ${seed}`).toEqual([]);
      expect(
        read.notices.filter((notice) => INSTRUMENT_NOTICES.has(notice.kind)),
        `seed ${seed}`,
      ).toEqual([]);
      expect(foundChanges(read.changes), `seed ${seed}`).toEqual(expectedChanges(plan));
      const { source, cut } = plan;
      expect(
        soundingNotes(read.timeline, read.context.inHand.transpositionOf),
        `seed ${seed}`,
      ).toEqual(soundingNotes(source.timeline, () => source.transposition, cut.from, cut.to));
    }
  });
});

/** What is taken up, in which bar, and what is said against it. */
function changesOf(name: string, ...bars: readonly string[]) {
  return readBack(scoreXml([{ name, bars }])).changes.map(({ to, enter, disagreements }) => [
    to,
    enter.barLabel,
    disagreements.map(({ kind }) => kind).join(),
  ]);
}

/** The start of a part in treble clef. */
function begin(transpose: readonly [number, number, number?]): string {
  const clef = "<clef><sign>G</sign><line>2</line></clef>";
  return attributes({ meter: "4/4", fifths: 0, transpose }).replace(
    "<transpose>",
    `${clef}<transpose>`,
  );
}

/** The same written note in another transposition. */
function goOn(transpose: readonly [number, number, number?]): string {
  return attributes({ fifths: 0, transpose }) + G4;
}

const G4 = note("G4", 4);

describe("words for an entry, as the generator found them", () => {
  // The generator since then goes on to another instrument after such words. The bass clarinet that comes
  // later is in B-flat too, but "muta in Si♭" is said to an A clarinet.
  it("a key alone does not wait for another size of clarinet", () => {
    const a = attributes({ meter: "4/4", fifths: 0, transpose: A }) + G4;
    const bars = [a, words("muta in Si♭") + rest(4), G4, rest(4), goOn(BASS)];
    expect(changesOf("Clarinet in A", ...bars)).toEqual([
      ["clarinet-bflat", "3", "words-against-transposition"],
      ["bass-clarinet-bflat", "5", "nothing-printed"],
    ]);
  });

  it("wait for the bass clarinet's transposition in treble clef", () => {
    const bars = [begin(A) + G4, words("take bass clarinet") + rest(4), G4, rest(4), goOn(BASS)];
    expect(changesOf("Clarinet in A", ...bars)).toEqual([
      ["bass-clarinet-bflat", "5", "words-before-transposition"],
    ]);
  });

  it("over a note that begins another instrument's passage they are for the next", () => {
    const toBass = attributes({ fifths: 0, transpose: A }) + words("to Bass Cl.") + G4;
    const bars = [begin(B_FLAT) + G4, words("muta in La") + rest(4), toBass, rest(4), goOn(BASS)];
    expect(changesOf("Clarinet in Bb", ...bars)).toEqual([
      ["clarinet-a", "3", ""],
      ["bass-clarinet-bflat", "5", ""],
    ]);
  });

  it("wait whatever the other player is told", () => {
    const [own, other] = ["muta in La", "1. muta in Es"].map((text) => words(text) + rest(4));
    const bars = [begin(B_FLAT) + G4, own ?? "", G4, other ?? "", goOn(A)];
    expect(changesOf("Clarinet 2 in Bb", ...bars)).toEqual([
      ["clarinet-a", "5", "words-before-transposition"],
    ]);
  });

  it("a name holds from where it stands, whatever is said at the beginning of its bar", () => {
    const name = attributes({ fifths: 0, transpose: A }) + words("A Clarinet") + note("G4", 1);
    const bars = [begin(B_FLAT) + G4, words("a 2") + note("G4", 1) + rest(2) + name];
    expect(changesOf("Clarinet in Bb", ...bars)).toEqual([["clarinet-a", "2", ""]]);
  });
});
