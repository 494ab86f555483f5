import { describe, expect, it } from "vitest";
import {
  A,
  attributes,
  B_FLAT,
  BASS,
  note,
  rest,
  scoreXml,
  timelineOf,
  words,
} from "../support/score-xml.js";
import { showNotes, showPosition } from "./show.js";

function read(...bars: readonly string[]) {
  const [first = "", ...others] = bars;
  return timelineOf(scoreXml([{ bars: [attributes({ meter: "4/4" }) + first, ...others] }]));
}

const direction = (...types: readonly string[]) =>
  `<direction>${types.map((each) => `<direction-type>${each}</direction-type>`).join("")}</direction>`;
const offset = (quarters: number, sound = "") =>
  `<offset${sound && ` sound="${sound}"`}>${quarters * 240}</offset>`;
const FERMATA = "<notations><fermata/></notations>";

describe("transpositions and keys", () => {
  it("hold from the place where they stand, in mid-bar too", () => {
    const { transpositions } = read(
      attributes({ transpose: B_FLAT }) + rest(4),
      rest(3) + attributes({ transpose: A }) + rest(1),
      attributes({ transpose: BASS }) + rest(4),
    );
    expect(transpositions.map(({ at, value }) => [showPosition(at), value])).toEqual([
      ["1:0", { diatonic: -1, chromatic: -2, octaveChange: 0 }],
      ["2:3", { diatonic: -2, chromatic: -3, octaveChange: 0 }],
      ["3:0", { diatonic: -1, chromatic: -2, octaveChange: -1 }],
    ]);
  });

  // Semitones to letters as in the major scale (common practice, no source).
  it.each([
    [-2, -1],
    [-3, -2],
    [3, 2],
    [-9, -5],
    [-14, -8],
    [0, 0],
  ])("%d semitones without letters are %d letters", (chromatic, diatonic) => {
    const xml = `<attributes><transpose><chromatic>${chromatic}</chromatic></transpose></attributes>`;
    const [first] = read(xml + rest(4)).transpositions;
    expect(first?.value).toMatchObject({ chromatic, diatonic, octaveChange: 0 });
  });

  it("say what cannot be read", () => {
    const xml = `<attributes><transpose><diatonic>-1</diatonic><chromatic>B</chromatic></transpose></attributes>`;
    const { transpositions, notices } = read(xml + rest(4));
    expect(transpositions).toEqual([]);
    expect(notices).toMatchObject([{ kind: "odd-number", element: "transpose" }]);
  });

  it("have no count of fifths where the signature is not a traditional one", () => {
    const mixed = `<attributes><key><key-step>F</key-step><key-alter>1</key-alter></key></attributes>`;
    const { keys } = read(attributes({ fifths: -3 }) + rest(4), mixed + rest(4));
    expect(keys.map(({ at, value }) => [showPosition(at), value])).toEqual([
      ["1:0", -3],
      ["2:0", null],
    ]);
  });
});

describe("printed instructions", () => {
  // MusicXML 4.0, <direction-type>: several <words> follow each other; <symbol> is a SMuFL glyph.
  it.each([
    ["plain", words("muta in La"), "muta in La"],
    [
      "split over several words",
      direction("<words>muta </words><words>in La</words>"),
      "muta in La",
    ],
    [
      "split over several types",
      direction("<words>muta in</words>", "<words>Si♭</words>"),
      "muta in Si♭",
    ],
    ["a sign of its own", direction("<words>muta in Si</words><words>♭</words>"), "muta in Si♭"],
    ["broken over lines", words("to A\n      Clarinet"), "to A Clarinet"],
    ["with references", words("Fl. &amp; Cl. in B&#x266D;"), "Fl. & Cl. in B♭"],
    ["as character data", words("<![CDATA[muta in <La>]]>"), "muta in <La>"],
    [
      "with a flat as a symbol",
      direction("<words>to B</words><symbol>accidentalFlat</symbol><words>Clarinet</words>"),
      "to B♭ Clarinet",
    ],
    [
      "with a sharp as a symbol",
      direction("<words>in Do</words>", "<symbol>accidentalSharp</symbol>"),
      "in Do♯",
    ],
    [
      "with a symbol that says nothing here",
      direction("<symbol>segno</symbol><words>to A</words>"),
      "to A",
    ],
  ])("words: %s", (_, xml, text) => {
    const { instructions } = read(rest(2) + xml + rest(2));
    expect(instructions.map(({ at, ...rest }) => [showPosition(at), rest])).toEqual([
      ["1:2", { kind: "words", text }],
    ]);
  });

  it("part names in the margin, with the signs as printed", () => {
    // MusicXML 4.0, <part-name-display>: <accidental-text> holds the name of the sign.
    const display = (content: string) =>
      `<print><part-name-display>${content}</part-name-display></print>`;
    const text = (content: string) => `<display-text>${content}</display-text>`;
    const { instructions } = read(
      display(`${text("Clarinet in B")}<accidental-text>flat</accidental-text>`) + rest(4),
      display(`${text("Cl. in C")}<accidental-text>sharp</accidental-text>${text(" 2")}`) + rest(4),
    );
    expect(instructions.map(({ at, ...rest }) => [showPosition(at), rest])).toEqual([
      ["1:0", { kind: "part-name-display", text: "Clarinet in B♭" }],
      ["2:0", { kind: "part-name-display", text: "Cl. in C♯ 2" }],
    ]);
  });

  it("instrument changes for playback", () => {
    const change = `<sound><instrument-change id="P1-I2"><instrument-sound>wind.reed.clarinet.a</instrument-sound></instrument-change></sound>`;
    const { instructions } = read(rest(1) + change + rest(3));
    expect(instructions.map(({ at, ...rest }) => [showPosition(at), rest])).toEqual([
      [
        "1:1",
        { kind: "instrument-change", text: "wind.reed.clarinet.a", scoreInstrumentId: "P1-I2" },
      ],
    ]);
  });

  // MusicXML 4.0, <offset sound> and <sound>: the offset of the direction moves playback only if it
  // says so; an offset of the sound itself comes first.
  // MusicXML 4.0, <offset>: it moves the print, and the sound only where it says so.
  it.each([
    ["offset of the words only", offset(-1), "", "1:2", "1:3"],
    ["offset of both", offset(-1, "yes"), "", "1:2", "1:2"],
    ["an offset of its own", offset(-1, "yes"), offset(0.5), "1:2", "1:7/2"],
  ])("instrument changes under words: %s", (_, printed, own, wordsAt, changeAt) => {
    const sound = `<sound><instrument-change id="P1-I2"/>${own}</sound>`;
    const xml = words("to A").replace("</direction>", `${printed}${sound}</direction>`);
    const { instructions } = read(rest(3) + xml + rest(1));
    expect(instructions.map(({ at, kind }) => [kind, showPosition(at)])).toEqual([
      ["words", wordsAt],
      ["instrument-change", changeAt],
    ]);
  });

  it("stand where their offset puts them, before their bar too", () => {
    const moved = (quarters: number) =>
      words("to A").replace("</direction>", `${offset(quarters)}</direction>`);
    const { instructions } = read(rest(4), rest(1) + moved(1.5) + rest(3), moved(-1) + rest(4));
    expect(instructions.map(({ at }) => showPosition(at))).toEqual(["2:5/2", "2:3"]);
  });
});

describe("fermatas", () => {
  it("stand on notes, rests and barlines of every part, each place once", () => {
    const barline = (location: string) => `<barline location="${location}"><fermata/></barline>`;
    const own = [
      attributes({ meter: "4/4" }) + note("C5", 2) + rest(2, FERMATA),
      note("C5", 4) + barline("right"),
      rest(4),
    ];
    const other = [
      attributes({ meter: "4/4" }) + rest(2) + note("C5", 2, FERMATA),
      rest(4),
      note("C5", 1, FERMATA) + rest(3),
    ];
    const { pauses } = timelineOf(scoreXml([{ bars: own }, { bars: other }]));
    expect(pauses.map(({ at, partId }) => [showPosition(at), partId])).toEqual([
      ["1:2", "P1"],
      ["2:4", "P1"],
      ["3:0", "P2"],
    ]);
  });
});

describe("documents", () => {
  const parts = [
    [
      attributes({ meter: "3/4", fifths: 2, transpose: A }) + note("C5", 3),
      rest(1) + note("D5", 2),
      `${words("to B♭")}${rest(3)}<barline><repeat direction="backward"/></barline>`,
    ],
    [
      attributes({ meter: "3/4", divisions: 4 }) + `<sound tempo="90"/>` + rest(3, "", 4),
      rest(3, FERMATA, 4),
      rest(3, "", 4),
    ],
  ];
  const partwise = scoreXml(parts.map((bars) => ({ bars })));

  it("in order of bars read like those in order of parts", () => {
    const measures = [0, 1, 2].map((k) => {
      const content = parts.map((bars, p) => `<part id="P${p + 1}">${bars[k]}</part>`).join("");
      return `<measure number="${k + 1}">${content}</measure>`;
    });
    const start = partwise.indexOf(`<part id="P1">`);
    const timewise = `${partwise.slice(0, start)}${measures.join("\n")}</score-timewise>`.replace(
      "<score-partwise",
      "<score-timewise",
    );
    for (const part of ["P1", "P2"]) {
      expect(timelineOf(timewise, part)).toEqual(timelineOf(partwise, part));
    }
    expect(showNotes(timelineOf(timewise))).toEqual(["C5 1:0+3", "D5 2:1+2"]);
  });

  it("of MusicXML 1.0 are read without fetching their document type", () => {
    const old = partwise
      .replace(` version="4.0"`, "")
      .replace(
        "<score-partwise",
        `<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 1.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n<score-partwise`,
      );
    expect(old).toContain("<!DOCTYPE");
    expect(timelineOf(old)).toEqual(timelineOf(partwise));
  });

  it("may hold elements, comments and instructions that nobody knows", () => {
    const unknown = `<loudness unit="phon"><level>60</level></loudness><!-- <note> --><?page 2?>`;
    const more = partwise
      .replaceAll("<note>", `${unknown}<note>`)
      .replaceAll("</note>", `${unknown}</note>`)
      .replaceAll("</pitch>", `<cents>3</cents></pitch>`);
    expect(more).not.toBe(partwise);
    expect(timelineOf(more)).toEqual(timelineOf(partwise));
  });

  it("of one part have the pages of the player", () => {
    const [bars = []] = parts;
    expect(timelineOf(scoreXml([{ bars }])).pagesArePlayers).toBe(true);
    expect(timelineOf(partwise).pagesArePlayers).toBe(false);
  });
});
