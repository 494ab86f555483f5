import { describe, expect, it } from "vitest";
import { attributes, B_FLAT, note, rest, words } from "../support/score-xml.js";
import { REED_2 } from "./doubler-cases.js";
import {
  declared,
  IN_A,
  IN_B_FLAT,
  LA,
  NAMED_A,
  NAMED_B_FLAT,
  on,
  PLAYED,
  read,
  SIB,
  SILENT,
  SOUND_BY_ID,
  SOUND_OF_A,
  threeBars,
  TWO,
  type Part,
} from "./in-hand-cases.js";

const BACK_IN_B_FLAT = attributes({ transpose: B_FLAT });

/** Such as `3 (2: muta in La / 3: in B♭) > clarinet-bflat` of two words against each other. */
function againstWords(disagreements: ReturnType<typeof read>["disagreements"]) {
  return disagreements.map((each) =>
    each.kind === "words-against-words"
      ? `${each.barLabel} (${each.wordsBarLabel}: ${each.words} / ${each.otherWordsBarLabel}: ${each.otherWords}) > ${each.followed}`
      : each.kind,
  );
}

it("signs that agree are no conflict, whatever their number", () => {
  const to = (text: string, id: string, transpose: readonly [number, number, number?]) => [
    words(text) + `<sound><instrument-change id="${id}"/></sound>` + SILENT,
    attributes({ transpose }) + on(id),
  ];
  const bars = [
    IN_B_FLAT + on("clarinet-bflat"),
    ...to("To Flute", "flute", [0, 0]),
    ...to("To Alto Sax", "saxophone-alto", [-5, -9]),
    ...to("To Ten. Sax", "saxophone-tenor", [-1, -2, -1]),
    ...to("To Bass Cl.", "bass-clarinet-bflat", [-1, -2, -1]),
    ...to("To Oboe", "oboe", [0, 0]),
    ...to("To Cl.", "clarinet-bflat", [-1, -2]),
  ];
  const { changes, disagreements, notices } = read(bars, REED_2);
  expect(changes.map((line) => line.split(" ")[3]).join(" ")).toBe(
    "flute saxophone-alto saxophone-tenor bass-clarinet-bflat oboe clarinet-bflat",
  );
  expect([disagreements, notices]).toEqual([[], []]);
});

describe("words against words", () => {
  // prettier-ignore
  it.each<[string, readonly [string, string, string], readonly string[], readonly string[]]>([
    ["the last, where nothing else tells", [LA, words("muta in Do"), ""],
      ["clarinet-c"], ["3 (1: muta in La / 2: muta in Do) > clarinet-c"]],
    ["the label at the entry", [LA, "", words("in C")],
      ["clarinet-c"], ["3 (1: muta in La / 3: in C) > clarinet-c"]],
    ["the one that the transposition fits", [IN_B_FLAT + LA, words("muta in Do"), IN_A],
      ["clarinet-a"], ["3 (2: muta in Do / 1: muta in La) > clarinet-a"]],
    ["the later of those, in any order", [IN_B_FLAT + words("muta in Do"), LA, IN_A],
      ["clarinet-a"], ["3 (1: muta in Do / 2: muta in La) > clarinet-a"]],
    ["the name at the system", [words("muta in Do"), NAMED_A, ""],
      ["clarinet-a"], ["3 (1: muta in Do / 2: Clarinetto in La) > clarinet-a"]],
  ])("follow %s, and keep both places", (_, bars, to, expected) => {
    const { changes, disagreements } = threeBars(bars);
    expect(changes.map((line) => line.split(/[ :]+/)[3])).toEqual(to);
    expect(againstWords(disagreements)).toEqual(expected);
  });

  it("where neither fits the transposition both findings stand", () => {
    const { changes, disagreements } = threeBars([IN_B_FLAT + LA, words("muta in Do"), ""]);
    expect(changes).toEqual(["3: clarinet-bflat > clarinet-c (words in 1, words in 2)"]);
    expect(disagreements.map(({ kind }) => kind).sort()).toEqual([
      "words-against-transposition",
      "words-against-words",
    ]);
  });

  it("is a notice where what is in hand is followed", () => {
    const { changes, notices } = threeBars([IN_B_FLAT + LA, SIB, ""]);
    expect(changes).toEqual([]);
    expect(notices).toMatchObject([
      { kind: "disagreement", barLabel: "3", disagreement: { kind: "words-against-words" } },
    ]);
  });

  // prettier-ignore
  it.each<[string, readonly [string, string, string], Part]>([
    ["said again as a label", [LA, "", words("Clarinet in A")], {}],
    ["said again at the system", [LA, NAMED_A, ""], {}],
    ["a name and its key", [words("To Cl."), words("in A"), ""], {}],
    ["one for each of two players", [words("1. muta in La"), words("2. muta in Do"), ""], { name: "Clarinet 1" }],
    ["a cue's name beside it", [LA, words("Flute"), ""], {}],
  ])("is none: %s", (_, bars, part) => {
    const { changes, disagreements, notices } = threeBars(bars, part);
    expect(changes.map((line) => line.split(" (")[0])).toEqual(["3: clarinet-bflat > clarinet-a"]);
    expect([disagreements, notices]).toEqual([[], []]);
  });
});

describe("words against what is encoded", () => {
  // What is printed outweighs what only the file says.
  // prettier-ignore
  it.each<[string, readonly [string, string, string], Part]>([
    ["an id", ["", words("muta in Do") + SOUND_BY_ID, ""], TWO],
    ["a sound", ["", words("muta in Do") + SOUND_OF_A, ""], TWO],
  ])("%s: the words are followed", (_, bars, part) => {
    const { changes } = threeBars(bars, part);
    expect(changes.map((line) => line.split(" (")[0])).toEqual(["3: clarinet-bflat > clarinet-c"]);
  });

  it("and the transposition: the words are followed, and the one mistake is said once", () => {
    const { changes, disagreements } = threeBars([IN_B_FLAT, LA + SOUND_BY_ID, ""], TWO);
    expect(changes[0]).toContain("3: clarinet-bflat > clarinet-a");
    expect(disagreements.map(({ kind }) => kind)).toEqual(["words-against-transposition"]);
  });

  it("words and transposition against an id", () => {
    const { changes, disagreements } = threeBars([IN_A, SIB + SOUND_BY_ID, BACK_IN_B_FLAT], {
      ...TWO,
      name: "Clarinet in A",
    });
    expect(changes[0]).toContain("3: clarinet-a > clarinet-bflat");
    expect(disagreements).toEqual([
      {
        kind: "encoded-against-transposition",
        barIndex: 2,
        barLabel: "3",
        encoded: "wind.reed.clarinet.a",
        encodedBarLabel: "2",
        encodedMeans: "clarinet-a",
        transpositionFits: ["clarinet-bflat"],
        followed: "clarinet-bflat",
      },
    ]);
  });
});

describe("what is encoded against the transposition", () => {
  const WITH_BASS: Part = {
    extra: TWO.extra! + declared("I3", "Bass Clarinet", "wind.reed.clarinet.bass"),
  };
  const finding = { kind: "encoded-against-transposition", barLabel: "3" };

  it.each([
    ["an id", SOUND_BY_ID],
    ["a sound", SOUND_OF_A],
  ])("%s left over from a template gives way", (_, sign) => {
    const { changes, notices } = threeBars([IN_B_FLAT, sign, ""], TWO);
    expect(changes).toEqual([]);
    const disagreement = { ...finding, encodedBarLabel: "2", followed: "clarinet-bflat" };
    expect(notices).toMatchObject([{ kind: "disagreement", barLabel: "3", disagreement }]);
  });

  it("a note's instrument gives way too", () => {
    const bars = [IN_B_FLAT + on("I1"), SILENT, on("I2")];
    const { changes, notices } = read(bars, TWO);
    expect(changes).toEqual([]);
    expect(notices).toMatchObject([{ disagreement: { ...finding, encodedBarLabel: "3" } }]);
  });

  it("an instrument of its own sound is followed", () => {
    const bars = [IN_B_FLAT + on("I1"), SILENT, on("I3")];
    const { changes, disagreements } = read(bars, WITH_BASS);
    expect(changes).toEqual(["3: clarinet-bflat > bass-clarinet-bflat (note-instrument in 3)"]);
    expect(disagreements).toEqual([]);
  });

  it("a transposition that changes, with the old id left standing", () => {
    const old = SOUND_BY_ID.replace("I2", "I1");
    const { changes, disagreements } = threeBars([IN_B_FLAT, old, IN_A], TWO);
    expect(changes[0]).toContain("3: clarinet-bflat > clarinet-a");
    expect(disagreements).toMatchObject([{ ...finding, followed: "clarinet-a" }]);
  });
});

describe("words that come early", () => {
  const PHRASE = note("C5", 2) + rest(2);

  it("wait for their transposition, and the entry that was passed is said", () => {
    const bars = [IN_B_FLAT + LA + PLAYED, SILENT, PLAYED, SILENT, IN_A + PLAYED];
    const { changes, disagreements } = read(bars);
    expect(changes).toEqual(["5: clarinet-bflat > clarinet-a (words in 1, transpose in 5)"]);
    expect(disagreements).toEqual([
      {
        kind: "words-before-transposition",
        barIndex: 4,
        barLabel: "5",
        words: "muta in La",
        wordsBarLabel: "1",
        wordsMean: "clarinet-a",
        passedBarLabel: "3",
      },
    ]);
  });

  it("of several entries the first is said", () => {
    const bars = [IN_B_FLAT + LA + PHRASE, PHRASE, PHRASE, SILENT, IN_A + PLAYED];
    const { disagreements } = read(bars);
    expect(disagreements).toMatchObject([{ passedBarLabel: "2", barLabel: "5" }]);
  });

  it("a breath passes nothing", () => {
    const breath = note("C5", 2) + rest(1) + note("C5", 1);
    const bars = [IN_B_FLAT + LA + breath, SILENT, IN_A + PLAYED];
    expect(read(bars).disagreements).toEqual([]);
  });

  it("a rest without an entry passes nothing", () => {
    const bars = [IN_B_FLAT + LA + PLAYED, SILENT, SILENT, SILENT, IN_A + PLAYED];
    expect(read(bars).disagreements).toEqual([]);
  });

  it("do not wait for another instrument's transposition", () => {
    const bars = [
      IN_B_FLAT + LA + PLAYED,
      SILENT,
      PLAYED,
      SILENT,
      attributes({ transpose: [0, 0] }),
    ];
    const { changes, disagreements } = read([...bars.slice(0, 4), bars[4] + PLAYED]);
    expect(changes[0]).toBe("3: clarinet-bflat > clarinet-a (words in 1)");
    expect(disagreements[0]).toMatchObject({
      kind: "words-against-transposition",
      barLabel: "3",
      transpositionFits: ["clarinet-bflat"],
    });
  });
});

describe("a label against the transposition at its note", () => {
  it.each([
    ["in A", "clarinet-a"],
    ["Clarinet in Eb", "clarinet-eflat"],
    ["Flute", "flute"],
  ])("%s is followed, as words are", (text, wordsMean) => {
    const part = { ...TWO, extra: TWO.extra! + declared("I3", "Flute", "wind.flutes.flute") };
    const { changes, disagreements } = threeBars([IN_B_FLAT, "", words(text)], part);
    expect(changes).toEqual([`3: clarinet-bflat > ${wordsMean} (words in 3)`]);
    expect(disagreements).toMatchObject([
      { kind: "words-against-transposition", barLabel: "3", wordsBarLabel: "3", wordsMean },
    ]);
  });

  it("a name at the system is too", () => {
    const { disagreements } = threeBars([IN_A, NAMED_B_FLAT, ""], { name: "Clarinet in A" });
    expect(disagreements).toMatchObject([
      { kind: "words-against-transposition", wordsBarLabel: "2", wordsMean: "clarinet-bflat" },
    ]);
  });
});

describe("a bare B is B-flat, and the report says by what", () => {
  const B = words("muta in B");
  // prettier-ignore
  it.each<[string, readonly [string, string, string], Part, string]>([
    ["the transposition", [IN_A, B, BACK_IN_B_FLAT], { name: "Clarinet in A" }, "transposition"],
    ["German keys elsewhere", ["", words("muta in Es") + B, ""], { name: "Klarinette in A" }, "german"],
    ["German words", ["", words("nimmt Klarinette in B"), ""], { name: "Clarinet in A" }, "german"],
    ["Italian words", ["", B, ""], { name: "Clarinet in A" }, "italian"],
    ["there being no clarinet in B natural", ["", words("To Clarinet in B"), ""], { name: "Clarinet in A" }, "no-such-instrument"],
  ])("%s", (_, bars, part, because) => {
    const { changes, notices } = threeBars(bars, part);
    expect(changes.map((line) => line.split(" (")[0])).toEqual(["3: clarinet-a > clarinet-bflat"]);
    const bareB = notices.filter(({ kind }) => kind === "bare-b");
    expect(bareB).toMatchObject([{ because, barLabel: "2" }]);
  });

  it.each(["muta in Si♭", "muta in B♭", "muta in Bb", "muta in La"])("%s is none", (text) => {
    const { notices } = threeBars(["", words(text), ""], { name: "Clarinet in A" });
    expect(notices.filter(({ kind }) => kind === "bare-b")).toEqual([]);
  });

  it.each([
    ["muta in H", ""],
    ["muta in H", IN_A],
    ["muta in Si", ""],
    ["muta in Mi", IN_A],
  ])("%s, in which no clarinet is made, is not understood (case %#)", (text, sign) => {
    const { changes, notices } = threeBars([sign, words(text), ""], { name: "Clarinet in A" });
    expect(changes).toEqual([]);
    expect(notices).toMatchObject([{ kind: "instruction-unclear", text, barLabel: "2" }]);
  });

  it("is said once", () => {
    const bars = [PLAYED, B + SILENT, PLAYED, LA + SILENT, PLAYED, B + SILENT, PLAYED];
    const { changes, notices } = read(bars, { name: "Clarinet in A" });
    expect(changes).toHaveLength(3);
    expect(notices.filter(({ kind }) => kind === "bare-b")).toHaveLength(1);
  });
});
