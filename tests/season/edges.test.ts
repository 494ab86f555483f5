import { expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { auditScore } from "../../src/season/audit-file.js";
import {
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
} from "../support/score-xml.js";

const JOB = {
  ...{ path: "", file: "", parts: [], tacet: false, seats: [], profile: USUAL_PROFILE, wishes: {} },
};

/**
 * By hand: a quarter at 120 a minute lasts half a second, one at 60 a second; the steps have those of the fast tempo,
 * 6 % above the mark.
 */
const atFast = (seconds: number): unknown => expect.closeTo(seconds / 1.06, 9);

it("tells the silence before the first entry in as few pieces as go on evenly", () => {
  const bars = [
    attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) +
      metronome("quarter", "120") +
      rest(4),
    ...Array.from({ length: 39 }, () => rest(4)),
    rest(2) + metronome("quarter", "60") + rest(2),
    rest(4),
    attributes({ meter: "3/4" }) + rest(3),
    rest(3),
    note("C5", 3),
  ];
  const { seats } = auditScore(Buffer.from(scoreXml([{ bars }])), JOB);
  const opens = seats[0]?.edges?.opens;
  expect(
    opens?.rest.steps.map((step) => [
      step.at.barLabel,
      step.at.beat,
      step.bars,
      step.seconds,
      step.meter,
      step.tempo.first,
      step.tempo.isNew,
    ]),
  ).toEqual([
    ["1", 1, 40.5, atFast(81), "4/4", 120, true],
    ["41", 3, 1.5, atFast(6), "4/4", 60, true],
    ["43", 1, 2, atFast(6), "3/4", 60, false],
  ]);
  expect(opens?.rest.seconds.short).toEqual(atFast(93));
});

it("tells every bar of a silence by itself while the tempo changes in it", () => {
  const bars = [
    attributes({ meter: "2/4", fifths: 0, transpose: B_FLAT }) +
      metronome("quarter", "120") +
      words("accel.") +
      rest(2),
    rest(2),
    rest(2),
    metronome("quarter", "160") + note("C5", 2),
  ];
  const { seats } = auditScore(Buffer.from(scoreXml([{ bars }])), JOB);
  const steps = seats[0]?.edges?.opens.rest.steps ?? [];
  expect(steps.map(({ at, bars: count }) => [at.barLabel, count])).toEqual([
    ["1", 1],
    ["2", 1],
    ["3", 1],
  ]);
  const seconds = steps.map((step) => step.seconds);
  expect(seconds).toEqual([...seconds].sort((a, b) => b - a));
  expect(seconds[0]).toBeGreaterThan(seconds[2] ?? Infinity);
});
