import { describe, expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import { attributes, B_FLAT, note, words } from "../support/score-xml.js";
import {
  PLAYED,
  SILENT,
  IN_B_FLAT,
  IN_A,
  LA,
  SIB,
  type Part,
  read,
  threeBars,
  declared,
} from "./in-hand-cases.js";

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
    ["a trumpet", IN_B_FLAT, { name: "Trumpet in Bb", extra: declared("I1", "", "brass.trumpet") }],
  ])("a part for no woodwind instrument is refused: %s", (_, sign, part) => {
    const refused = () => read([sign + PLAYED], part);
    expect(refused).toThrow(InputError);
    expect(refused).toThrow(expect.objectContaining({ code: "unknown-instrument" }));
  });

  it("a part without a name is for the usual instrument of its transposition, and says so", () => {
    const { first, notices } = read([IN_A + PLAYED], { name: "" });
    expect(first).toBe("clarinet-a");
    expect(notices).toEqual([
      { kind: "instrument-assumed", instrument: "clarinet-a", by: "transposition" },
    ]);
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

  it.each([
    ["Oboe", CUE],
    ["Flute", SILENT],
  ])("the name of another player's instrument, %s, is no change", (name, silence) => {
    expect(read([IN_B_FLAT + PLAYED, words(name) + silence, PLAYED]).changes).toEqual([]);
  });

  it("words for one player do not concern the other", () => {
    const bars = [PLAYED, words("2. muta in La") + SILENT, PLAYED];
    expect(read(bars, { name: "Clarinet 2 in Bb" }).changes).toHaveLength(1);
    expect(read(bars, { name: "Clarinet 1 in Bb" }).changes).toEqual([]);
  });
});
