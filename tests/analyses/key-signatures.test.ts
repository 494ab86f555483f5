import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Disagreement } from "../../src/model/finding.js";
import { A, attributes, B_FLAT, scoreXml, timelineOf, type PartXml } from "../support/score-xml.js";
import { LA, PLAYED, SILENT } from "./in-hand-cases.js";
import { clef, CONCERT_SCORE } from "./notation-cases.js";

const key = (fifths: number) => attributes({ fifths });
const inBFlat = (fifths: number) => attributes({ meter: "4/4", fifths, transpose: B_FLAT });
const inA = (fifths: number) => attributes({ fifths, transpose: A });

/** A part that has a signature in some bars. */
function other(name: string, signatures: Readonly<Record<number, number>>, first = ""): PartXml {
  const bars = Array.from({ length: 6 }, (_, k) => {
    const fifths = signatures[k + 1];
    return (k === 0 ? first : "") + (fifths === undefined ? "" : key(fifths)) + PLAYED;
  });
  return { name, bars };
}

const IN_D = [other("Flute", { 1: 2 }), other("Violin I", { 1: 2 })];

function findingsOf(
  bars: readonly string[],
  others: readonly PartXml[],
  { header = "", name = "Clarinet" } = {},
): readonly Disagreement[] {
  const timeline = timelineOf(scoreXml([{ name, bars }, ...others], header));
  const source = { file: "test.musicxml", title: "", movement: "" };
  const { changes, notices } = analysePart(timeline, USUAL_PROFILE, source);
  return [
    ...changes.flatMap(({ disagreements }) => disagreements),
    ...notices.flatMap((each) => (each.kind === "disagreement" ? [each.disagreement] : [])),
  ];
}

/** Such as `3: 4 instead of -1 (keys in 1, 2)`: the part's place first, then the others'. */
function keyFaultsOf(...args: Parameters<typeof findingsOf>): readonly string[] {
  return findingsOf(...args).flatMap((each) =>
    each.kind === "key-against-score"
      ? `${each.barLabel}: ${each.writtenFifths} instead of ${each.expectedFifths} (keys in ${each.keyBarLabel}, ${each.scoreKeyBarLabel})`
      : [],
  );
}

describe("a signature and the other players' key", () => {
  // Sounding D major, two sharps, is four sharps for a clarinet in B-flat and one flat for one in A
  // (K. W. Gehrkens, Essentials in Conducting, 1919).
  // prettier-ignore
  it.each<[string, readonly string[], readonly PartXml[], readonly string[]]>([
    ["right in B-flat", [inBFlat(4) + PLAYED], IN_D, []],
    ["right in A", [inA(-1) + PLAYED], IN_D, []],
    ["the key for the A clarinet", [inBFlat(-1) + PLAYED], IN_D, ["1: -1 instead of 4 (keys in 1, 1)"]],
    ["the sounding key", [inBFlat(2) + PLAYED], IN_D, ["1: 2 instead of 4 (keys in 1, 1)"]],
    ["one sharp too few", [inBFlat(3) + PLAYED, SILENT, PLAYED], IN_D, ["1: 3 instead of 4 (keys in 1, 1)"]],
    ["left standing after a change", [inBFlat(4) + PLAYED, LA + SILENT, attributes({ transpose: A }) + PLAYED], IN_D,
      ["3: 4 instead of -1 (keys in 1, 1)"]],
    ["put right after a change", [inBFlat(4) + PLAYED, LA + SILENT, inA(-1) + PLAYED], IN_D, []],
    ["not changed with the others'", [inBFlat(4) + PLAYED, PLAYED, PLAYED], [other("Flute", { 1: 2, 3: -1 })],
      ["3: 4 instead of 1 (keys in 1, 3)"]],
    ["changed a bar late, in a rest", [inBFlat(4) + PLAYED, SILENT, key(1) + PLAYED], [other("Flute", { 1: 2, 2: -1 })], []],
    ["wrong, right, and wrong again", [inBFlat(3) + PLAYED, key(4) + PLAYED, key(3) + PLAYED], IN_D,
      ["1: 3 instead of 4 (keys in 1, 1)", "3: 3 instead of 4 (keys in 3, 1)"]],
  ])("%s", (_, bars, others, expected) => {
    expect(keyFaultsOf(bars, others)).toEqual(expected);
  });

  // Past six accidentals printers take the enharmonic key.
  // prettier-ignore
  it.each<[number, readonly [number, number], string]>([
    [5, [7, -5], "B major"],
    [6, [8, -4], "F-sharp major"],
    [-6, [-4, 8], "G-flat major"],
  ])("either spelling is right: %i sharps sounding, %j written (%s)", (sounding, written) => {
    for (const fifths of written) {
      const others = [other("Flute", { 1: sounding })];
      expect(keyFaultsOf([inBFlat(fifths) + PLAYED], others)).toEqual([]);
    }
  });

  it("the expected key is the one with fewer accidentals", () => {
    expect(keyFaultsOf([inBFlat(5) + PLAYED], [other("Flute", { 1: 5 })])).toEqual([
      "1: 5 instead of -5 (keys in 1, 1)",
    ]);
  });

  it("the others' enharmonic keys are the same key", () => {
    const others = [other("Flute", { 1: 6 }), other("Violin", { 1: -6 }), other("Oboe", { 1: 6 })];
    expect(keyFaultsOf([inBFlat(-4) + PLAYED], others)).toEqual([]);
  });

  it("is said where the player enters, with an advice at a change", () => {
    const bars = [inBFlat(4) + PLAYED, LA + SILENT, attributes({ transpose: A }) + PLAYED];
    const timeline = timelineOf(scoreXml([{ name: "Clarinet", bars }, ...IN_D]));
    const source = { file: "test.musicxml", title: "", movement: "" };
    const [change] = analysePart(timeline, USUAL_PROFILE, source).changes;
    expect(change?.disagreements).toMatchObject([
      { kind: "key-against-score", barLabel: "3", keyBarLabel: "1", instrument: "clarinet-a" },
    ]);
    expect(change?.advice).toContainEqual({ kind: "check-print", barLabel: "3" });
  });

  it("in a score at sounding pitch is that of all", () => {
    const right = [key(2) + clef("G") + PLAYED];
    expect(keyFaultsOf(right, IN_D, { header: CONCERT_SCORE })).toEqual([]);
    expect(keyFaultsOf([key(4) + PLAYED], IN_D, { header: CONCERT_SCORE })).toEqual([
      "1: 4 instead of 2 (keys in 1, 1)",
    ]);
  });

  it("of a flute goes by the others as well", () => {
    const others = [other("Oboe", { 1: 2 }), other("Violin", { 1: 2 })];
    expect(keyFaultsOf([key(1) + PLAYED], others, { name: "Flute" })).toEqual([
      "1: 1 instead of 2 (keys in 1, 1)",
    ]);
  });
});

describe("who is asked for the key", () => {
  const WRONG = [inBFlat(3) + PLAYED];
  const HORN = attributes({ transpose: [-4, -7] });
  const ONE_FAULT = ["1: 3 instead of 4 (keys in 1, 1)"];
  // prettier-ignore
  it.each<[string, readonly PartXml[], readonly string[]]>([
    ["nobody else there", [], []],
    ["horns and trumpets without a signature do not vote", [other("Flute", { 1: 2 }), other("Horn in F", { 1: 0 }, HORN), other("Trumpet in C", { 1: 0 }), other("Timpani", { 1: 0 }), other("Horn in C", { 1: 0 })], ONE_FAULT],
    ["transposing players are not asked", [other("Flute", { 1: 2 }), other("Trumpet in A", { 1: -1 }, attributes({ transpose: A })), other("English Horn", { 1: 3 }, HORN)], ONE_FAULT],
    ["only horns", [other("Horn in F", { 1: 0 }, HORN)], []],
    ["two of three agree", [other("Flute", { 1: 2 }), other("Oboe", { 1: 2 }), other("Violin", { 1: -3 })], ONE_FAULT],
    ["one of two does not", [other("Flute", { 1: 2 }), other("Violin", { 1: -3 })], []],
    ["a piccolo and a double bass, which sound in octaves", [other("Piccolo", { 1: 2 }, attributes({ transpose: [0, 0, 1] })), other("Contrabass", { 1: 2 }, attributes({ transpose: [0, 0, -1] }))], ONE_FAULT],
    ["players without any <key>", [other("Flute", { 1: 2 }), other("Percussion", {}), other("Cymbals", {})], ONE_FAULT],
  ])("%s", (_, others, expected) => {
    expect(keyFaultsOf(WRONG, others)).toEqual(expected);
  });
});

describe("what is left alone", () => {
  // prettier-ignore
  it.each<[string, readonly string[], readonly PartXml[]]>([
    ["a part that never has a signature", [inBFlat(0) + PLAYED, SILENT, PLAYED], IN_D],
    ["a part without any <key>", [attributes({ transpose: B_FLAT }) + PLAYED], IN_D],
    ["open keys on both sides, between signatures", [inBFlat(4) + PLAYED, key(0) + PLAYED], [other("Flute", { 1: 2, 2: 0 })]],
    ["a signature over rests alone", [inBFlat(4) + PLAYED, key(3) + SILENT, key(4) + PLAYED], IN_D],
  ])("%s", (_, bars, others) => {
    expect(keyFaultsOf(bars, others)).toEqual([]);
  });

  it("an open key is none where the others have sharps and the part had a signature before", () => {
    expect(keyFaultsOf([inBFlat(4) + PLAYED, key(0) + PLAYED], IN_D)).toEqual([
      "2: 0 instead of 4 (keys in 2, 1)",
    ]);
  });
});

describe("which of words and transposition the key is right for", () => {
  const kept = (signature: string) => [inBFlat(4) + PLAYED, LA + SILENT, signature + PLAYED];
  // prettier-ignore
  it.each<[string, string, readonly PartXml[], string | undefined]>([
    ["the words", key(-1), IN_D, "words"],
    ["the transposition", "", IN_D, "transposition"],
    ["neither", key(1), IN_D, undefined],
    ["nobody to compare with", key(-1), [], undefined],
    ["others who do not agree", key(-1), [other("Flute", { 1: 2 }), other("Violin", { 1: -3 })], undefined],
    ["open keys", key(0), [other("Flute", { 1: 2, 3: 0 })], undefined],
  ])("%s", (_, signature, others, expected) => {
    const findings = findingsOf(kept(signature), others);
    const conflict = findings.find(({ kind }) => kind === "words-against-transposition");
    expect(conflict).toMatchObject({ barLabel: "3", wordsBarLabel: "2" });
    expect(conflict && "keyFits" in conflict ? conflict.keyFits : undefined).toBe(expected);
  });

  it("where it fits one of the two it is no fault of its own", () => {
    expect(keyFaultsOf(kept(""), IN_D)).toEqual([]);
    expect(keyFaultsOf(kept(key(-1)), IN_D)).toEqual([]);
  });

  it("where it fits neither it is", () => {
    expect(keyFaultsOf(kept(key(1)), IN_D)).toEqual(["3: 1 instead of -1 (keys in 3, 1)"]);
  });

  it("by the other instrument's part of the way back", () => {
    const back = attributes({ transpose: A, fifths: -1 });
    const bars = [back + PLAYED, SILENT, LA.replace("La", "Si♭") + SILENT, PLAYED];
    const [conflict] = findingsOf(bars, IN_D, { name: "Clarinet in A" });
    expect(conflict).toMatchObject({ wordsMean: "clarinet-bflat", keyFits: "transposition" });
  });
});
