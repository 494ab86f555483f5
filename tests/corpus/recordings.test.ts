import { beforeAll, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { analyseTempo } from "../../src/analyses/tempo-report.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Entry } from "../../src/model/report.js";
import type { PartTimeline } from "../../src/model/score.js";
import type { PerformanceWishes, SheetTempo } from "../../src/model/tempo.js";
import { toNumber } from "../../src/theory/fraction.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { hasRecording, heardAt, heardMoments, type HeardMoment } from "./recording-table.js";
import { clarinetParts } from "./sounding-table.js";

// Real rests of real performances: recording.csv of the corpus (a public recording of each movement,
// timed by the makers of the corpus). Every clarinet rest of eight quarters or more.

const LONG_REST_QUARTERS = 8;
const SOURCE = { file: "", title: "", movement: "" };

interface PlayedRest {
  readonly folder: string;
  readonly entry: Entry;
  readonly heardSeconds: number;
}

interface Movement {
  readonly folder: string;
  readonly timelines: readonly PartTimeline[];
  readonly heard: readonly HeardMoment[];
}

let movements: readonly Movement[] = [];

async function readMovements(): Promise<readonly Movement[]> {
  const folders = corpusScores().filter(({ name }) => hasRecording(name));
  return Promise.all(
    folders.map(async ({ name }) => {
      const { score, parts } = await clarinetParts(name);
      return {
        folder: name,
        timelines: parts.map(({ id }) => score.timeline(id)),
        heard: heardMoments(name),
      };
    }),
  );
}

function playedRests(wishesFor: (movement: Movement) => PerformanceWishes): readonly PlayedRest[] {
  return movements.flatMap((movement) =>
    movement.timelines.flatMap((timeline) =>
      analysePart(timeline, USUAL_PROFILE, SOURCE, wishesFor(movement))
        .entries.filter(({ rest }) => toNumber(rest.quarters) >= LONG_REST_QUARTERS)
        .map((entry): PlayedRest => {
          const from = entry.leave ? toNumber(entry.leave.quarters) : 0;
          const heard = (quarters: number) => heardAt(movement.heard, quarters);
          const heardSeconds = heard(toNumber(entry.at.quarters)) - heard(from);
          return { folder: movement.folder, entry, heardSeconds };
        }),
    ),
  );
}

const share = <T>(items: readonly T[], holds: (item: T) => boolean) =>
  items.filter(holds).length / items.length;

/** Half the width of the range as a share of the likely seconds. */
const halfWidth = ({ entry: { rest } }: PlayedRest) =>
  (rest.seconds.long - rest.seconds.short) / 2 / rest.seconds.likely;

describeCorpus("real rests in recordings", () => {
  beforeAll(async () => {
    movements = await readMovements();
  });

  it("finds the movements and their rests", () => {
    expect(movements.map(({ folder }) => folder)).toHaveLength(4);
    expect(playedRests(() => ({})).length).toBeGreaterThan(90);
  });

  it("from the score alone: at least 80 % lie in the range, whose half-width is 40 % at most", () => {
    const rests = playedRests(() => ({}));
    const inside = ({ entry: { rest }, heardSeconds }: PlayedRest) =>
      heardSeconds >= rest.seconds.short && heardSeconds <= rest.seconds.long;
    expect(share(rests, inside)).toBeGreaterThanOrEqual(0.8);
    const mean = rests.reduce((sum, each) => sum + halfWidth(each), 0) / rests.length;
    expect(mean).toBeLessThanOrEqual(0.4);
    // A tempo that is only a playback number by itself, too.
    for (const each of rests) expect(halfWidth(each)).toBeLessThanOrEqual(0.42);
  });

  it("a printed number stays narrow", () => {
    const printed = playedRests(() => ({})).filter(
      ({ entry }) => entry.rest.tempoSource === "metronome",
    );
    expect(printed.length).toBeGreaterThan(20);
    for (const each of printed) expect(halfWidth(each)).toBeLessThan(0.11);
  });

  it("with a tempo sheet of one number a section: at least 90 % are within 15 %", () => {
    const rests = playedRests((movement) => ({ tempoSheet: sheetOf(movement) }));
    const near = ({ entry: { rest }, heardSeconds }: PlayedRest) =>
      Math.abs(rest.seconds.likely / heardSeconds - 1) <= 0.15;
    expect(share(rests, near)).toBeGreaterThanOrEqual(0.9);
  });

  it("with the recording's timings: every rest within 0.05 s", () => {
    const rests = playedRests(({ folder, heard }) => ({
      recordings: [
        {
          name: folder,
          places: heard.map(({ bar, beat, seconds }) => ({ barLabel: bar, beat, seconds })),
        },
      ],
    }));
    for (const { entry, heardSeconds } of rests) {
      expect(Math.abs(entry.rest.seconds.likely - heardSeconds)).toBeLessThan(0.05);
      expect(entry.rest.tempoSource).toBe("recording");
      // Both views: the tempi of the page stand beside it.
      expect(entry.rest.marked?.tempoSource).not.toBe("recording");
    }
  });
});

/** One number for each steady tempo of the page: as heard in the first eight bars of it. */
function sheetOf({ timelines: [timeline], heard }: Movement): readonly SheetTempo[] {
  if (!timeline) throw new Error("a movement has a clarinet");
  const { tempi } = analyseTempo(timeline, SOURCE);
  return tempi
    .filter(({ endQuartersPerMinute }) => !endQuartersPerMinute)
    .map(({ from, until }): SheetTempo => {
      const start = toNumber(from.quarters);
      const eighth = timeline.bars[from.barIndex + 8]?.writtenQuarters;
      const end = Math.min(toNumber(until.quarters), eighth ? toNumber(eighth) : Infinity);
      const number = (60 * (end - start)) / (heardAt(heard, end) - heardAt(heard, start));
      return {
        barLabel: from.barLabel,
        beat: from.beat,
        quartersPerMinute: { slow: number * 0.96, likely: number, fast: number * 1.04 },
        text: `quarter = ${Math.round(number)}`,
      };
    });
}
