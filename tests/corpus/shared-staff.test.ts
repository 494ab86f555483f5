import { expect, it } from "vitest";
import { findEntries } from "../../src/analyses/entries.js";
import { analysisContext } from "../../src/analyses/index.js";
import { playerPart } from "../../src/analyses/player-part.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PartTimeline, SpelledPitch, Step } from "../../src/model/score.js";
import { fraction, toNumber } from "../../src/theory/fraction.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { timelineOf } from "../support/score-xml.js";
import { randomWindow, wholePart } from "./renotate-cut.js";
import { seeded, type Random } from "./renotate-random.js";
import { sourceParts, type SourcePart } from "./renotate-source.js";
import {
  cutDuo,
  planStaff,
  printAlone,
  printStaff,
  type Duo,
  type DuoNote,
} from "./shared-staff-print.js";

// Two real clarinet parts printed on one staff, as most publishers print them, and divided again. How
// the staff says who plays is chosen at random from the notations in use; every failure names its seed.

const WINDOWS_PER_SCORE = 60;
const WHOLE_PER_SCORE = 6;
const MOST_BARS = 80;
const GRACE_NOTES = 0.04;

/** How often each notation was printed, and how often words were needed and left out. */
const counts = new Map<string, number>();
let staves = 0;

function tally(what: string) {
  counts.set(what, (counts.get(what) ?? 0) + 1);
}

type Pair = readonly [SourcePart, SourcePart];

/** Parts for the first and the second player, in one transposition. */
async function pairOf(folder: string): Promise<Pair> {
  const parts = await sourceParts(folder);
  const [first, second] = [1, 2].map((player) => parts.find((part) => part.player === player));
  if (!first || !second || first.instrument !== second.instrument) {
    throw new Error(`${folder} has no pair of clarinets`);
  }
  return [first, second];
}

/** Some staves have the parts the other way round: the second player is seldom alone, or above the first. */
function inSomeOrder([first, second]: Pair, random: Random): Pair {
  return random.chance(0.3) ? [second, first] : [first, second];
}

/** Prints a staff, gives each player their own part, and compares both with what was printed. */
function checkStaff(duo: Duo, random: Random, name: string, alone: readonly PartTimeline[]) {
  staves++;
  const plan = planStaff(duo, random);
  for (const { notation, words } of plan) {
    tally(notation);
    tally(words === undefined ? `${notation} unmarked` : words);
  }
  const staff = timelineOf(printStaff(duo, plan, random));
  duo.numbers.forEach((number, k) => {
    const own = playerPart(staff, number);
    const title = `${name}, player ${number}`;
    expect(own.part.player, title).toBe(number);
    expect(readNotes(own, duo), title).toEqual(printedNotes(duo.lines[k] ?? []));
    expect(
      own.notices.filter(({ kind }) => kind === "players-unmarked"),
      title,
    ).toEqual([]);
    const before = alone[k];
    if (before) expect(entriesOf(own), title).toEqual(entriesOf(before));
  });
}

describeCorpus("two players on one staff", () => {
  const folders = corpusScores();

  it.each(folders)("$name: each has their own notes and rests", async ({ name }) => {
    const pair = await pairOf(name);
    for (let seed = 1; seed <= WINDOWS_PER_SCORE; seed++) {
      const random = seeded(seed);
      const parts = inSomeOrder(pair, random);
      const plain = cutDuo(parts, randomWindow(parts[0], random, MOST_BARS), random);
      const duo = random.chance(0.3) ? withGraceNotes(plain, random) : plain;
      const alone = ([0, 1] as const).map((player) => timelineOf(printAlone(duo, player)));
      checkStaff(duo, random, `${name}, seed ${seed}`, alone);
    }
  });

  it.each(folders)("$name: the whole parts, with their repeats", async ({ name }) => {
    const pair = await pairOf(name);
    for (let seed = 1; seed <= WHOLE_PER_SCORE; seed++) {
      const random = seeded(seed);
      const parts = inSomeOrder(pair, random);
      const duo = cutDuo(parts, wholePart(parts[0]), random);
      const alone = parts.map(({ timeline }) => timeline);
      checkStaff(duo, random, `${name}, whole, seed ${seed}`, alone);
    }
  });

  it("have had every notation, in over 400 staves", () => {
    expect(staves).toBeGreaterThan(400);
    for (const notation of ["voices", "one", "together", "chords", "silent"]) {
      expect(counts.get(notation), notation).toBeGreaterThan(1000);
    }
    const usual = [
      ...["mixed", "held", "one unmarked", "together unmarked", "mixed unmarked"],
      ...["1.", "I.", "1º", "1. Solo", "I. Solo", "Solo", "1. dolce", "2.", "II.", "2º", "2. Solo"],
      ...["a 2", "a2", "à 2", "zu 2", "a due", "unis.", "1., 2.", "1. 2."],
    ];
    for (const what of usual) expect(counts.get(what), what).toBeGreaterThan(20);
    const seldom = ["3.", "III.", "3. Solo", "4.", "div.", "3., 4."];
    for (const what of seldom) expect(counts.get(what), what).toBeGreaterThan(5);
  });
});

/** The same with grace notes before some notes of one or both: the corpus has few. */
function withGraceNotes(duo: Duo, random: Random): Duo {
  const chosen = new Map<string, readonly boolean[]>();
  const whoAt = ({ bar, at }: DuoNote) => {
    const place = `${bar} ${at}`;
    const isFirst = !chosen.has(place) && random.chance(GRACE_NOTES);
    const who = isFirst ? random.pick([[true, false], [false, true], [true, true]]) : []; // prettier-ignore
    const known = chosen.get(place) ?? who;
    chosen.set(place, known);
    return known;
  };
  const add = (line: readonly DuoNote[], player: number) =>
    line.flatMap((note) => {
      if (!whoAt(note)[player] || note.tiedFromBefore || note.grace) return [note];
      const pitches = note.pitches.slice(0, 1).map(upperNeighbour);
      return [{ ...note, pitches, end: note.at, grace: true, tiedToNext: false }, note];
    });
  return { ...duo, lines: [add(duo.lines[0], 0), add(duo.lines[1], 1)] };
}

const STEPS: readonly Step[] = ["C", "D", "E", "F", "G", "A", "B"];

function upperNeighbour({ step, octave }: SpelledPitch): SpelledPitch {
  const next = STEPS[STEPS.indexOf(step) + 1];
  return { step: next ?? "C", alter: 0, octave: next ? octave : octave + 1 };
}

function noteLine(place: string, pitches: readonly SpelledPitch[], grace: boolean): string {
  const names = pitches.map(({ step, alter, octave }) => `${step}${alter}/${octave}`);
  return `${place} ${names.join(" ")}${grace ? " grace" : ""}`;
}

/** Bar, place, length in divisions, and pitches of every note as it was printed. */
function printedNotes(notes: readonly DuoNote[]): readonly string[] {
  return notes.map(({ bar, at, end, pitches, grace }) =>
    noteLine(`${bar}:${at}+${end - at}`, pitches, grace),
  );
}

/** The same of what was read. */
function readNotes({ notes }: PartTimeline, { source: { divisions } }: Duo): readonly string[] {
  return notes.map(({ barIndex, offset, duration, pitches, grace }) => {
    const [at, length] = [offset, duration].map((each) =>
      each.mul(fraction(divisions)).toFraction(),
    );
    return noteLine(`${barIndex}:${at}+${length}`, pitches, grace);
  });
}

/** Every rest and the entry after it, in the order of performance. */
function entriesOf(timeline: PartTimeline): readonly string[] {
  return findEntries(analysisContext(timeline, USUAL_PROFILE).context).map(
    ({ at, leave, rest, graceNotes }) => {
      const from = leave ? `${leave.barLabel} beat ${leave.beat} (${leave.pass})` : "nothing";
      return `${at.barLabel} beat ${at.beat} (${at.pass}) after ${from}: ${toNumber(rest.quarters)}, ${rest.bars} bars, grace ${graceNotes}`;
    },
  );
}
