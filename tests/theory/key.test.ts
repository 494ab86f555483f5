import fc from "fast-check";
import { Key } from "tonal";
import { describe, expect, it } from "vitest";
import { majorKeyName, signatureAlter, signatureText, writtenKey } from "../../src/theory/key.js";
import { parsePitch, pitchFifths } from "../../src/theory/pitch.js";

/** The two clarinets of the orchestra, by their own keys on the line of fifths. */
const CLARINETS = { "B-flat": -2, A: 3 } as const;
type Clarinet = keyof typeof CLARINETS;

/** The fifteen major keys, from seven flats to seven sharps: C-flat is the first. */
const NAMES = Array.from({ length: 15 }, (_, k) => majorKeyName(k - 7));

function fifthsOf(name: string): number {
  return NAMES.indexOf(name) - 7;
}

function read(concert: string, clarinet: Clarinet): number {
  return writtenKey(fifthsOf(concert), CLARINETS[clarinet]).fifths;
}

function fewestAccidentals(concert: string): readonly Clarinet[] {
  const [bFlat, a] = [Math.abs(read(concert, "B-flat")), Math.abs(read(concert, "A"))];
  return bFlat === a ? ["B-flat", "A"] : bFlat < a ? ["B-flat"] : ["A"];
}

describe("writtenKey against K. W. Gehrkens, Essentials in Conducting (1919), table near p. 100", () => {
  const rows: readonly (readonly [concert: string, written: string, on: Clarinet])[] = [
    ["C", "D", "B-flat"],
    ["G", "B-flat", "A"],
    ["D", "F", "A"],
    ["A", "C", "A"],
    ["E", "G", "A"],
    ["B", "D", "A"],
    ["F-sharp", "A", "A"],
    ["F", "G", "B-flat"],
    ["B-flat", "C", "B-flat"],
    ["E-flat", "F", "B-flat"],
    ["A-flat", "B-flat", "B-flat"],
    ["D-flat", "E-flat", "B-flat"],
  ];
  it.each(rows)("concert %s is %s on the %s clarinet, the fewest accidentals", (from, to, on) => {
    expect(majorKeyName(read(from, on))).toBe(to);
    expect(fewestAccidentals(from)).toEqual([on]);
  });

  // Gehrkens keeps the spelling of the concert key; counting accidentals after a respelling, the
  // other instrument is as good or better: C sharp read as D flat is 3 flats on the B-flat
  // clarinet against 4 sharps, C flat read as B is 2 sharps on the A clarinet against 5 flats.
  const respelt: readonly (readonly [string, string, Clarinet, string, Clarinet])[] = [
    ["C-sharp", "E", "A", "E-flat", "B-flat"],
    ["C-flat", "D-flat", "B-flat", "D", "A"],
  ];
  it.each(respelt)("concert %s is %s on %s; respelt %s on %s", (from, to, on, other, onOther) => {
    expect(majorKeyName(read(from, on))).toBe(to);
    expect(writtenKey(fifthsOf(from), CLARINETS[on]).respelled).toBe(false);
    expect(majorKeyName(read(from, onOther))).toBe(other);
    expect(writtenKey(fifthsOf(from), CLARINETS[onOther]).respelled).toBe(true);
    expect(fewestAccidentals(from)).toEqual([onOther]);
  });

  it("concert G-flat is A-flat on B-flat, or A on A when respelt as F-sharp", () => {
    expect(writtenKey(-6, CLARINETS["B-flat"])).toEqual({ fifths: -4, respelled: false });
    expect(writtenKey(-6, CLARINETS.A)).toEqual({ fifths: 3, respelled: true });
  });
});

describe("writtenKey against E. Tavan, Méthode pratique d'orchestration symphonique, p. 22", () => {
  it("concert E is six sharps on the B-flat clarinet and one on the A", () => {
    expect(writtenKey(4, CLARINETS["B-flat"])).toEqual({ fifths: 6, respelled: false });
    expect(writtenKey(4, CLARINETS.A)).toEqual({ fifths: 1, respelled: false });
  });

  it.each<[Clarinet, readonly string[]]>([
    ["A", ["D", "E", "G", "A", "B"]],
    ["B-flat", ["E-flat", "F", "A-flat", "B-flat"]],
  ])("the %s clarinet is the one for %j", (clarinet, keys) => {
    expect(keys.map(fewestAccidentals)).toEqual(keys.map(() => [clarinet]));
  });
});

describe("writtenKey against the exchange joints of five-key clarinets", () => {
  // Universität Leipzig, organology pages: the three major keys playable with each joint are
  // always read as C, F and G. The joint in B natural (German H) is five sharps.
  it.each([
    ["C", 0, ["C", "F", "G"]],
    ["B-flat", -2, ["B-flat", "E-flat", "F"]],
    ["A", 3, ["A", "D", "E"]],
    ["B natural", 5, ["B", "E", "F-sharp"]],
  ])("in %s", (_, joint, concert) => {
    const written = concert.map((key) => majorKeyName(writtenKey(fifthsOf(key), joint).fifths));
    expect(written).toEqual(["C", "F", "G"]);
  });
});

describe("writtenKey", () => {
  // Common practice, no source: six sharps or flats are printed, seven are respelled.
  it.each([
    [5, -1, { fifths: 6, respelled: false }],
    [-6, 0, { fifths: -6, respelled: false }],
    [7, 0, { fifths: -5, respelled: true }],
    [-7, 0, { fifths: 5, respelled: true }],
    [7, -2, { fifths: -3, respelled: true }],
  ])("%i on an instrument in %i", (sounding, instrument, expected) => {
    expect(writtenKey(sounding, instrument)).toEqual(expected);
  });

  it("is the same key up to spelling, with six accidentals at most", () => {
    const fifths = fc.integer({ min: -7, max: 7 });
    fc.assert(
      fc.property(fifths, fifths, (sounding, instrument) => {
        const written = writtenKey(sounding, instrument);
        const back = written.fifths + instrument;
        expect(Math.abs(written.fifths)).toBeLessThanOrEqual(6);
        expect(Math.abs(back - sounding) % 12).toBe(0);
        expect(written.respelled).toBe(back !== sounding);
      }),
    );
  });
});

describe("signatureAlter", () => {
  const keys = NAMES.map((name, k) => [k - 7, name] as const);
  it.each(keys)("%i fifths alter the letters like tonal's scale of %s major", (fifths, name) => {
    const tonic = name.replace("-flat", "b").replace("-sharp", "#");
    const scale = Key.majorKey(tonic).scale.map((note) => parsePitch(`${note}4`));
    expect(scale).toHaveLength(7);
    for (const { step, alter } of scale) {
      expect(signatureAlter(fifths, pitchFifths({ step, alter: 0 })), step).toBe(alter);
    }
  });

  it("goes on to double sharps and flats where a signature does", () => {
    const [f, b] = [-1, 5];
    expect([signatureAlter(8, f), signatureAlter(-8, b)]).toEqual([2, -2]);
  });
});

describe("names of keys", () => {
  it.each([
    [-7, "C-flat", "7 flats"],
    [-1, "F", "1 flat"],
    [0, "C", "no sharps or flats"],
    [1, "G", "1 sharp"],
    [7, "C-sharp", "7 sharps"],
    [8, "8 sharps", "8 sharps"],
    [-8, "8 flats", "8 flats"],
  ])("%i: %s, %s", (fifths, name, signature) => {
    expect(majorKeyName(fifths)).toBe(name);
    expect(signatureText(fifths)).toBe(signature);
  });
});
