import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
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
} from "../support/score-xml.js";

/** A quarter is a second at the likely tempo. */
const START = attributes({ meter: "4/4", transpose: B_FLAT }) + metronome("quarter", "60");
const PLAYED = note("C5", 4);
const SILENT = rest(4);
const TIED = '<tie type="start"/>';
const TIED_FROM = '<tie type="stop"/>';
const VOICE_2 = "<voice>2</voice>";

function grace(pitch: string): string {
  const plain = note(pitch, 0).replace("<duration>0</duration>", "");
  return plain.replace("<note>", "<note><grace/>");
}

function back(quarters: number): string {
  return `<backup><duration>${quarters * DIVISIONS}</duration></backup>`;
}

function reportOn(bars: readonly string[]) {
  const timeline = timelineOf(scoreXml([{ bars }]));
  return analysePart(timeline, USUAL_PROFILE, { file: "test.musicxml", title: "", movement: "" });
}

/** Lines such as `bar 2 beat 3 after bar 1 beat 2: 5`, in quarters of rest. */
function entriesOf(bars: readonly string[]): readonly string[] {
  return reportOn(bars).entries.map(({ at, leave, rest: silence }) => {
    const from = leave ? `bar ${leave.barLabel} beat ${leave.beat}` : "nothing";
    return `bar ${at.barLabel} beat ${at.beat} after ${from}: ${toNumber(silence.quarters)}`;
  });
}

describe("an entry after a rest", () => {
  it.each([1 / 64, 1 / 16, 1 / 5, 1 / 3, 1 / 2, 1, 1.5, 2, 2.75])("of %d quarters", (quarters) => {
    const bars = [START + note("C5", 1) + rest(quarters) + note("C5", 3 - quarters)];
    const { entries } = reportOn(bars);
    expect(entries).toHaveLength(1);
    expect(toNumber(entries[0]!.rest.quarters)).toBeCloseTo(quarters, 12);
    expect(entries[0]!.rest.seconds.likely).toBeCloseTo(quarters, 9);
  });

  it.each([1, 2, 10, 100])("of %i bars", (count) => {
    const silent = Array.from({ length: count }, () => SILENT);
    const { entries } = reportOn([START + PLAYED, ...silent, PLAYED]);
    expect(entries).toHaveLength(1);
    expect(entries[0]).toMatchObject({
      leave: { barLabel: "1", atBarEnd: true },
      at: { barLabel: String(count + 2), beat: 1 },
      rest: { bars: count, beats: 4 * count, tempoSource: "metronome" },
      graceNotes: 0,
    });
    expect(entries[0]!.rest.seconds.likely).toBeCloseTo(4 * count, 9);
  });

  it("on whatever instrument, with its seconds from the start", () => {
    const inA = attributes({ transpose: A });
    const { entries } = reportOn([START + PLAYED, SILENT, inA + PLAYED, rest(2) + note("C5", 2)]);
    expect(entries.map(({ instrument, at }) => [instrument, at.seconds.likely])).toEqual([
      ["clarinet-a", 8],
      ["clarinet-a", 14],
    ]);
  });
});

describe("the first entry", () => {
  it("is counted from the start of the piece", () => {
    expect(entriesOf([START + SILENT, rest(2) + note("C5", 2)])).toEqual([
      "bar 2 beat 3 after nothing: 6",
    ]);
  });

  it("is none when the piece begins with it", () => {
    expect(entriesOf([START + PLAYED, PLAYED])).toEqual([]);
  });

  it("after a pick-up bar is counted from the pick-up", () => {
    expect(entriesOf([START + rest(1), PLAYED])).toEqual(["bar 2 beat 1 after nothing: 1"]);
  });
});

// prettier-ignore
it.each<[string, readonly string[], readonly string[]]>([
  ["while another voice plays", [START + note("C5", 1) + rest(2) + note("C5", 1) + back(4) + note("E4", 4, VOICE_2)], []],
  // Voice 1 ends at beat 2, voice 2 at beat 3; voice 2 enters first, at beat 4.
  ["of all voices", [START + note("C5", 1) + rest(3) + back(4) + note("E4", 2, VOICE_2) + rest(1, VOICE_2) + note("E4", 1, VOICE_2), PLAYED], ["bar 1 beat 4 after bar 1 beat 3: 1"]],
  // The long note of voice 1 ends after the last one begun, at the end of bar 1.
  ["after the voice that ends last", [START + note("C5", 4) + back(4) + note("E4", 3, VOICE_2) + rest(1, VOICE_2), rest(1) + note("C5", 3)], ["bar 2 beat 2 after bar 1 beat 5: 1"]],
  ["inside a tied note", [START + note("C5", 4, TIED), note("C5", 4, TIED_FROM)], []],
  ["after a tied note", [START + note("C5", 4, TIED), note("C5", 1, TIED_FROM) + rest(3), PLAYED], ["bar 3 beat 1 after bar 2 beat 2: 3"]],
  ["over cue notes", [START + PLAYED, PLAYED.replace("<note>", "<note><cue/>"), PLAYED], ["bar 3 beat 1 after bar 1 beat 5: 4"]],
  ["over hidden notes", [START + PLAYED, PLAYED.replace("<note>", '<note print-object="no">'), PLAYED], ["bar 3 beat 1 after bar 1 beat 5: 4"]],
  ["without a rest, at a change of instrument", [START + PLAYED, attributes({ transpose: A }) + PLAYED], []],
])("a rest %s", (_, bars, expected) => {
  expect(entriesOf(bars)).toEqual(expected);
});

it("entries come back with a repeat, by the time through", () => {
  const again = '<barline location="right"><repeat direction="backward"/></barline>';
  const { entries } = reportOn([START + rest(2) + note("C5", 2), PLAYED + again]);
  expect(entries.map(({ at, leave }) => [at.barLabel, at.pass, leave?.pass])).toEqual([
    ["1", 1, undefined],
    ["1", 2, 1],
  ]);
});

describe("grace notes", () => {
  // 0.1 s each: an assumption (common practice, no source).
  it.each([
    [0, 4],
    [1, 3.9],
    [3, 3.7],
  ])("%i before the entry leave %d s of a bar's rest", (count, seconds) => {
    const { entries, notices } = reportOn([
      START + PLAYED,
      SILENT,
      grace("B4").repeat(count) + PLAYED,
    ]);
    expect(entries).toHaveLength(1);
    expect(entries[0]!.graceNotes).toBe(count);
    expect(entries[0]!.rest.seconds.likely).toBeCloseTo(seconds, 9);
    // 4 s at 60, short and long 6 % off (printed tempo), less the same 0.1 s.
    expect(entries[0]!.rest.seconds.short).toBeCloseTo(4 / 1.06 - count / 10, 9);
    expect(entries[0]!.rest.seconds.long).toBeCloseTo(4 / 0.94 - count / 10, 9);
    expect(notices.filter(({ kind }) => kind === "grace-before-entry")).toHaveLength(count && 1);
  });

  it("never make a rest shorter than nothing", () => {
    const { entries } = reportOn([
      START + note("C5", 1) + rest(0.25) + grace("B4").repeat(6) + note("C5", 2.75),
    ]);
    // 0.25 s, less 0.6 s.
    expect(entries[0]!.rest.seconds.likely).toBe(0);
  });

  it("before the barline lead to the note after it", () => {
    const { entries } = reportOn([START + PLAYED, SILENT + grace("B4"), PLAYED]);
    expect(entries).toMatchObject([{ at: { barLabel: "3", beat: 1 }, graceNotes: 1 }]);
  });

  it("that end a trill make no entry, and are none of the next", () => {
    const { entries } = reportOn([START + PLAYED + grace("B4") + grace("C5"), SILENT, PLAYED]);
    expect(entries).toMatchObject([{ at: { barLabel: "3" }, graceNotes: 0 }]);
  });
});
