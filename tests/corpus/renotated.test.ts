import { describe, expect, it } from "vitest";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { A, attributes, B_FLAT, BASS, note, rest, scoreXml, words } from "../support/score-xml.js";
import { expectedWarnings, foundReports, inOrder } from "./misprint-report.js";
import { randomWindow, wholePart } from "./renotate-cut.js";
import {
  expectedChanges,
  foundChanges,
  INSTRUMENT_NOTICES,
  readBack,
  soundingNotes,
} from "./renotate-expect.js";
import { seeded } from "./renotate-random.js";
import { TARGETS } from "./renotate-signs.js";
import { sourceParts, type SourcePart } from "./renotate-source.js";
import { printPlan } from "./renotate-print.js";
import { planPart, type Plan } from "./renotate.js";
import { soundingRows, soundsOf, type Sound, type SoundingRow } from "./sounding-table.js";

// Real clarinet parts with passages written for other instruments, sounding as before. What is printed
// for a change is chosen at random from the encodings in use; every failure names its seed.

const WINDOWS_PER_PART = 40;
const WHOLE_PER_PART = 5;
const WHOLE_WITH_REPEATS = 20;
type Transpose = typeof A | typeof B_FLAT | typeof BASS;

const TOLERANCE_QUARTERS = 0.001;

/** Plans made so far, for the count at the end. */
const plans: Plan[] = [];

function windowPlan(source: SourcePart, seed: number): Plan {
  const random = seeded(seed);
  for (;;) {
    const plan = planPart(source, randomWindow(source, random), random);
    if (plan) return plan;
  }
}

function wholePlan(source: SourcePart, seed: number): Plan {
  const plan = planPart(source, wholePart(source), seeded(seed));
  if (!plan) throw new Error(`${source.name}: no changes for seed ${seed}`);
  return plan;
}

/** Prints a part, reads it back, and compares everything that must be so. */
function checkPlan(plan: Plan, name: string) {
  plans.push(plan);
  const { source, cut } = plan;
  const read = readBack(printPlan(plan));
  const { score, timeline, context, changes, notices } = read;
  expect(foundChanges(changes), name).toEqual(expectedChanges(plan));
  // Changes in the file only, and words that come late, are right all the same.
  expect(foundReports(read), name).toEqual(inOrder(expectedWarnings(plan, read)));
  expect(
    notices.filter(({ kind }) => INSTRUMENT_NOTICES.has(kind)),
    name,
  ).toEqual([]);
  expect(soundingNotes(timeline, context.inHand.transpositionOf), name).toEqual(
    soundingNotes(source.timeline, () => source.transposition, cut.from, cut.to),
  );
  return score;
}

describeCorpus("re-notated parts of the corpus", () => {
  const folders = corpusScores();

  it.each(folders)("$name: every change in pieces of 40 to 120 bars", async ({ name }) => {
    for (const source of await sourceParts(name)) {
      for (let seed = 1; seed <= WINDOWS_PER_PART; seed++) {
        checkPlan(windowPlan(source, seed), `${name}, ${source.name}, seed ${seed}`);
      }
    }
  });

  it.each(folders)("$name: every change in whole parts, and sounding.csv", async ({ name }) => {
    for (const source of await sourceParts(name)) {
      const rows = soundingRows(name, source.name);
      const { sounds } = soundsOf(source.score, source.listed);
      // Where the table is at fault (sounding.test.ts), it is so for the generated part as well.
      const faults = differing(rows, sounds);
      const repeats = source.visits.length > source.bars.length;
      for (let seed = 1; seed <= (repeats ? WHOLE_WITH_REPEATS : WHOLE_PER_PART); seed++) {
        const score = checkPlan(
          wholePlan(source, seed),
          `${name}, ${source.name}, whole, seed ${seed}`,
        );
        const [part] = score.parts;
        if (!part) throw new Error("a generated document has a part");
        expect(differing(rows, soundsOf(score, part).sounds)).toEqual(faults);
      }
    }
  });

  it("has printed every instrument and encoding, in over 500 parts", () => {
    expect(plans.length).toBeGreaterThan(500);
    const count = new Map<string, number>();
    const tally = (what: string) => count.set(what, (count.get(what) ?? 0) + 1);
    for (const plan of plans) {
      for (const { from, to, evidence } of expectedChanges(plan)) {
        tally(`from ${from}`);
        tally(`to ${to}`);
        tally(evidence.length === 1 ? `only ${evidence.join()}` : `${evidence.length} signs`);
        for (const kind of new Set(evidence)) tally(kind);
      }
    }
    for (const what of [
      ...TARGETS.flatMap((target) => [`from ${target}`, `to ${target}`]),
      ...["transpose", "words", "instrument-change", "note-instrument", "part-name-display"],
      ...["only transpose", "2 signs", "3 signs", "4 signs"],
    ]) {
      expect(count.get(what), what).toBeGreaterThan(50);
    }
    // Those that a repeat makes.
    expect(count.get("only repeat")).toBeGreaterThan(10);
  });
});

// Found with the generator, which since then prints a name in such places.
describe("clarinets after a bass clarinet", () => {
  const g4 = note("G4", 4);
  /** Clef G throughout; after the first bar every change is a new transposition after a bar's rest. */
  const part = (name: string, ...bars: readonly (readonly [Transpose, string?])[]) =>
    scoreXml([
      {
        name,
        bars: bars.flatMap(([transpose, text], k) =>
          k === 0
            ? [
                attributes({ meter: "4/4", fifths: 0, transpose }).replace(
                  "<transpose>",
                  "<clef><sign>G</sign><line>2</line></clef><transpose>",
                ) + g4,
              ]
            : [
                (text === undefined ? "" : words(text)) + rest(4),
                attributes({ fifths: 0, transpose }) + g4,
              ],
        ),
      },
    ]);
  const changesOf = (xml: string) =>
    readBack(xml).changes.map(({ from, to, enter }) => `${from} > ${to} ${enter.barLabel}`);

  // A bass clarinet in its old bass-clef notation sounds like a B-flat clarinet; here the clef is G.
  it("back to the B-flat clarinet, by the transposition alone", () => {
    expect(changesOf(part("Clarinet in Bb", [B_FLAT], [BASS], [B_FLAT]))).toEqual([
      "clarinet-bflat > bass-clarinet-bflat 3",
      "bass-clarinet-bflat > clarinet-bflat 5",
    ]);
  });

  it("to the A clarinet, by the transposition alone", () => {
    expect(changesOf(part("Bass Clarinet", [BASS], [A]))).toEqual([
      "bass-clarinet-bflat > clarinet-a 3",
    ]);
  });

  // A key alone is true of both; on the A clarinet "muta in Si♭" means the B-flat clarinet.
  it("from the A to the B-flat clarinet where the bass clarinet was played before", () => {
    expect(
      changesOf(part("Clarinet in A", [A], [BASS], [A, "Clarinet in A"], [B_FLAT, "muta in Si♭"])),
    ).toEqual([
      "clarinet-a > bass-clarinet-bflat 3",
      "bass-clarinet-bflat > clarinet-a 5",
      "clarinet-a > clarinet-bflat 7",
    ]);
  });
});

/** Rows of sounding.csv that a reading does not agree with. */
function differing(rows: readonly SoundingRow[], sounds: readonly Sound[]): readonly SoundingRow[] {
  return rows.filter(({ quarters, pitch }) =>
    [-TOLERANCE_QUARTERS, 0, TOLERANCE_QUARTERS].every(
      (shift) => pitchAt(sounds, quarters + shift) !== pitch,
    ),
  );
}

function pitchAt(sounds: readonly Sound[], quarters: number): number | null {
  const pitches = sounds.filter(({ start, end }) => start <= quarters && end > quarters);
  return pitches.length === 0 ? null : Math.max(...pitches.map(({ pitch }) => pitch));
}
