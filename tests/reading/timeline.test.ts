import { describe, expect, it } from "vitest";
import { attributes, note, rest, scoreXml, timelineOf } from "../support/score-xml.js";
import { showNotes } from "./show.js";

const backup = (quarters: number) => `<backup><duration>${quarters * 240}</duration></backup>`;
const forward = (quarters: number) => `<forward><duration>${quarters * 240}</duration></forward>`;
const voice = (name: number) => `<voice>${name}</voice>`;
const tie = (...types: readonly string[]) => types.map((type) => `<tie type="${type}"/>`).join("");
const divisions = (text: string) => `<attributes><divisions>${text}</divisions></attributes>`;
const inChord = (xml: string) => xml.replace("<note>", "<note><chord/>");
const hidden = (xml: string) => xml.replace("<note>", `<note print-object="no">`);
const grace = (xml: string) =>
  xml.replace("<note>", "<note><grace/>").replace(/<duration>.*<\/duration>/, "");
const cue = (xml: string) => xml.replace("<note>", "<note><cue/>");
/** A note with its duration as written in the file, if any. */
const raw = (pitch: string, duration: string, inside = "") =>
  note(pitch, 0, inside).replace(
    "<duration>0</duration>",
    duration && `<duration>${duration}</duration>`,
  );
const TRIPLET = `<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>`;
const repeatSign = (type: string, bars = "") =>
  `<attributes><measure-style><measure-repeat type="${type}">${bars}</measure-repeat></measure-style></attributes>`;

function read(bars: readonly string[]) {
  const [first = "", ...others] = bars;
  return timelineOf(scoreXml([{ bars: [attributes({ meter: "4/4" }) + first, ...others] }]));
}

/** Name, bars of 4/4, notes as shown by `showNote`. */
type Row = readonly [string, readonly string[], readonly string[]];

const PLACES: readonly Row[] = [
  [
    "notes and rests follow each other",
    [note("C5", 1) + rest(1) + note("D5", 0.5) + rest(1.5), note("E5", 4)],
    ["C5 1:0+1", "D5 1:2+1/2", "E5 2:0+4"],
  ],
  [
    "backup and forward",
    [note("C5", 3) + rest(1) + backup(4) + forward(2.5) + note("A4", 1.5)],
    ["C5 1:0+3", "A4 1:5/2+3/2"],
  ],
  [
    "two voices",
    [note("C5", 4, voice(1)) + backup(4) + note("E4", 2, voice(2)) + note("F4", 2, voice(2))],
    ["C5 1:0+4", "E4 1:0+2", "F4 1:2+2"],
  ],
  [
    "a note after a chord begins where the chord ends",
    [note("G5", 2) + inChord(note("E5", 2)) + inChord(note("C5", 2)) + note("D5", 2)],
    ["G5 E5 C5 1:0+2", "D5 1:2+2"],
  ],
  [
    "a chord written from the bottom",
    [note("C5", 4) + inChord(note("E5", 4)) + inChord(note("G5", 4))],
    ["G5 E5 C5 1:0+4"],
  ],
  [
    "a tie over two barlines",
    [
      rest(3) + note("C5", 1, tie("start")),
      note("C5", 4, tie("stop", "start")),
      note("C5", 1, tie("stop")) + rest(3),
    ],
    ["C5~ 1:3+1", "~C5~ 2:0+4", "~C5 3:0+1"],
  ],
  [
    "a chord of which one note is tied is attacked anew",
    [
      note("E5", 4, tie("start")) + inChord(note("C5", 4)),
      note("E5", 4, tie("stop")) + inChord(note("D5", 4)),
    ],
    ["E5 C5~ 1:0+4", "E5 D5 2:0+4"],
  ],
  ["a sign for letting ring is no tie", [note("C5", 4, tie("let-ring"))], ["C5 1:0+4"]],
  [
    // 240 divisions: 80 is a third of a quarter, 48 a fifth
    "triplets and quintuplets without a notation",
    [raw("C5", "80") + raw("D5", "80") + raw("E5", "80") + raw("F5", "48") + raw("G5", "48")],
    ["C5 1:0+1/3", "D5 1:1/3+1/3", "E5 1:2/3+1/3", "F5 1:1+1/5", "G5 1:6/5+1/5"],
  ],
  [
    "nothing is heard of an unpitched note but its place",
    [rest(2) + note("C5", 2).replace(/<pitch>.*<\/pitch>/, "<unpitched/>")],
    ["no pitch 1:2+2"],
  ],
];

const NOT_PLAYED: readonly Row[] = [
  [
    "grace notes before the beat stand on it and take no time",
    [rest(2) + grace(note("A4", 0)) + grace(note("B4", 0)) + note("C5", 2)],
    ["A4 1:2+0 grace", "B4 1:2+0 grace", "C5 1:2+2"],
  ],
  [
    "a grace note after the note stands at the end of the bar",
    [note("C5", 4) + grace(note("D5", 0)), note("E5", 4)],
    ["C5 1:0+4", "D5 1:4+0 grace", "E5 2:0+4"],
  ],
  [
    "a chord of grace notes",
    [grace(note("E5", 0)) + inChord(grace(note("C5", 0))) + note("D5", 4)],
    ["E5 C5 1:0+0 grace", "D5 1:0+4"],
  ],
  ["a cue note by its element", [cue(note("C5", 4))], ["C5 1:0+4 cue"]],
  ["a cue note by its size", [note("C5", 4, `<type size="cue">whole</type>`)], ["C5 1:0+4 cue"]],
  [
    "a grace note of a cue",
    [grace(note("B4", 0, `<type size="grace-cue">eighth</type>`)) + cue(note("C5", 4))],
    ["B4 1:0+0 grace cue", "C5 1:0+4 cue"],
  ],
  ["a large note is none", [note("C5", 4, `<type size="large">whole</type>`)], ["C5 1:0+4"]],
  ["a hidden note", [hidden(note("C5", 2)) + note("D5", 2)], ["C5 1:0+2 hidden", "D5 1:2+2"]],
  [
    "a chord with one visible note is played",
    [hidden(note("E5", 4)) + inChord(note("C5", 4))],
    ["E5 C5 1:0+4"],
  ],
];

const NUMBERS: readonly Row[] = [
  [
    // 1.5 of 4 divisions is 3/8 of a quarter; 2.25 of 4 is 9/16
    "decimal durations",
    [divisions("4") + raw("C5", "1.5") + raw("D5", "2.25")],
    ["C5 1:0+3/8", "D5 1:3/8+9/16"],
  ],
  // 1 of 2.5 divisions is 2/5 of a quarter
  ["decimal divisions", [divisions("2.5") + raw("C5", "1")], ["C5 1:0+2/5"]],
  [
    // 8 of 8, then 6 of 2, then 3 of 3
    "divisions that change in mid-bar and at a bar",
    [
      divisions("8") + raw("C5", "8") + divisions("2") + raw("D5", "6"),
      divisions("3") + raw("E5", "3"),
    ],
    ["C5 1:0+1", "D5 1:1+3", "E5 2:0+1"],
  ],
  [
    // Blanks around numbers, as in files broken into lines
    "numbers with blanks around them",
    [divisions(" 4\n") + raw("C5", "\n  8 ")],
    ["C5 1:0+2"],
  ],
];

describe.each([
  ["places", PLACES],
  ["what is not played", NOT_PLAYED],
  ["numbers", NUMBERS],
])("reading notes: %s", (_, rows) => {
  it.each(rows)("%s", (_name, bars, notes) => {
    expect(showNotes(read(bars))).toEqual(notes);
  });
});

describe("reading notes", () => {
  it("keeps voice, staff and instrument", () => {
    const { notes } = read([
      note("C5", 4, `<instrument id="P1-I2"/><voice>3</voice><staff>2</staff>`),
    ]);
    expect(notes).toMatchObject([{ voice: "3", staff: 2, scoreInstrumentId: "P1-I2" }]);
  });

  it("reads a duration of many decimals as nearly as it is given", () => {
    // A third of a quarter as programs print floating-point numbers.
    const { notes } = read([divisions("1") + raw("C5", "0.3333333333333333")]);
    expect(notes[0]?.duration.valueOf()).toBeCloseTo(1 / 3, 9);
  });

  it("takes missing durations from the note values, and says so", () => {
    // Dotted quarter 3/2; eighth of a triplet 1/3; no value at all: nothing.
    const timeline = read([
      raw("C5", "", "<type>quarter</type><dot/>") +
        raw("D5", "", `<type>eighth</type>${TRIPLET}`) +
        raw("E5", "") +
        rest(4 - 3 / 2 - 1 / 3),
    ]);
    expect(showNotes(timeline)).toEqual(["C5 1:0+3/2", "D5 1:3/2+1/3", "E5 1:11/6+0"]);
    expect(timeline.notices).toMatchObject([{ kind: "missing-duration", count: 3 }]);
  });

  it.each([
    ["a pitch that is none", note("C5", 4).replace("<step>C", "<step>X"), "pitch"],
    ["a duration that is no number", raw("C5", "long"), "duration"],
    ["divisions of zero", divisions("0") + note("C5", 4), "divisions"],
  ])("says what it cannot read: %s", (_, bar, element) => {
    expect(read([bar]).notices).toMatchObject([{ kind: "odd-number", element }]);
  });

  it("says that a backup leads to before the bar, and begins at the bar", () => {
    const timeline = read([note("C5", 4) + backup(5) + note("E4", 4)]);
    expect(showNotes(timeline)).toEqual(["C5 1:0+4", "E4 1:0+4"]);
    expect(timeline.notices).toMatchObject([{ kind: "backup-before-bar", barLabel: "1" }]);
  });

  it("fills in bars left empty under a sign for repeating one bar", () => {
    // MusicXML 4.0, <measure-repeat>: it stops at the first bar without the sign.
    const model = note("C5", 1) + rest(2) + note("D5", 1);
    const timeline = read([model, repeatSign("start", "1"), "", repeatSign("stop") + rest(4)]);
    expect(showNotes(timeline)).toEqual([
      ...["C5 1:0+1", "D5 1:3+1"],
      ...["C5 2:0+1", "D5 2:3+1"],
      ...["C5 3:0+1", "D5 3:3+1"],
    ]);
    expect(timeline.notices).toMatchObject([{ kind: "measure-repeat", count: 2 }]);
  });

  it("fills in bars left empty under a sign for repeating two bars", () => {
    const timeline = read([note("C5", 4), note("D5", 4), repeatSign("start", "2"), ""]);
    expect(showNotes(timeline)).toEqual(["C5 1:0+4", "D5 2:0+4", "C5 3:0+4", "D5 4:0+4"]);
  });

  it("believes what is written out under such a sign", () => {
    const timeline = read([note("C5", 4), repeatSign("start", "1") + note("E5", 4), rest(4)]);
    expect(showNotes(timeline)).toEqual(["C5 1:0+4", "E5 2:0+4"]);
    expect(timeline.notices).toEqual([]);
  });
});
