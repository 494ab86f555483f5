import { describe, expect, it } from "vitest";
import { A, attributes, B_FLAT, note, rest, words } from "../support/score-xml.js";
import {
  PLAYED,
  SILENT,
  IN_B_FLAT,
  IN_A,
  IN_BASS,
  LA,
  SIB,
  read,
  threeBars,
  TWO,
  SOUND_BY_ID,
  SOUND_OF_A,
  NAMED_A,
  NAMED_B_FLAT,
  on,
} from "./in-hand-cases.js";

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
    ["before a breath, with the transposition later", [IN_B_FLAT + LA + BREATH, SILENT, SILENT, IN_A + PLAYED], ["4 (words in 1, transpose in 4)"]],
  ])("%s", (_, bars, expected) => {
    const { changes, disagreements } = read(bars, { name: "Clarinet" });
    const lines = changes.map((line) => line.replace("clarinet-bflat > clarinet-a ", ""));
    expect(lines).toEqual(expected.map((line) => line.replace(" ", ": ")));
    expect(disagreements).toEqual([]);
  });

  it("over the only note of a phrase, for the next change", () => {
    const back = attributes({ transpose: B_FLAT });
    const bars = [IN_B_FLAT + PLAYED, SILENT, IN_A + SIB + PLAYED, SILENT, back + PLAYED];
    expect(read(bars).changes).toEqual([
      "3: clarinet-bflat > clarinet-a (transpose in 3)",
      "5: clarinet-a > clarinet-bflat (words in 3, transpose in 5)",
    ]);
  });

  it("over an entry, for the instrument in hand: a label that prepares nothing", () => {
    const bars = [IN_B_FLAT + words("to B-flat clarinet") + PLAYED, LA + SILENT, IN_A + PLAYED];
    const { changes, disagreements } = read(bars);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-a (words in 2, transpose in 3)"]);
    expect(disagreements).toEqual([]);
  });

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

describe("words for several players", () => {
  const bars = [IN_B_FLAT + PLAYED, words("I. muta in La, II. muta in Mi♭") + SILENT, PLAYED];

  it.each([
    ["Clarinet 1 in B♭", ["3: clarinet-bflat > clarinet-a (words in 2)"]],
    ["Clarinet 2 in B♭", ["3: clarinet-bflat > clarinet-eflat (words in 2)"]],
    ["Clarinet 3 in B♭", []],
  ])("are each one's own: %s", (name, changes) => {
    expect(read(bars, { name }).changes).toEqual(changes);
  });

  it("in bass clef a bass clarinet sounds as a B-flat clarinet does in treble clef", () => {
    const clef = (sign: string) =>
      `<attributes><clef><sign>${sign}</sign><line>4</line></clef></attributes>`;
    const low = [IN_BASS + PLAYED, SILENT, IN_B_FLAT + clef("F") + PLAYED];
    expect(read(low, { name: "Bass Clarinet" }).changes).toEqual([]);
    const high = [IN_BASS + PLAYED, SILENT, IN_B_FLAT + clef("G") + PLAYED];
    expect(read(high, { name: "Bass Clarinet" }).changes).toEqual([
      "3: bass-clarinet-bflat > clarinet-bflat (transpose in 3)",
    ]);
  });
});
