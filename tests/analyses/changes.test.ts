import { describe, expect, it } from "vitest";
import { changeoverTime, changeVerdict } from "../../src/analyses/changeover.js";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Verdict } from "../../src/model/finding.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { ChangeoverProfile } from "../../src/model/profile.js";
import type { InstrumentChange } from "../../src/model/report.js";
import { toNumber } from "../../src/theory/fraction.js";
import {
  A,
  attributes,
  B_FLAT,
  DIVISIONS,
  metronome,
  note,
  rest,
  scoreXml,
  timelineOf,
  words,
  type PartXml,
} from "../support/score-xml.js";

const IN_A = attributes({ transpose: A });
const IN_B_FLAT = attributes({ transpose: B_FLAT });
/** A printed range, whose upper end is the fast tempo as it stands: a quarter is a second. */
const FAST_60 = metronome("quarter", "50-60");
const FERMATA = "<notations><fermata/></notations>";
const NEW_PAGE = '<print new-page="yes"/>';
const VOICE_2 = "<voice>2</voice>";
const REPEAT = '<barline location="right"><repeat direction="backward"/></barline>';

/** The first bar of a part that begins on the B-flat clarinet. */
function start(content: string, tempo = FAST_60, meter = "4/4"): string {
  return attributes({ meter, transpose: B_FLAT }) + tempo + content;
}

function meter(meter: string): string {
  return attributes({ meter });
}

function back(quarters: number): string {
  return `<backup><duration>${quarters * DIVISIONS}</duration></backup>`;
}

/** The usual figures, but so many seconds from the B-flat clarinet to the A. */
function taking(seconds: number): ChangeoverProfile {
  return { ...USUAL_PROFILE, pairSeconds: { "clarinet-bflat>clarinet-a": seconds } };
}

function changesOf(
  bars: readonly string[],
  profile: ChangeoverProfile = USUAL_PROFILE,
  others: readonly (readonly string[])[] = [],
  part: Partial<PartXml> = {},
): readonly InstrumentChange[] {
  const parts = [bars, ...others].map((each) => ({ ...part, bars: each }));
  const source = { file: "test.musicxml", title: "", movement: "" };
  return analysePart(timelineOf(scoreXml(parts)), profile, source).changes;
}

function onlyChange(...args: Parameters<typeof changesOf>): InstrumentChange {
  const [change, ...more] = changesOf(...args);
  expect(more).toEqual([]);
  return change!;
}

/** Such as `words in 5, transpose in 11`. */
function evidenceOf({ evidence }: InstrumentChange): string {
  return evidence.map(({ kind, barLabel }) => `${kind} in ${barLabel}`).join(", ");
}

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

// BUG: the change from the upper player to the lower is given a rest of -4 quarters.
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

describe("the changeover", () => {
  // Sums of the usual figures, which are assumptions (common practice, no source).
  // prettier-ignore
  it.each<[InstrumentId, InstrumentId, number, number, string]>([
    // 0.7 + 1.5 + 0.7 + 0.6
    ["clarinet-bflat", "clarinet-a", 0, 3.5, "put-down move-mouthpiece pick-up settle"],
    // No mouthpiece of the C clarinet is shared: 0.7 + 0.7 + 0.6
    ["clarinet-bflat", "clarinet-c", 0, 2, "put-down pick-up settle"],
    // 0.7 + 2 + 1.2, and 1.5 + 0.7 + 0.6 back
    ["clarinet-bflat", "bass-clarinet-bflat", 0, 3.9, "put-down pick-up settle"],
    ["bass-clarinet-bflat", "clarinet-bflat", 0, 2.8, "put-down pick-up settle"],
    // The usual 1 + 1 + 1, and two pages of 1.5
    ["flute", "piccolo", 0, 3, "put-down pick-up settle"],
    ["flute", "piccolo", 2, 6, "put-down pick-up settle page-turn"],
  ])("%s to %s, %i pages: %d s", (from, to, pages, seconds, actions) => {
    const time = changeoverTime(USUAL_PROFILE, from, to, pages);
    expect(time.seconds).toBeCloseTo(seconds, 9);
    expect(time.steps.map(({ action }) => action).join(" ")).toBe(actions);
    expect(time.steps.reduce((sum, step) => sum + step.seconds, 0)).toBeCloseTo(seconds, 9);
  });

  it("takes what the player has timed as a whole, but turns the page", () => {
    const time = changeoverTime(taking(2.25), "clarinet-bflat", "clarinet-a", 1);
    expect(time.seconds).toBe(3.75);
    expect(time.steps).toEqual([
      { action: "whole-change", seconds: 2.25 },
      { action: "page-turn", seconds: 1.5 },
    ]);
    const back = changeoverTime(taking(2.25), "clarinet-a", "clarinet-bflat", 0);
    expect(back.seconds).toBeCloseTo(3.5, 9);
  });

  it("moves no mouthpiece where each clarinet has its own", () => {
    const own = { ...USUAL_PROFILE, sharedMouthpiece: [] };
    // 0.7 + 0.7 + 0.6
    expect(changeoverTime(own, "clarinet-bflat", "clarinet-a", 0).seconds).toBeCloseTo(2, 9);
  });

  const end = IN_A + note("C5", 4);
  // prettier-ignore
  it.each<[string, readonly string[], number]>([
    ["in the rest", [start(note("C5", 4)), rest(4), NEW_PAGE + rest(4), end], 1],
    ["where the rest begins", [start(note("C5", 4)), NEW_PAGE + rest(4), end], 1],
    ["at the entry", [start(note("C5", 4)), rest(4), NEW_PAGE + end], 1],
    ["twice", [start(note("C5", 4)), NEW_PAGE + rest(4), NEW_PAGE + rest(4), end], 2],
    ["before the last note", [start(note("C5", 4)), NEW_PAGE + note("C5", 4), rest(4), end], 0],
    ["after the entry", [start(note("C5", 4)), rest(4), end, NEW_PAGE + note("C5", 4)], 0],
  ])("turns a page %s in a part, never in a score", (_, bars, turns) => {
    const alone = onlyChange(bars).needed;
    const inScore = onlyChange(bars, USUAL_PROFILE, [bars.map(() => rest(4))]).needed;
    const turning = alone.steps.find(({ action }) => action === "page-turn");
    expect(turning?.seconds ?? 0).toBeCloseTo(1.5 * turns, 9);
    expect(alone.seconds - inScore.seconds).toBeCloseTo(1.5 * turns, 9);
  });

  // BUG: a repeat that leads back over a page turn needs the page turned back; none is counted.
  it("turns a page back at a repeat", () => {
    const bars = [start(note("C5", 4)), rest(4), NEW_PAGE + end + REPEAT];
    const actions = changesOf(bars)[1]?.needed.steps.map(({ action }) => action);
    expect(actions).toContain("page-turn");
  });
});

describe("the verdict", () => {
  // The limits are assumptions (common practice, no source): 1.5 x and 3 x the seconds needed,
  // and a bar to look up. Here 4 s are needed: 4, 6 and 12 s.
  it.each<[number, number, Verdict]>([
    [3.99, 0, "impossible"],
    [4, 0, "tight"],
    [5.99, 1, "tight"],
    [6, 0.99, "tight"],
    [6, 1, "workable"],
    [11.99, 1, "workable"],
    [12, 1, "ample"],
    [12, 0.99, "tight"],
    [1000, 0, "tight"],
  ])("%d s of rest, %d bars to look up: %s", (seconds, bars, verdict) => {
    expect(changeVerdict(seconds, 4, bars)).toBe(verdict);
  });

  // In 1/4, so that the bar to look up is never what decides; at the fast tempo, 60.
  it.each<[number, Verdict, number]>([
    [3, "impossible", -1],
    [4, "tight", 0],
    [5, "tight", 1],
    [6, "workable", 2],
    [11, "workable", 7],
    [12, "ample", 8],
  ])("%i quarters of rest: %s, %i bars to look up", (quarters, verdict, lookUp) => {
    const silent = Array.from({ length: quarters }, () => rest(1));
    const bars = [start(note("C5", 1), FAST_60, "1/4"), ...silent, IN_A + note("C5", 1)];
    const change = onlyChange(bars, taking(4));
    expect(change.verdict).toBe(verdict);
    expect(change.lookUp.seconds).toBeCloseTo(lookUp, 9);
    expect(change.lookUp.bars).toBeCloseTo(Math.max(0, lookUp), 9);
  });

  // BUG: 0.7 + 1.5 + 0.7 + 0.6 is 3.5000000000000004 in floating point.
  it("a rest of exactly the 3.5 s that the usual figures need is not impossible", () => {
    const bars = [start(note("C5", 0.5) + rest(3.5)), IN_A + note("C5", 4)];
    expect(onlyChange(bars).verdict).toBe("tight");
  });
});

describe("the time to look up", () => {
  it("is counted in the bars it lies in", () => {
    // Needed 4 s from the end of bar 1, so ready at the second beat of bar 3. From there two beats
    // of 3, bar 4, and two beats of the 5 before the entry: 2/3 + 1 + 2/5 bars, 2 + 2 + 2 s.
    const bars = [
      start(note("C5", 4)),
      meter("3/4") + rest(3),
      rest(3),
      meter("2/4") + rest(2),
      meter("5/4") + rest(2) + IN_A + note("C5", 3),
    ];
    const { lookUp } = onlyChange(bars, taking(4));
    expect(lookUp.bars).toBeCloseTo(2 / 3 + 1 + 2 / 5, 9);
    expect(lookUp.seconds).toBeCloseTo(6, 9);
  });

  // BUG: the three grace notes are taken off the seconds, but not off the bars.
  it("is shorter by the grace notes before the entry", () => {
    const grace = "<note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>";
    const bars = [start(note("C5", 4)), rest(4), rest(4), IN_A + grace.repeat(3) + note("C5", 4)];
    // 8 - 3 x 0.1 - 4 s, in a bar of 4 s.
    const { lookUp } = onlyChange(bars, taking(4));
    expect(lookUp.seconds).toBeCloseTo(3.7, 9);
    expect(lookUp.bars).toBeCloseTo(3.7 / 4, 9);
  });
});

describe("hazards", () => {
  const SIGNS = {
    "meter-change": meter("3/4") + rest(3),
    "tempo-change": metronome("quarter", "80-90") + rest(4),
    fermata: rest(4, FERMATA),
  } as const;
  const kinds = Object.keys(SIGNS) as (keyof typeof SIGNS)[];
  /** The hands are busy from beat 3 of bar 1; the sign stands where bar 2 begins, 2 s later. */
  const hazardsOf = (
    kind: keyof typeof SIGNS,
    seconds: number,
    first = note("C5", 2) + rest(2),
  ) => {
    const bars = [start(first), SIGNS[kind], rest(4), rest(4), rest(4), IN_A + note("C5", 4)];
    return onlyChange(bars, taking(seconds)).hazards;
  };

  it.each(kinds)("a %s in the blind seconds, but not after them", (kind) => {
    const hazard = { kind, at: { barLabel: "2", beat: 1 } };
    expect(hazardsOf(kind, 4)).toMatchObject([hazard]);
    expect(hazardsOf(kind, 2)).toMatchObject([hazard]);
    expect(hazardsOf(kind, 1.99)).toEqual([]);
  });

  it("says from what to what", () => {
    expect(hazardsOf("meter-change", 4)).toMatchObject([{ from: "4/4", to: "3/4" }]);
    // The middles of the printed ranges.
    expect(hazardsOf("tempo-change", 4)).toMatchObject([{ from: 55, to: 85 }]);
  });

  it("what begins with the rest was seen coming, but for a fermata, whose end is not seen", () => {
    const found = kinds.map((kind) => hazardsOf(kind, 4, note("C5", 4)).length);
    expect(found).toEqual([0, 0, 1]);
  });

  it("a sign at the entry is one where the hands are not ready before", () => {
    const entry = metronome("quarter", "80-90") + IN_A + note("C5", 4);
    const bars = [start(note("C5", 4)), rest(4), entry];
    const found = [5, 4, 3.99].map((seconds) => onlyChange(bars, taking(seconds)).hazards);
    expect(found.map((each) => each.map(({ kind }) => kind))).toEqual([
      ["tempo-change", "late-look-up"],
      ["tempo-change", "late-look-up"],
      ["late-look-up"],
    ]);
  });

  // 8 quarters of rest in bars of four: a bar is left for 4 s, less for 4.01 s.
  it.each([
    [4, 1, []],
    [4.01, 0.9975, [{ kind: "late-look-up", at: { barLabel: "4" } }]],
  ] as const)("a late look-up after %d s", (seconds, lookUpBars, hazards) => {
    const bars = [start(note("C5", 4)), rest(4), rest(4), IN_A + note("C5", 4)];
    const change = onlyChange(bars, taking(seconds));
    expect(change.lookUp.bars).toBeCloseTo(lookUpBars, 9);
    expect(change.hazards).toMatchObject(hazards);
    expect(change.advice.map(({ kind }) => kind)).toEqual(hazards.map(() => "ask-for-cue"));
  });

  const held = [
    start(note("C5", 2) + note("C5", 2, FERMATA)),
    rest(4),
    rest(4),
    IN_A + note("C5", 4),
  ];
  it("a fermata on the last note is told with the rest, which it lengthens by nobody knows what", () => {
    const { rest: silence } = onlyChange(held, taking(2));
    expect(silence.fermatas).toMatchObject([{ barLabel: "1", beat: 3 }]);
    expect(silence.seconds.short).toBeCloseTo(8, 9);
  });

  // BUG: the player still plays, and watches, under a fermata on the last note.
  it("a fermata on the last note is no hazard: the hands are not busy yet", () => {
    expect(onlyChange(held, taking(2)).hazards).toEqual([]);
  });

  it("a fermata on the entry lengthens no rest", () => {
    const entry = rest(2) + IN_A + note("C5", 2, FERMATA);
    expect(onlyChange([start(note("C5", 4)), entry]).rest.fermatas).toEqual([]);
  });

  // BUG: only the note begun last is looked at, though the other is held, and watched, as long.
  it("a fermata on a note held under the last is told with the rest", () => {
    const under = back(4) + note("C4", 2, VOICE_2) + note("D4", 2, VOICE_2);
    const bars = [start(note("C5", 4, FERMATA) + under), rest(4), IN_A + note("C5", 4)];
    expect(onlyChange(bars).rest.fermatas).toMatchObject([{ barLabel: "1", beat: 1 }]);
  });
});
