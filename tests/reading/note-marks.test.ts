import { describe, expect, it } from "vitest";
import { playerPart } from "../../src/analyses/player-part.js";
import type { NoteMarks } from "../../src/model/score.js";
import { attributes, note, rest, scoreXml, timelineOf, words } from "../support/score-xml.js";
import { showPosition } from "./show.js";

const slur = (...types: readonly string[]) =>
  types.map((type, k) => `<slur type="${type}" number="${k + 1}"/>`).join("");
const notations = (content: string) => `<notations>${content}</notations>`;
const articulations = (...names: readonly string[]) =>
  `<articulations>${names.map((name) => `<${name}/>`).join("")}</articulations>`;
const ornaments = (content: string) => `<ornaments>${content}</ornaments>`;
const line = (type: string) => `<wavy-line type="${type}"/>`;
const accidental = (text: string) => `<accidental-mark>${text}</accidental-mark>`;
const inChord = (xml: string) => xml.replace("<note>", "<note><chord/>");

function read(...bars: readonly string[]) {
  const [first = "", ...others] = bars;
  return timelineOf(scoreXml([{ bars: [attributes({ meter: "4/4" }) + first, ...others] }]));
}

/** The marks of each note of a bar. */
function marksOf(...notes: readonly string[]): readonly (NoteMarks | undefined)[] {
  return read(notes.join("")).notes.map(({ marks }) => marks);
}

describe("a note without marks", () => {
  // A tie and a tuplet are told otherwise; a fermata has a place of its own.
  it.each([
    ["has no notations", ""],
    ["has notations of other kinds", notations(`<tied type="start"/><tuplet type="start"/>`)],
    ["has a fermata", notations("<fermata/>")],
    ["has a breath mark", notations(articulations("breath-mark"))],
    ["has an unknown articulation", notations(articulations("stress", "other-articulation"))],
    ["has an unknown ornament", notations(ornaments("<other-ornament/><constructor/>"))],
  ])("%s", (_, inside) => {
    const [only] = read(note("C5", 4, inside)).notes;
    expect(only).not.toHaveProperty("marks");
  });
});

describe("slurs", () => {
  // MusicXML 4.0, <slur>: "continue" is for line breaks.
  it.each([
    ["one that begins", slur("start"), { slurStarts: 1 }],
    ["one that ends", slur("stop"), { slurStops: 1 }],
    ["one that ends and one that begins", slur("stop", "start"), { slurStarts: 1, slurStops: 1 }],
    ["two that begin", slur("start", "start"), { slurStarts: 2 }],
    ["one that goes on", slur("continue"), undefined],
  ])("%s", (_, xml, marks) => {
    expect(marksOf(note("C5", 4, notations(xml)))).toEqual([marks]);
  });

  it("are counted over several <notations> of a note", () => {
    const inside = notations(slur("stop")) + notations(slur("start"));
    expect(marksOf(note("C5", 4, inside))).toEqual([{ slurStarts: 1, slurStops: 1 }]);
  });

  it("begin at grace notes too", () => {
    const grace = note("D5", 1, notations(slur("start")))
      .replace("<note>", "<note><grace/>")
      .replace(/<duration>.*<\/duration>/, "");
    expect(marksOf(grace, note("C5", 4, notations(slur("stop"))))).toEqual([
      { slurStarts: 1 },
      { slurStops: 1 },
    ]);
  });

  it("of a rest are nobody's", () => {
    expect(
      marksOf(note("C5", 2, notations(slur("start"))), rest(2, notations(slur("stop")))),
    ).toEqual([{ slurStarts: 1 }]);
  });
});

describe("articulations", () => {
  // MusicXML 4.0, <articulations>.
  it.each([
    [["staccato"]],
    [["staccatissimo"]],
    [["tenuto"]],
    [["accent"]],
    [["strong-accent"]],
    [["detached-legato"]],
    [["spiccato"]],
    [["accent", "staccato"]],
  ])("%j", (names) => {
    expect(marksOf(note("C5", 4, notations(articulations(...names))))).toEqual([
      { articulations: names },
    ]);
  });

  it("stand once each, beside a breath mark that stays a pause", () => {
    const inside = notations(articulations("tenuto", "breath-mark") + articulations("tenuto"));
    const { notes, pauses } = read(note("C5", 4, inside));
    expect(notes.map(({ marks }) => marks)).toEqual([{ articulations: ["tenuto"] }]);
    expect(pauses.map(({ at, sign }) => [showPosition(at), sign])).toEqual([
      ["1:4", "breath-mark"],
    ]);
  });
});

describe("trills", () => {
  // MusicXML 4.0, <ornaments>: an <accidental-mark> belongs to the ornament before it.
  it.each([
    ["the sign", "<trill-mark/>", { continues: false }],
    ["sign and line", `<trill-mark/>${line("start")}`, { continues: false }],
    ["sign and whole line", `<trill-mark/>${line("start")}${line("stop")}`, { continues: false }],
    ["a line alone", line("start"), { continues: false }],
    ["a line that goes on", line("continue"), { continues: true }],
    ["a line that ends", line("stop"), { continues: true }],
    ["with a flat", `<trill-mark/>${accidental("flat")}`, { continues: false, accidental: -1 }],
    [
      "with a sharp after the line",
      `<trill-mark/>${line("start")}${accidental("sharp")}${line("stop")}`,
      { continues: false, accidental: 1 },
    ],
    [
      "with a natural",
      `<trill-mark/>${accidental("natural")}`,
      { continues: false, accidental: 0 },
    ],
    [
      "with a double sharp",
      `<trill-mark/>${accidental("double-sharp")}`,
      { continues: false, accidental: 2 },
    ],
    ["with a sign of another tuning", `<trill-mark/>${accidental("sori")}`, { continues: false }],
  ])("%s", (_, xml, trill) => {
    expect(marksOf(note("C5", 4, notations(ornaments(xml))))).toEqual([{ trill }]);
  });

  it("leave the accidental of a turn to the turn", () => {
    const xml = `<trill-mark/><turn/>${accidental("sharp")}`;
    expect(marksOf(note("C5", 4, notations(ornaments(xml))))).toEqual([
      { trill: { continues: false }, ornament: "turn" },
    ]);
  });
});

describe("other ornaments", () => {
  // MusicXML 4.0, <ornaments>.
  it.each([
    ["turn", "turn"],
    ["delayed-turn", "turn"],
    ["vertical-turn", "turn"],
    ["haydn", "turn"],
    ["inverted-turn", "inverted-turn"],
    ["delayed-inverted-turn", "inverted-turn"],
    ["inverted-vertical-turn", "inverted-turn"],
    ["mordent", "mordent"],
    ["inverted-mordent", "inverted-mordent"],
  ])("<%s> is a %s", (element, ornament) => {
    expect(marksOf(note("C5", 4, notations(ornaments(`<${element}/>`))))).toEqual([{ ornament }]);
  });
});

describe("tremolos", () => {
  // MusicXML 4.0, <tremolo>: 0 to 8 strokes; "single" unless it says so.
  it.each([
    [`<tremolo>3</tremolo>`, { strokes: 3, kind: "single" }],
    [`<tremolo type="single"> 1 </tremolo>`, { strokes: 1, kind: "single" }],
    [`<tremolo type="start">2</tremolo>`, { strokes: 2, kind: "start" }],
    [`<tremolo type="stop">2</tremolo>`, { strokes: 2, kind: "stop" }],
    [`<tremolo type="unmeasured">0</tremolo>`, { strokes: 0, kind: "unmeasured" }],
    [`<tremolo type="unmeasured"/>`, { strokes: 0, kind: "unmeasured" }],
  ])("%s", (xml, tremolo) => {
    expect(marksOf(note("C5", 4, notations(ornaments(xml))))).toEqual([{ tremolo }]);
  });

  it.each([`<tremolo>9</tremolo>`, `<tremolo>many</tremolo>`, `<tremolo type="wild">2</tremolo>`])(
    "%s is left out",
    (xml) => {
      expect(marksOf(note("C5", 4, notations(ornaments(xml))))).toEqual([undefined]);
    },
  );
});

describe("marks of a chord", () => {
  const accented = notations(slur("start") + articulations("accent"));
  it.each([
    ["at the first note", accented, ""],
    ["at another note", "", accented],
    ["at each", accented, accented],
  ])("%s are the chord's, once", (_, first, second) => {
    expect(marksOf(note("E5", 4, first), inChord(note("C5", 4, second)))).toEqual([
      { slurStarts: 1, articulations: ["accent"] },
    ]);
  });

  it("of several kinds come together", () => {
    const first = notations(slur("stop") + articulations("accent", "tenuto"));
    const second = notations(
      slur("start", "start") +
        articulations("tenuto", "staccato") +
        ornaments("<trill-mark/><mordent/><tremolo>2</tremolo>"),
    );
    expect(marksOf(note("E5", 4, first), inChord(note("C5", 4, second)))).toEqual([
      {
        slurStarts: 2,
        slurStops: 1,
        articulations: ["accent", "tenuto", "staccato"],
        trill: { continues: false },
        ornament: "mordent",
        tremolo: { strokes: 2, kind: "single" },
      },
    ]);
  });

  it("go to each player who has a note of it", () => {
    const timeline = read(
      words("a 2") + note("E5", 4, accented),
      words("div.") + note("E5", 4, accented) + inChord(note("C5", 4)),
    );
    for (const player of [1, 2]) {
      expect(playerPart(timeline, player).notes.map(({ marks }) => marks)).toEqual([
        { slurStarts: 1, articulations: ["accent"] },
        { slurStarts: 1, articulations: ["accent"] },
      ]);
    }
  });
});

it("marks are repeated with the bar under a measure-repeat sign", () => {
  const sign = `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>`;
  const { notes } = read(note("C5", 4, notations(articulations("staccato"))), sign);
  expect(notes.map(({ barIndex, marks }) => [barIndex, marks])).toEqual([
    [0, { articulations: ["staccato"] }],
    [1, { articulations: ["staccato"] }],
  ]);
});
