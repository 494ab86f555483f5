import { describe, expect, it } from "vitest";
import type { Notice } from "../../src/model/finding.js";
import { attributes, note, rest, scoreXml, timelineOf, type BarXml } from "../support/score-xml.js";
import { showLengths } from "./show.js";

/** Reads the first of several parts, each given by its bars. */
function read(...parts: readonly (readonly BarXml[])[]) {
  return timelineOf(scoreXml(parts.map((bars) => ({ bars }))));
}
const kindsOf = (notices: readonly Notice[]) =>
  notices.map(({ kind, barLabel }) => `${kind} ${barLabel ?? ""}`);

const start = (meter: string, content: string) => attributes({ meter }) + content;
const time = (content: string) => `<attributes><time>${content}</time></attributes>`;
const beats = (count: string, type: number) =>
  `<beats>${count}</beats><beat-type>${type}</beat-type>`;
const SENZA_MISURA = `${attributes({})}${time("<senza-misura/>")}`;
const MULTIPLE_REST = `<attributes><measure-style><multiple-rest>3</multiple-rest></measure-style></attributes>`;
const BACK = `<barline><repeat direction="backward"/></barline>`;
const FULL = [start("4/4", note("C5", 4)), note("C5", 4), note("C5", 4), note("C5", 4)];

describe("meters", () => {
  // Quarters of the bar and of the beat the player counts (common practice, no source).
  it.each([
    ["3/4", beats("3", 4), "3", "1"],
    ["2/2", beats("2", 2), "4", "2"],
    ["6/8", beats("6", 8), "3", "3/2"],
    ["9/8", beats("9", 8), "9/2", "3/2"],
    ["6/4", beats("6", 4), "6", "3"],
    ["3/8", beats("3", 8), "3/2", "1/2"],
    ["5/8", beats("5", 8), "5/2", "1/2"],
    // 3/8 + 2/8
    ["3+2/8", beats("3+2", 8), "5/2", "1/2"],
    // 2 + 3/2
    ["2/4+3/8", beats("2", 4) + beats("3", 8), "7/2", "1/2"],
  ])("%s", (label, content, barQuarters, beatQuarters) => {
    const { bars, notices } = read([attributes({}) + time(content)]);
    expect(bars[0]?.meter.label).toBe(label);
    expect(bars[0]?.meter.barQuarters.toFraction()).toBe(barQuarters);
    expect(bars[0]?.meter.beatQuarters.toFraction()).toBe(beatQuarters);
    expect(notices).toEqual([]);
  });

  it.each([
    ["no number of beats", beats("many", 4), "many/4"],
    ["no such note value", beats("4", 0), "4/0"],
  ])("says that it cannot read %s, and goes on in the meter before", (_, content, text) => {
    const { bars, notices } = read([start("3/4", rest(3)), time(content) + rest(3)]);
    expect(bars[1]?.meter.label).toBe("3/4");
    expect(notices).toMatchObject([{ kind: "meter-unreadable", text, barLabel: "2" }]);
  });
});

/** Name, parts by their bars (the first is read), lengths in quarters, notices. */
type Row = readonly [string, readonly (readonly BarXml[])[], string, readonly string[]];

const LENGTHS: readonly Row[] = [
  ["full bars", [FULL], "4 4 4 4", []],
  [
    "bars under a multi-bar rest",
    [[start("3/4", MULTIPLE_REST + rest(3)), rest(3), rest(3)]],
    "3 3 3",
    [],
  ],
  ["empty bars", [[start("3/4", MULTIPLE_REST), "", ""]], "3 3 3", []],
  ["pick-up", [[start("4/4", note("C5", 1)), note("C5", 4), note("C5", 3)]], "1 4 3", []],
  [
    "bar divided by a repeat sign",
    [[start("4/4", rest(4)), rest(2) + BACK, rest(2), rest(4)]],
    "4 2 2 4",
    [],
  ],
  ["over-full", [[start("4/4", rest(4)), rest(5), rest(4)]], "4 5 4", ["bar-length 2"]],
  ["under-full", [[start("4/4", rest(4)), rest(3), rest(4)]], "4 3 4", ["bar-length 2"]],
  [
    "voice left incomplete, full bar in another part",
    [[start("4/4", rest(4)), note("C5", 1), rest(4)], FULL.slice(0, 3)],
    "4 4 4",
    [],
  ],
  [
    "nothing written, full bar in another part",
    [[start("4/4", ""), "", rest(4)], FULL.slice(0, 3)],
    "4 4 4",
    [],
  ],
  [
    "nothing written, pick-up in another part",
    [
      [start("4/4", ""), rest(4)],
      [start("4/4", note("C5", 1)), rest(4)],
    ],
    "1 4",
    [],
  ],
  [
    "first bar left incomplete, full bar in another part",
    [[start("4/4", note("C5", 1)), rest(4), rest(4)], FULL.slice(0, 3)],
    "4 4 4",
    [],
  ],
  [
    "two bars left incomplete, full bars in another part",
    [[start("4/4", rest(4)), note("C5", 1), note("C5", 3), rest(4)], FULL],
    "4 4 4 4",
    [],
  ],
  ["senza misura", [[SENZA_MISURA + rest(7), rest(2)]], "7 2", []],
  [
    "senza misura, longer in another part",
    [
      [SENZA_MISURA + rest(4), rest(4)],
      [SENZA_MISURA + note("C5", 12), rest(4)],
    ],
    "12 4",
    [],
  ],
  [
    "senza misura, nothing written, something in another part",
    [
      [SENZA_MISURA, rest(4)],
      [SENZA_MISURA + note("C5", 12), rest(4)],
    ],
    "12 4",
    [],
  ],
  [
    "no meter at all, as in 4/4",
    [[attributes({}) + rest(4), rest(1), rest(4)]],
    "4 1 4",
    ["bar-length 2"],
  ],
];

describe("lengths of bars", () => {
  it.each(LENGTHS)("%s", (_, parts, lengths, notices) => {
    const timeline = read(...parts);
    expect(showLengths(timeline)).toBe(lengths);
    expect(kindsOf(timeline.notices)).toEqual(notices);
  });

  it("adds them up on the page", () => {
    const { bars } = read([start("4/4", rest(1)), rest(4), start("6/8", rest(3)), rest(3)]);
    expect(bars.map(({ writtenQuarters }) => writtenQuarters.valueOf())).toEqual([0, 1, 5, 8]);
  });

  it("says how long a bar is and ought to be", () => {
    expect(read([start("3/4", rest(3)), rest(3.5), rest(3)]).notices).toMatchObject([
      { kind: "bar-length", quarters: 3.5, meterQuarters: 3, meter: "3/4", barLabel: "2" },
    ]);
  });
});

describe("numbers of bars", () => {
  it("are as printed, and counted where there are none", () => {
    const { bars } = read([
      { attributes: `number="0" implicit="yes"`, content: start("4/4", rest(1)) },
      { attributes: `number="1"`, content: rest(4) },
      { attributes: `number="X1"`, content: rest(4) },
      { attributes: ``, content: rest(4) },
    ]);
    expect(bars.map(({ barLabel }) => barLabel)).toEqual(["0", "1", "X1", "4"]);
  });

  it("mark pages and rehearsal letters", () => {
    const letter = `<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>`;
    const page = `<print new-page="yes"/>`;
    const { bars } = read([start("4/4", rest(4)), page + rest(4)], [FULL[0]!, letter + rest(4)]);
    expect(bars.map(({ newPage }) => newPage)).toEqual([false, true]);
    // The letter stands in the other part only.
    expect(bars.map(({ rehearsal }) => rehearsal)).toEqual([undefined, "B"]);
  });
});

it("a double bar closes the bar it is in, or the one before", () => {
  const double = (location: string) =>
    `<barline${location}><bar-style>light-light</bar-style></barline>`;
  const bars = [
    attributes({ meter: "4/4" }) + rest(4) + double(' location="right"'),
    rest(4),
    double(' location="left"') + rest(4),
    // The right is the default of MusicXML 4.0, <barline>.
    rest(4) + double(""),
    rest(2) + double(' location="middle"') + rest(2),
  ];
  expect(timelineOf(scoreXml([{ bars }])).bars.map(({ doubleBarline }) => doubleBarline)).toEqual([
    true,
    true,
    undefined,
    true,
    undefined,
  ]);
});
