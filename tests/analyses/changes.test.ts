import { describe, expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { toNumber } from "../../src/theory/fraction.js";
import { A, attributes, metronome, note, rest, words } from "../support/score-xml.js";
import {
  IN_A,
  IN_B_FLAT,
  VOICE_2,
  REPEAT,
  start,
  meter,
  back,
  changesOf,
  onlyChange,
  evidenceOf,
} from "./change-cases.js";

describe("the rest of a change", () => {
  const QUARTER_60 = metronome("quarter", "60");
  // prettier-ignore
  it.each([
    // 2 + 4 quarters: 1/2 + 1 bars; a quarter is a second.
    ["in 4/4", [start(note("C5", 2) + rest(2), QUARTER_60), rest(4), IN_A + note("C5", 4)], [6, 1.5, 6, 6]],
    // 3/2 + 3 + 1/2 quarters: 1/2 + 1 + 1/6 bars, 1 + 2 + 1/3 dotted beats of a second.
    ["in 6/8", [start(note("C5", 1.5) + rest(1.5), metronome("quarter", "60", 1), "6/8"), rest(3), rest(0.5) + IN_A + note("C5", 2.5)], [5, 5 / 3, 10 / 3, 10 / 3]],
    // 2 + 4 quarters: beats are halves, of which 60 go to the minute.
    ["alla breve", [start(note("C5", 2) + rest(2), metronome("half", "60"), "2/2"), rest(4), IN_A + note("C5", 4)], [6, 1.5, 3, 3]],
    // 1 of 4, 3 of 3, 2 of 2, 3/2 of 3 quarters (three of the six eighths: one dotted beat).
    ["through changing meters", [start(note("C5", 3) + rest(1), QUARTER_60), meter("3/4") + rest(3), meter("2/4") + rest(2), meter("6/8") + rest(1.5) + IN_A + note("C5", 1.5)], [7.5, 2.75, 7, 7.5]],
    // 2 quarters at 60 and 4 at 120: 2 + 2 s.
    ["through a new tempo", [start(note("C5", 2) + rest(2), QUARTER_60), metronome("quarter", "120") + rest(4), IN_A + note("C5", 4)], [6, 1.5, 6, 4]],
    // A triplet: 1/3 of a quarter.
    ["of a triplet eighth", [start(note("C5", 2 / 3) + rest(1 / 3) + IN_A + note("C5", 3), QUARTER_60)], [1 / 3, 1 / 12, 1 / 3, 1 / 3]],
  ] as const)("%s", (_, bars, [quarters, inBars, beats, seconds]) => {
    const { rest: silence } = onlyChange(bars);
    expect(toNumber(silence.quarters)).toBeCloseTo(quarters, 12);
    expect(silence.bars).toBeCloseTo(inBars, 12);
    expect(silence.beats).toBeCloseTo(beats, 12);
    expect(silence.seconds.likely).toBeCloseTo(seconds, 9);
    // A printed number may be 6 % off either way: an assumption (common practice, no source).
    expect(silence.seconds.short).toBeCloseTo(seconds / 1.06, 9);
    expect(silence.seconds.long).toBeCloseTo(seconds / 0.94, 9);
  });

  it("ends where it begins when there is no rest", () => {
    const change = onlyChange([start(note("C5", 4)), IN_A + note("C5", 4)]);
    expect(change).toMatchObject({
      leave: { barLabel: "1", atBarEnd: true },
      enter: { barLabel: "2", beat: 1 },
      rest: { bars: 0, beats: 0, seconds: { short: 0, likely: 0, long: 0 } },
      lookUp: { bars: 0 },
      verdict: "impossible",
    });
    // The B-flat/A change takes 3.5 s by the usual figures.
    expect(change.lookUp.seconds).toBeCloseTo(-3.5, 9);
    expect(change.advice[0]?.kind).toBe("not-playable-as-printed");
  });
});

it("no rest is shorter than none, though two players stand on one staff", () => {
  const declared = (id: string, name: string) =>
    `<score-instrument id="${id}"><instrument-name>${name}</instrument-name></score-instrument>`;
  const on = (id: string) => `<instrument id="${id}"/>`;
  const extra = declared("I1", "Clarinet in Bb") + declared("I2", "Bass Clarinet");
  const both = note("C5", 4, on("I1")) + back(4) + note("C4", 4, VOICE_2 + on("I2"));
  const changes = changesOf([start(both), both], USUAL_PROFILE, [], { name: "Clarinets", extra });
  const rests = changes.map(({ rest: silence }) => toNumber(silence.quarters));
  expect(rests.filter((quarters) => quarters < 0)).toEqual([]);
});

it("a real case: clarinet 1 of a slow movement of the late 19th century at quarter = 52", () => {
  // mctl-symphony-dataset, folder dv2 (public MusicXML). "Muta in B" in bar 5: the last note ends
  // 16.5 quarters from the start, the next is in bar 11 at 40: 23.5 x 60 / 52 = 27.115 s.
  // "muta in A" in bar 41: from 158 to 202: 44 x 60 / 52 = 50.769 s. Bars 1 to 51 of four quarters
  // would make 204: one between is two quarters short, here bar 46.
  const special: Readonly<Record<number, string>> = {
    1: attributes({ meter: "4/4", transpose: A }) + metronome("quarter", "52") + note("C5", 4),
    5: note("C5", 0.5) + words("Muta in B") + rest(3.5),
    11: IN_B_FLAT + note("C5", 4),
    40: note("C5", 2) + rest(2),
    41: words("muta in A") + rest(4),
    46: meter("2/4") + rest(2),
    47: meter("4/4") + rest(4),
    52: IN_A + note("C5", 4),
  };
  const silent = (bar: number) => (bar > 5 && bar < 11) || bar > 40;
  const bars = Array.from({ length: 52 }, (_, k) => k + 1).map(
    (bar) => special[bar] ?? (silent(bar) ? rest(4) : note("C5", 4)),
  );
  const [first, second, ...more] = changesOf(bars, USUAL_PROFILE, [], { name: "Clarinet" });
  const sums = [first!, second!].map((change) => ({
    change: `${change.from} in ${change.leave.barLabel} > ${change.to} in ${change.enter.barLabel}`,
    quarters: [change.leave, change.enter].map(({ quarters }) => toNumber(quarters)),
    seconds: change.rest.seconds.likely.toFixed(3),
    evidence: evidenceOf(change),
  }));
  expect(more).toEqual([]);
  expect(sums).toEqual([
    {
      change: "clarinet-a in 5 > clarinet-bflat in 11",
      quarters: [16.5, 40],
      seconds: "27.115",
      evidence: "words in 5, transpose in 11",
    },
    {
      change: "clarinet-bflat in 40 > clarinet-a in 52",
      quarters: [158, 202],
      seconds: "50.769",
      evidence: "words in 41, transpose in 52",
    },
  ]);
});

it("a repeat makes a change that no page shows, and the written one comes twice", () => {
  // B-flat in bar 1, A in bar 2; back from the end of bar 2 to bar 1 without a rest.
  const bars = [start(note("C5", 2) + rest(2)), rest(2) + IN_A + note("C5", 2) + REPEAT];
  const lines = changesOf(bars).map((change) => {
    const [out, back] = [change.leave, change.enter].map((at) => `${at.barLabel} (${at.pass})`);
    const quarters = toNumber(change.rest.quarters);
    return `${change.number}: ${out} to ${back}, ${change.to}, ${quarters}, ${evidenceOf(change)}`;
  });
  expect(lines).toEqual([
    "1: 1 (1) to 2 (1), clarinet-a, 4, transpose in 2",
    "2: 2 (1) to 1 (2), clarinet-bflat, 0, repeat in 1",
    "3: 1 (2) to 2 (2), clarinet-a, 4, transpose in 2",
  ]);
});

it("a repeat back to a written change is the repeat's, since another note stands before it", () => {
  const forward = '<barline location="left"><repeat direction="forward"/></barline>';
  const repeated = [forward + IN_A + note("C5", 4), IN_B_FLAT + note("C5", 4) + REPEAT];
  expect(changesOf([start(note("C5", 4)), ...repeated]).map(evidenceOf)).toEqual([
    "transpose in 2",
    "transpose in 3",
    "repeat in 2",
    "transpose in 3",
  ]);
});
