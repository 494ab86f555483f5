import { describe, expect, it } from "vitest";
import { instrumentsInHand } from "../../src/analyses/instruments-in-hand.js";
import { InputError } from "../../src/model/input-error.js";
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
  type PartXml,
} from "../support/score-xml.js";

const PLAYED = note("C5", 4);
const SILENT = rest(4);
const IN_B_FLAT = attributes({ meter: "4/4", transpose: B_FLAT });
const IN_A = attributes({ transpose: A });
const IN_BASS = attributes({ transpose: BASS });
const LA = words("muta in La");
const SIB = words("muta in Sib");

type Part = Partial<PartXml>;

/** What the page says, in lines such as `3: clarinet-bflat > clarinet-a (words in 1)`. */
function read(bars: readonly string[], part: Part = {}, header = "") {
  const timeline = timelineOf(scoreXml([{ ...part, bars }], header));
  const { switches, instrumentOf, notices } = instrumentsInHand(timeline);
  const label = (noteIndex: number) => timeline.bars[timeline.notes[noteIndex]!.barIndex]!.barLabel;
  const all = [...switches];
  return {
    changes: all.map(([noteIndex, { from, to, evidence }]) => {
      const why = evidence.map(({ kind, barLabel }) => `${kind} in ${barLabel}`).join(", ");
      return `${label(noteIndex)}: ${from} > ${to} (${why})`;
    }),
    disagreements: all.flatMap(([, each]) => each.disagreements),
    first: instrumentOf(0),
    switchedAt: all.map(([noteIndex]) => noteIndex),
    notices,
  };
}

/** A note, a bar of rest, a note; what else stands in the three bars comes before it. */
function threeBars([first, second, third]: readonly [string, string, string], part: Part = {}) {
  return read([first + PLAYED, second + SILENT, third + PLAYED], { name: "Clarinet", ...part });
}

function declared(id: string, name: string, sound: string): string {
  return `<score-instrument id="${id}"><instrument-name>${name}</instrument-name><instrument-sound>${sound}</instrument-sound></score-instrument>`;
}

const TWO: Part = {
  extra:
    declared("I1", "Clarinet in Bb", "wind.reed.clarinet.bflat") +
    declared("I2", "Clarinet in A", "wind.reed.clarinet.a"),
};
const SOUND_BY_ID = '<sound><instrument-change id="I2"/></sound>';
const SOUND_OF_A =
  '<sound><instrument-change id="I1"><instrument-sound>wind.reed.clarinet.a</instrument-sound></instrument-change></sound>';

function display(text: string): string {
  return `<print><part-name-display>${text}</part-name-display></print>`;
}
const NAMED_A = display("<display-text>Clarinetto in La</display-text>");
const NAMED_B_FLAT = display(
  "<display-text>Clarinet in B</display-text><accidental-text>flat</accidental-text>",
);

function on(id: string): string {
  return note("C5", 4, `<instrument id="${id}"/>`);
}

describe("each kind of evidence alone", () => {
  // Elements as MusicXML 4.0 has them.
  // prettier-ignore
  it.each<[string, readonly [string, string, string], string]>([
    ["a transposition", [IN_B_FLAT, "", IN_A], "transpose in 3"],
    ["a sound by its id", ["", SOUND_BY_ID, ""], "instrument-change in 2"],
    ["a sound in a direction", ["", words("(A)").replace("</direction>", `${SOUND_BY_ID}</direction>`), ""], "instrument-change in 2"],
    ["a standard sound", ["", SOUND_OF_A, ""], "instrument-change in 2"],
    ["a name at the system", ["", NAMED_A, ""], "part-name-display in 2"],
    ["words", ["", LA, ""], "words in 2"],
    ["a label", ["", "", words("in La")], "words in 3"],
  ])("%s", (_, before, evidence) => {
    const { changes, disagreements, notices } = threeBars(before, TWO);
    expect(changes).toEqual([`3: clarinet-bflat > clarinet-a (${evidence})`]);
    expect([disagreements, notices]).toEqual([[], []]);
  });

  it("the instrument of a note", () => {
    expect(read([on("I1"), SILENT, on("I2"), on("I2"), SILENT, on("I1")], TWO).changes).toEqual([
      "3: clarinet-bflat > clarinet-a (note-instrument in 3)",
      "6: clarinet-a > clarinet-bflat (note-instrument in 6)",
    ]);
  });

  it("a name with an accidental of its own, at the way back", () => {
    expect(threeBars(["", "", NAMED_B_FLAT], { name: "Clarinet in A" }).changes).toEqual([
      "3: clarinet-a > clarinet-bflat (part-name-display in 3)",
    ]);
  });
});

it("all kinds of evidence together make one change, each kept in the order of the page", () => {
  const entry = IN_A + SOUND_OF_A + on("I2");
  const { changes, disagreements } = read(
    [IN_B_FLAT + on("I1") + LA, SILENT, NAMED_A + SILENT, entry],
    TWO,
  );
  expect(changes).toEqual([
    "4: clarinet-bflat > clarinet-a (words in 1, part-name-display in 3, transpose in 4, " +
      "instrument-change in 4, note-instrument in 4)",
  ]);
  expect(disagreements).toEqual([]);
});

describe("words in four languages", () => {
  // "muta in A", "Muta in B" and "to bass clarinet" were observed in public score files; the
  // others are common practice, no source.
  it.each([
    ["muta in La", "clarinet-a"],
    ["muta in A", "clarinet-a"],
    ["muta in Clar. basso", "bass-clarinet-bflat"],
    ["take A clarinet", "clarinet-a"],
    ["to bass clarinet", "bass-clarinet-bflat"],
    ["nimmt A-Klarinette", "clarinet-a"],
    ["nimmt kl. Klar. (Es)", "clarinet-eflat"],
    ["prenez la clarinette en la", "clarinet-a"],
    ["changez en ut", "clarinet-c"],
  ])("%s", (text, to) => {
    const expected = [`3: clarinet-bflat > ${to} (words in 2)`];
    expect(threeBars(["", words(text), ""]).changes).toEqual(expected);
  });
});

describe("where words are printed", () => {
  const BREATH = note("C5", 2) + rest(1) + note("C5", 1);
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["over the last note", [LA + PLAYED, SILENT, PLAYED], ["3 (words in 1)"]],
    ["where the rest begins", [PLAYED + LA, SILENT, PLAYED], ["3 (words in 1)"]],
    ["inside the rest", [PLAYED, rest(2) + LA + rest(2), PLAYED], ["3 (words in 2)"]],
    ["a bar early while playing goes on", [LA + PLAYED, PLAYED, SILENT, PLAYED], ["4 (words in 1)"]],
    ["over a note without a rest to come", [PLAYED, LA + PLAYED, PLAYED], []],
    ["after the last note of all", [PLAYED, PLAYED + LA, SILENT], []],
    // What stands over a phrase of one note prepares the next.
    ["over a single note", [PLAYED, SILENT, LA + PLAYED, SILENT, PLAYED], ["5 (words in 3)"]],
    ["as a label at the note", [PLAYED, SILENT, words("in La") + PLAYED], ["3 (words in 3)"]],
    ["as a label without a rest", [PLAYED, words("in La") + PLAYED], ["2 (words in 2)"]],
    ["as a label in the rest", [PLAYED, words("Cl. in A") + SILENT, PLAYED], ["3 (words in 2)"]],
    ["at the entry, with the transposition", [IN_B_FLAT + PLAYED, SILENT, LA + IN_A + PLAYED], ["3 (transpose in 3, words in 3)"]],
    ["early, with the transposition", [IN_B_FLAT + LA + PLAYED, PLAYED, SILENT, IN_A + PLAYED], ["4 (words in 1, transpose in 4)"]],
    // BUG: taken up at the first breath, though the next note is still for the B-flat clarinet.
    ["before a breath, with the transposition later", [IN_B_FLAT + LA + BREATH, SILENT, SILENT, IN_A + PLAYED], ["4 (words in 1, transpose in 4)"]],
  ])("%s", (_, bars, expected) => {
    const { changes, disagreements } = read(bars, { name: "Clarinet" });
    const lines = changes.map((line) => line.replace("clarinet-bflat > clarinet-a ", ""));
    expect(lines).toEqual(expected.map((line) => line.replace(" ", ": ")));
    expect(disagreements).toEqual([]);
  });

  // BUG: the words prepare the change back; they are taken to contradict the transposition.
  it("over the only note of a phrase, for the next change", () => {
    const back = attributes({ transpose: B_FLAT });
    const bars = [IN_B_FLAT + PLAYED, SILENT, IN_A + SIB + PLAYED, SILENT, back + PLAYED];
    expect(read(bars).changes).toEqual([
      "3: clarinet-bflat > clarinet-a (transpose in 3)",
      "5: clarinet-a > clarinet-bflat (words in 3, transpose in 5)",
    ]);
  });

  // BUG: words in a first ending are for the way back; they are taken up in the second.
  it("in a first ending", () => {
    const ending = (number: number, content: string, repeat = "") =>
      `<barline location="left"><ending number="${number}" type="start"/></barline>${content}` +
      `<barline location="right"><ending number="${number}" type="stop"/>${repeat}</barline>`;
    const first = ending(1, LA + SILENT, '<repeat direction="backward"/>');
    const back = attributes({ transpose: B_FLAT });
    const bars = [IN_A + PLAYED, SIB + SILENT, back + PLAYED, first, ending(2, PLAYED)];
    expect(read(bars, { name: "Clarinet" }).changes).toEqual([
      "3: clarinet-a > clarinet-bflat (words in 2, transpose in 3)",
    ]);
  });
});

describe("what is no change", () => {
  const AGAIN = attributes({ fifths: 2, transpose: B_FLAT });
  // A second down and an octave up and down again.
  const BY_OCTAVES = attributes({ transpose: [-8, -14, 1] });
  it.each([
    ["a transposition restated", AGAIN],
    ["the same transposition by octaves", BY_OCTAVES],
    ["words for the instrument in hand", SIB],
    ["a name for the instrument in hand", NAMED_B_FLAT],
    ["words that are none", words("in tempo")],
  ])("%s", (_, sign) => {
    const { changes, notices } = threeBars([IN_B_FLAT, sign, ""]);
    expect([changes, notices]).toEqual([[], []]);
  });

  it.each<[string, readonly string[]]>([
    ["a transposition", [IN_B_FLAT + SILENT, IN_A + PLAYED]],
    ["words", [LA + SILENT, PLAYED]],
    ["a label", [words("in A") + PLAYED, PLAYED]],
    ["a name", [NAMED_A + PLAYED, PLAYED]],
    ["a sound", [SOUND_BY_ID + SILENT, PLAYED]],
    // BUG: a part that begins on its second instrument is taken to begin on the first.
    ["its own instrument", [on("I2"), PLAYED]],
  ])("what the first note is played on, by %s", (_, bars) => {
    const { changes, first } = read(bars, TWO);
    expect([changes, first]).toEqual([[], "clarinet-a"]);
  });
});

describe("the way back", () => {
  it("by the transposition", () => {
    const last = attributes({ transpose: B_FLAT }) + PLAYED;
    const bars = [IN_B_FLAT + PLAYED, SILENT, IN_BASS + PLAYED, words("To Cl.") + SILENT, last];
    expect(read(bars).changes).toEqual([
      "3: clarinet-bflat > bass-clarinet-bflat (transpose in 3)",
      "5: bass-clarinet-bflat > clarinet-bflat (words in 4, transpose in 5)",
    ]);
  });

  it.each([
    ["Clarinet in A", "To B. Cl.", "To Cl.", "clarinet-a", "bass-clarinet-bflat"],
    ["Flute", "To Picc.", "To Fl.", "flute", "piccolo"],
    ["Oboe", "nimmt Englischhorn", "nimmt Oboe", "oboe", "english-horn"],
  ])("%s: %s and %s mean what was played before", (name, there, back, own, other) => {
    const bars = [PLAYED, words(there) + SILENT, PLAYED, words(back) + SILENT, PLAYED];
    expect(read(bars, { name }).changes).toEqual([
      `3: ${own} > ${other} (words in 2)`,
      `5: ${other} > ${own} (words in 4)`,
    ]);
  });

  // BUG: where no transposition is printed for an instrument in C, the first one that is printed
  // is taken to have held from the start: the change there is missed.
  it.each<[string, readonly [number, number, number?], string]>([
    ["Flute", [0, 0, 1], "flute > piccolo"],
    ["Oboe", [-4, -7], "oboe > english-horn"],
    ["Clarinet in C", A, "clarinet-c > clarinet-a"],
  ])("%s, printed without a transposition until it changes", (name, transpose, change) => {
    const { changes, notices } = threeBars(["", "", attributes({ transpose })], { name });
    expect([changes, notices]).toEqual([[`3: ${change} (transpose in 3)`], []]);
  });
});

it("a transposition that changes without a rest changes the instrument", () => {
  expect(read([IN_B_FLAT + PLAYED, IN_A + PLAYED]).changes).toEqual([
    "2: clarinet-bflat > clarinet-a (transpose in 2)",
  ]);
});

describe("words against transposition", () => {
  it("follows the words and keeps both places", () => {
    const { changes, disagreements } = threeBars([IN_B_FLAT + LA, "", ""]);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-a (words in 1)"]);
    expect(disagreements).toEqual([
      {
        kind: "words-against-transposition",
        barIndex: 2,
        barLabel: "3",
        words: "muta in La",
        wordsBarLabel: "1",
        wordsMean: "clarinet-a",
        transpositionFits: ["clarinet-bflat"],
      },
    ]);
  });

  it("holds until the next sign: a transposition restated is none", () => {
    const again = attributes({ fifths: 2, transpose: B_FLAT });
    const bars = [IN_B_FLAT + LA + PLAYED, SILENT, PLAYED, again + PLAYED];
    expect(read(bars).changes).toEqual(["3: clarinet-bflat > clarinet-a (words in 1)"]);
  });

  it("words that say C against a transposition that says A", () => {
    const { changes, disagreements } = threeBars([IN_B_FLAT, words("muta in Do"), IN_A]);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-c (words in 2, transpose in 3)"]);
    const places = { barLabel: "3", wordsBarLabel: "2", wordsMean: "clarinet-c" };
    expect(disagreements).toMatchObject([places]);
  });

  it("is a notice where the words name the instrument already in hand", () => {
    const { changes, notices } = threeBars([IN_B_FLAT, SIB, IN_A]);
    expect(changes).toEqual([]);
    expect(notices).toMatchObject([
      { kind: "disagreement", barLabel: "3", disagreement: { wordsBarLabel: "2" } },
    ]);
  });

  it("is none in a score at concert pitch, where no transposition stands", () => {
    const bars = [attributes({ transpose: [0, 0] }) + PLAYED, LA + SILENT, PLAYED];
    const { changes, disagreements } = read(bars, {}, "<defaults><concert-score/></defaults>");
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-a (words in 2)"]);
    expect(disagreements).toEqual([]);
  });
});

describe("what is not understood", () => {
  const UNKNOWN = attributes({ transpose: [-6, -10] });

  it("words that ask for an instrument nobody knows are a notice", () => {
    const { changes, notices } = threeBars(["", words("muta in Xyz"), ""]);
    expect(changes).toEqual([]);
    expect(notices).toEqual([{ kind: "instruction-unclear", text: "muta in Xyz", barLabel: "2" }]);
  });

  it("a transposition of no instrument is a notice, and the instrument stays", () => {
    const { changes, notices } = threeBars([IN_B_FLAT, "", UNKNOWN]);
    expect(changes).toEqual([]);
    expect(notices).toEqual([{ kind: "transposition-unknown", semitones: -10, barLabel: "3" }]);
  });

  it.each<[string, string, Part]>([
    ["a violin", "", { name: "Violin" }],
    ["no name and no transposition", "", { name: "" }],
    ["a name that says nothing", UNKNOWN, { name: "Part 7" }],
    // BUG: what the file declares to be a trumpet is taken for a clarinet, without a word.
    ["a trumpet", IN_B_FLAT, { name: "Trumpet in Bb", extra: declared("I1", "", "brass.trumpet") }],
  ])("a part for no woodwind instrument is refused: %s", (_, sign, part) => {
    const refused = () => read([sign + PLAYED], part);
    expect(refused).toThrow(InputError);
    expect(refused).toThrow(expect.objectContaining({ code: "unknown-instrument" }));
  });

  it("a part without a name is for the usual instrument of its transposition, and says so", () => {
    const { first, notices } = read([IN_A + PLAYED], { name: "" });
    expect(first).toBe("clarinet-a");
    expect(notices).toEqual([{ kind: "instrument-assumed", instrument: "clarinet-a" }]);
  });
});

describe("a part name against its transposition", () => {
  const name = "Clarinet in Bb";

  it("gives way to it, with a notice: part names are often those of a template", () => {
    const { first, notices } = read([IN_A + PLAYED], { name });
    const fits = ["clarinet-a"];
    expect(first).toBe("clarinet-a");
    expect(notices).toEqual([
      { kind: "name-against-transposition", name, transpositionFits: fits },
    ]);
  });

  // BUG: the name is that of a template, the part begins in A; the change to B-flat is not seen.
  it("does not hide a change of transposition", () => {
    const bars = [IN_A + PLAYED, SILENT, attributes({ transpose: B_FLAT }) + PLAYED];
    expect(read(bars, { name }).changes).toHaveLength(1);
  });
});

describe("what is played", () => {
  const GRACE = "<note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>";
  const CUE = PLAYED.replace("<note>", "<note><cue/>");
  const SMALL = note("C5", 4, '<type size="cue">whole</type>');
  const HIDDEN = PLAYED.replace("<note>", '<note print-object="no">');

  it("the first grace note of an entry is on the new instrument", () => {
    const { changes, switchedAt } = threeBars([IN_B_FLAT, "", IN_A + GRACE + GRACE]);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-a (transpose in 3)"]);
    // Note 0 in bar 1, grace notes 1 and 2 and note 3 in bar 3.
    expect(switchedAt).toEqual([1]);
  });

  it("a grace note that ends a trill is no entry after a rest", () => {
    const bars = [IN_B_FLAT + LA + PLAYED + GRACE, SILENT, IN_A + PLAYED];
    expect(read(bars).changes).toEqual([
      "3: clarinet-bflat > clarinet-a (words in 1, transpose in 3)",
    ]);
  });

  it.each([
    ["cue notes", CUE],
    ["notes in cue size", SMALL],
    ["hidden notes", HIDDEN],
  ])("%s in the rest are not", (_, notes) => {
    const { changes } = read([PLAYED + LA, notes, SILENT, PLAYED]);
    expect(changes).toEqual(["4: clarinet-bflat > clarinet-a (words in 1)"]);
  });

  // BUG: a name over a cue says who plays the cue; it is taken for a change to that instrument.
  it.each([
    ["Oboe", CUE],
    ["Flute", SILENT],
  ])("the name of another player's instrument, %s, is no change", (name, silence) => {
    expect(read([IN_B_FLAT + PLAYED, words(name) + silence, PLAYED]).changes).toEqual([]);
  });

  // BUG: words for the second player are taken for the first as well.
  it("words for one player do not concern the other", () => {
    const bars = [PLAYED, words("2. muta in La") + SILENT, PLAYED];
    expect(read(bars, { name: "Clarinet 2 in Bb" }).changes).toHaveLength(1);
    expect(read(bars, { name: "Clarinet 1 in Bb" }).changes).toEqual([]);
  });
});
