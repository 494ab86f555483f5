import { describe, expect, it } from "vitest";
import { attributes, note, rest, words } from "../support/score-xml.js";
import {
  atEntry,
  BY_WORDS,
  encoded,
  handsOf,
  inRest,
  NAME_ALONE,
  REED_2,
  sounding,
  type Step,
} from "./doubler-cases.js";
import { declared, IN_A, IN_B_FLAT, PLAYED, read, SILENT } from "./in-hand-cases.js";

const TREBLE = "<attributes><clef><sign>G</sign><line>2</line></clef></attributes>";
const A = "clarinet-a";
const BASS = "bass-clarinet-bflat";
const CUE = PLAYED.replace("<note>", "<note><cue/>");

describe("a player's doubles, by words alone", () => {
  it.each(BY_WORDS)("%s", (name, steps, expected) => {
    const { hands, disagreements, notices } = handsOf("", steps, { name });
    expect(hands).toEqual(expected);
    expect([disagreements, notices]).toEqual([[], []]);
  });
});

describe("a player's doubles, by the transposition alone", () => {
  // prettier-ignore
  it.each<[string, readonly Step[], readonly string[]]>([
    ["Flute", [sounding([0, 0, 1]), sounding([-3, -5]), sounding([0, 0])], ["flute", "piccolo", "alto-flute", "flute"]],
    ["Oboe", [sounding([-4, -7]), sounding([-2, -3]), sounding([0, 0])], ["oboe", "english-horn", "oboe-damore", "oboe"]],
    ["Bassoon", [sounding([0, 0, -1]), sounding([0, 0])], ["bassoon", "contrabassoon", "bassoon"]],
    ["Alto Sax", [sounding([-1, -2, -1]), sounding([-1, -2]), sounding([-5, -9, -1]), sounding([-5, -9])],
      ["saxophone-alto", "saxophone-tenor", "saxophone-soprano", "saxophone-baritone", "saxophone-alto"]],
  ])("%s", (name, steps, expected) => {
    const first = name === "Alto Sax" ? attributes({ transpose: [-5, -9] }) : "";
    const { hands, notices } = handsOf(first, steps, { name });
    expect([hands, notices]).toEqual([expected, []]);
  });
});

describe("words for one player of a section", () => {
  const steps = [inRest("2. muta in Picc."), inRest("2. muta in Fl.")];
  it.each([
    ["Flute 2", ["flute", "piccolo", "flute"]],
    ["Flutes 1 &amp; 2", ["flute", "piccolo", "flute"]],
    ["Flute 1", ["flute", "flute", "flute"]],
    ["Flute 3", ["flute", "flute", "flute"]],
  ])("%s", (name, expected) => {
    expect(handsOf("", steps, { name }).hands).toEqual(expected);
  });
});

describe("names over cues are no change", () => {
  const LATE = note("C5", 2).replace("<note>", "<note><cue/>");
  // prettier-ignore
  it.each<[string, string, string]>([
    ["Flute", "Picc.", CUE],
    ["Flute", "Piccolo", CUE],
    ["Flute", "Ob. solo", CUE],
    ["Flute", "Oboe", CUE],
    ["Flute", "Fl.", CUE],
    ["Oboe", "Engl. Horn", CUE],
    ["Clarinet in A", "Bass Clarinet", CUE],
    ["Clarinet in A", "Cl. in Bb", CUE],
    ["Bassoon", "Contrabassoon", CUE],
    ["Alto Sax", "Tenor Sax", CUE],
    ["Flute", "Ob.", SILENT],
    ["Flute", "Clarinet", SILENT],
    ["Flute", "Fl. 1", SILENT],
    ["Clarinet in A", "Oboe (cue)", SILENT],
    ["Flute", "1. Solo", SILENT],
  ])("%s: %s", (name, text, silence) => {
    const { changes, disagreements } = read([PLAYED, words(text) + silence, PLAYED], { name });
    expect([changes, disagreements]).toEqual([[], []]);
  });

  it("also inside the bar, at the first cue note", () => {
    const silence = rest(2) + words("Picc.") + LATE;
    expect(read([PLAYED, silence, PLAYED], { name: "Flute" }).changes).toEqual([]);
  });

  it("also of an instrument that the book holds", () => {
    const bars = [PLAYED, words("Alto Sax") + CUE, PLAYED];
    expect(read(bars, REED_2).changes).toEqual([]);
  });

  it("before a true change, which they do not contradict", () => {
    const bars = [PLAYED, words("Picc.") + CUE, words("Alto Flute") + PLAYED];
    const { changes, disagreements } = read(bars, { name: "Flute" });
    expect(changes).toEqual(["3: flute > alto-flute (words in 3)"]);
    expect(disagreements).toEqual([]);
  });

  it.each([
    ["Flute", CUE],
    ["Bass Clarinet", CUE],
    ["Oboe", SILENT],
  ])("before a change by the transposition: %s", (text, silence) => {
    const bars = [IN_B_FLAT + TREBLE + PLAYED, words(text) + silence, IN_A + PLAYED];
    const { changes, disagreements } = read(bars);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-a (transpose in 3)"]);
    expect(disagreements).toEqual([]);
  });
});

describe("an abbreviation over the player's own entry", () => {
  it.each<[string, readonly Step[], readonly string[]]>([
    ["Flute", [atEntry("Picc."), atEntry("Fl.")], ["flute", "piccolo", "flute"]],
    ["Oboe", [atEntry("English Horn"), atEntry("Ob.")], ["oboe", "english-horn", "oboe"]],
    ["Clarinet in A", [atEntry("Bass Cl."), atEntry("Cl.")], [A, BASS, A]],
  ])("%s: the way back", (name, steps, expected) => {
    expect(handsOf("", steps, { name }).hands).toEqual(expected);
  });
});

describe("a theatre book by words alone", () => {
  const CHAIN = [
    inRest("To Flute"),
    atEntry("Alto Sax"),
    inRest("To Tenor Sax"),
    atEntry("Clarinet (again)"),
    inRest("To Bass Clarinet"),
    inRest("To Oboe"),
    inRest("To Cl."),
  ];
  const EXPECTED = [
    "clarinet-bflat",
    "flute",
    "saxophone-alto",
    "saxophone-tenor",
    "clarinet-bflat",
    "bass-clarinet-bflat",
    "oboe",
    "clarinet-bflat",
  ];

  it("that declares its instruments", () => {
    const { hands, disagreements, notices } = handsOf("", CHAIN, REED_2);
    expect(hands).toEqual(EXPECTED);
    expect([disagreements, notices]).toEqual([[], []]);
  });

  it("of which the file says only that it is one", () => {
    const { hands, disagreements } = handsOf(words("Clarinet"), CHAIN, NAME_ALONE);
    expect(hands).toEqual(EXPECTED);
    expect(disagreements).toEqual([]);
  });

  it("that lists them in its name", () => {
    const name = "Reed 2: Clarinet, Bass Clarinet, Flute, Alto Sax, Tenor Sax, Oboe";
    const { hands, disagreements } = handsOf("", CHAIN, { name });
    expect(hands).toEqual(EXPECTED);
    expect(disagreements).toEqual([]);
  });

  it("of which the first words are an abbreviation", () => {
    const { hands } = handsOf(words("Fl."), [inRest("To Cl."), inRest("To Fl.")], NAME_ALONE);
    expect(hands).toEqual(["flute", "clarinet-bflat", "flute"]);
  });

  it.each(["Reed II", "Woodwind 3", "Reed 1 (Clarinet/Flute)", "Clarinet (doubling Flute)"])(
    "called %s",
    (name) => {
      const { hands } = handsOf(words("Clarinet"), [atEntry("Flute"), inRest("To Cl.")], { name });
      expect(hands).toEqual(["clarinet-bflat", "flute", "clarinet-bflat"]);
    },
  );

  it("over whose cues the names are other players'", () => {
    const bars = [
      words("Clarinet") + PLAYED,
      words("Flute") + CUE,
      PLAYED,
      words("Flute") + PLAYED,
    ];
    expect(read(bars, NAME_ALONE).changes).toEqual(["4: clarinet-bflat > flute (words in 4)"]);
  });

  it("whose labels are split over two directions", () => {
    const steps: readonly Step[] = [[SILENT, words("Alto") + words("Sax") + PLAYED]];
    expect(handsOf(words("Clarinet"), steps, NAME_ALONE).hands[1]).toBe("saxophone-alto");
  });

  it("going back to the clarinet that was played before", () => {
    const steps = [inRest("To Flute"), atEntry("Alto Sax"), inRest("To Cl.")];
    const { hands } = handsOf(words("Clarinet in A"), steps, NAME_ALONE);
    expect([hands[0], hands.at(-1)]).toEqual(["clarinet-a", "clarinet-a"]);
  });
});

describe("a theatre book with transpositions", () => {
  const NAMED = [
    sounding([0, 0], "Flute"),
    sounding([-5, -9], "Alto Sax"),
    sounding([-1, -2, -1], "Tenor Sax"),
    sounding([-1, -2], "Clarinet"),
    sounding([-1, -2, -1], "Bass Clarinet"),
    sounding([0, 0], "Oboe"),
    sounding([-1, -2], "Cl."),
    sounding([-1, -2, -1], "Ten. Sax"),
  ];
  const EXPECTED = [
    "clarinet-bflat",
    "flute",
    "saxophone-alto",
    "saxophone-tenor",
    "clarinet-bflat",
    "bass-clarinet-bflat",
    "oboe",
    "clarinet-bflat",
    "saxophone-tenor",
  ];
  it.each([
    ["that declares its instruments", REED_2],
    ["of which the file says only that it is one", NAME_ALONE],
  ])("and names, %s", (_, part) => {
    const { hands, disagreements } = handsOf(IN_B_FLAT + TREBLE + words("Clarinet"), NAMED, part);
    expect(hands).toEqual(EXPECTED);
    expect(disagreements).toEqual([]);
  });

  // A C clarinet and an alto clarinet sound so too, but the book does not hold them.
  it.each<[string, readonly [number, number, number?], string]>([
    ["as written", [0, 0], "flute"],
    ["a major sixth lower", [-5, -9], "saxophone-alto"],
  ])("alone, means what the book declares: %s", (_, transpose, expected) => {
    const extra =
      declared("I1", "Clarinet in Bb", "wind.reed.clarinet.bflat") +
      declared("I2", "Flute", "wind.flutes.flute") +
      declared("I3", "Alto Saxophone", "wind.reed.saxophone.alto");
    const part = { name: "Reed 2", extra };
    expect(handsOf(IN_B_FLAT, [sounding(transpose)], part).hands).toEqual([
      "clarinet-bflat",
      expected,
    ]);
  });

  it("back to the clarinet that was left, whichever of those in B-flat", () => {
    const steps = [sounding([0, 0], "Flute"), sounding([-2, -3], "Cl."), sounding([-1, -2], "Cl.")];
    expect(handsOf(IN_B_FLAT + TREBLE, steps, REED_2).hands).toEqual([
      "clarinet-bflat",
      "flute",
      "clarinet-a",
      "clarinet-bflat",
    ]);
  });
});

describe("a theatre book by encoded changes alone", () => {
  const BY_ID = [
    encoded('id="flute">'),
    encoded('id="saxophone-alto">'),
    encoded('id="saxophone-tenor">'),
    encoded('id="clarinet-bflat">'),
    encoded('id="bass-clarinet-bflat">'),
    encoded('id="oboe">'),
  ];
  const SOUND = "instrument-sound";
  const BY_SOUND = [
    encoded(`id="clarinet-bflat"><${SOUND}>wind.flutes.flute</${SOUND}>`),
    encoded(`id="clarinet-bflat"><${SOUND}>wind.reed.saxophone.alto</${SOUND}>`),
    encoded(`id="clarinet-bflat"><${SOUND}>wind.reed.saxophone.tenor</${SOUND}>`),
    encoded(`id="clarinet-bflat"><${SOUND}>wind.reed.clarinet.bflat</${SOUND}>`),
    encoded(`id="clarinet-bflat"><${SOUND}>wind.reed.clarinet.bass</${SOUND}>`),
    encoded(`id="clarinet-bflat"><${SOUND}>wind.reed.oboe</${SOUND}>`),
  ];
  it.each([
    ["ids", BY_ID],
    ["sounds", BY_SOUND],
  ])("by %s", (_, steps) => {
    const { hands, disagreements, notices } = handsOf("", steps, REED_2);
    expect(hands).toEqual([
      "clarinet-bflat",
      "flute",
      "saxophone-alto",
      "saxophone-tenor",
      "clarinet-bflat",
      "bass-clarinet-bflat",
      "oboe",
    ]);
    expect([disagreements, notices]).toEqual([[], []]);
  });

  it("by the notes' own instruments", () => {
    const ids = ["clarinet-bflat", "flute", "saxophone-alto", "clarinet-bflat"];
    const bars = ids.flatMap((id) => [note("C5", 4, `<instrument id="${id}"/>`), SILENT]);
    expect(read(bars, REED_2).changes).toEqual([
      "3: clarinet-bflat > flute (note-instrument in 3)",
      "5: flute > saxophone-alto (note-instrument in 5)",
      "7: saxophone-alto > clarinet-bflat (note-instrument in 7)",
    ]);
  });
});
