import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { INSTRUMENT_KINDS, KIND_INSTRUMENTS } from "../../src/instruments/kinds.js";
import { NAME_ROWS } from "../../src/instruments/names-data.js";
import {
  instrumentsNamed,
  isClarinetName,
  isWindDoublerName,
  readInstrumentName,
  type NamedInstrument,
} from "../../src/instruments/names.js";
import { INSTRUMENTS } from "../../src/instruments/table.js";
import { MAX_TEXT_LENGTH, tokenize } from "../../src/instruments/tokens.js";

type Family = NonNullable<NamedInstrument["family"]>;

/** Shorthand: family, key in fifths (B-flat -2, A 3), players. */
function named(family: Family, keyFifths?: number, players?: readonly number[]): NamedInstrument {
  return { family, ...(keyFifths !== undefined && { keyFifths }), ...(players && { players }) };
}

// Names: music21 languageExcerpts/instrumentLookup.py. Keys: LilyPond define-note-names.scm
// (deutsch, italiano) and Berlioz, Grand traité (1844). Part names as in the OpenScore Orchestra
// corpus (CC0). Abbreviations and their order: common practice, no source.
const NAMES: readonly (readonly [string, NamedInstrument])[] = [
  // English
  ["Bb Clarinet 1", named("clarinet", -2, [1])],
  ["B♭ Clarinet", named("clarinet", -2)],
  ["B\uE260 Clarinet 2", named("clarinet", -2, [2])],
  ["Clarinet in B♭ 2", named("clarinet", -2, [2])],
  ["Clarinet in B flat", named("clarinet", -2)],
  ["Clarinet in B-flat", named("clarinet", -2)],
  ["1st Clarinet in B-Flat", named("clarinet", -2, [1])],
  ["A Clarinet", named("clarinet", 3)],
  ["A Cl.", named("clarinet", 3)],
  ["Clarinets 1 & 2 in A", named("clarinet", 3, [1, 2])],
  ["Clarinets 1-3", named("clarinet", undefined, [1, 2, 3])],
  ["Clarinet II", named("clarinet", undefined, [2])],
  ["Clarinets a 2", named("clarinet")],
  ["2 Clarinets in C", named("clarinet", 0, [1, 2])],
  ["CLARINET", named("clarinet")],
  ["Clarionet", named("clarinet")],
  ["Solo Clarinet", named("clarinet")],
  ["Clarinet in A/B♭", named("clarinet")],
  ["E-flat Clarinet", named("clarinet", -3)],
  ["small clarinet", named("small-clarinet")],
  ["piccolo clarinet in D", named("small-clarinet", 2)],
  ["B. Cl.", named("bass-clarinet")],
  ["B.Cl.", named("bass-clarinet")],
  ["B Cl", named("bass-clarinet")],
  ["Bass Clarinet in Bb", named("bass-clarinet", -2)],
  ["A Bass Clarinet", named("bass-clarinet", 3)],
  ["Basset Horn in F", named("basset-horn", -1)],
  ["Basset Clarinet", named("basset-clarinet")],
  ["Eb Alto Clarinet", named("alto-clarinet", -3)],
  ["Contra-alto Clarinet", named("contra-alto-clarinet")],
  ["Contrabass Clarinet in B♭", named("contrabass-clarinet", -2)],
  ["Contrabass Clarinet in E♭", named("contra-alto-clarinet", -3)],
  ["Flute 1", named("flute", undefined, [1])],
  ["Flute 2/Piccolo", named("flute", undefined, [2])],
  ["Picc", named("piccolo")],
  ["Alto Flute", named("alto-flute")],
  ["Flute in G", named("alto-flute", 1)],
  ["Ob 1", named("oboe", undefined, [1])],
  ["Oboe d’amore", named("oboe-damore")],
  ["English Horn", named("english-horn")],
  ["Cor anglais", named("english-horn")],
  ["E. H.", named("english-horn")],
  ["Bsn 2", named("bassoon", undefined, [2])],
  ["C Bsn", named("contrabassoon")],
  ["Double Bassoon", named("contrabassoon")],
  ["Alto Sax", named("saxophone-alto")],
  ["E♭ Alto Saxophone", named("saxophone-alto", -3)],
  ["Tenor Sax.", named("saxophone-tenor")],
  ["Saxophone", named("saxophone")],
  ["Reed 2: Clarinet, Tenor Sax", named("clarinet", undefined, [2])],
  // German: B is B-flat, H is B natural
  ["Klarinette in B", named("clarinet", -2)],
  ["2. Klarinette in A", named("clarinet", 3, [2])],
  ["2 Clarinetten in C", named("clarinet", 0, [1, 2])],
  ["Klar. (B)", named("clarinet", -2)],
  ["Kl. in Es", named("clarinet", -3)],
  ["Es-Klarinette", named("clarinet", -3)],
  ["A-Klar.", named("clarinet", 3)],
  ["B-Kl.", named("clarinet", -2)],
  ["B.-Kl.", named("bass-clarinet")],
  ["Klarinette in H", named("clarinet", 5)],
  ["Klarinette in Dis", named("clarinet", -3)],
  ["kl. Klarinette in D", named("small-clarinet", 2)],
  ["Baßkl. in A", named("bass-clarinet", 3)],
  ["Bass-\nklarinette", named("bass-clarinet")],
  ["Bkl.", named("bass-clarinet")],
  ["2 Bassethörner", named("basset-horn", undefined, [1, 2])],
  ["Große Flöte", named("flute")],
  ["Kl. Fl.", named("piccolo")],
  ["Englisch-Horn", named("english-horn")],
  ["Fagott", named("bassoon")],
  ["K.-Fag.", named("contrabassoon")],
  ["Altsaxophon in Es", named("saxophone-alto", -3)],
  // Italian
  ["Clarinetti in La", named("clarinet", 3)],
  ["Clarinetti in B", named("clarinet", -2)],
  ["Clarinetti in B-fa", named("clarinet", -2)],
  ["Clarinetti I, II in Si♭", named("clarinet", -2, [1, 2])],
  ["Clarinetto 1º in Sib", named("clarinet", -2, [1])],
  ["Clarinetto in Si bemolle", named("clarinet", -2)],
  ["Clarinetto piccolo in Mib", named("small-clarinet", -3)],
  ["Cl. basso", named("bass-clarinet")],
  ["Clarinetti bassi", named("bass-clarinet")],
  ["Clarone in La", named("bass-clarinet", 3)],
  ["Corno di bassetto", named("basset-horn")],
  ["Flauto piccolo", named("piccolo")],
  ["Ottavino", named("piccolo")],
  ["Flauto in sol", named("alto-flute", 1)],
  ["Corno inglese", named("english-horn")],
  ["Oboi 1. 2.", named("oboe", undefined, [1, 2])],
  ["Contrafagotto", named("contrabassoon")],
  // French
  ["Clarinette en si bémol", named("clarinet", -2)],
  ["Cl. en si b", named("clarinet", -2)],
  ["Clarinettes en ut", named("clarinet", 0)],
  ["Cl. (la)", named("clarinet", 3)],
  ["la clarinette en la", named("clarinet", 3)],
  ["1re Clarinette en La", named("clarinet", 3, [1])],
  ["Petite clarinette (mi♭)", named("small-clarinet", -3)],
  ["Pte Cl.", named("small-clarinet")],
  ["Clarinette basse", named("bass-clarinet")],
  ["Flûte en sol", named("alto-flute", 1)],
  ["Petite Flûte", named("piccolo")],
  ["C. A.", named("english-horn")],
  ["Hautbois", named("oboe")],
  ["Basson", named("bassoon")],
  ["Saxophone alto", named("saxophone-alto")],
  // Spanish
  ["Clarinete en Si bemol", named("clarinet", -2)],
  ["Flautín", named("piccolo")],
  ["Corno inglés", named("english-horn")],
  // Spaces, case, invisible characters
  ["  clarinet\u00a0in\u00a0A ", named("clarinet", 3)],
  ["Clari\u00adnet in B♭", named("clarinet", -2)],
  ["CLARINETTO IN LA", named("clarinet", 3)],
];

// The clarino is a trumpet (music21 instrumentLookup.py); bare "corno" is a horn, and the rest
// likewise common practice, no source.
const OTHERS: readonly string[] = [
  "Violin", "Violin 1", "Horn in F", "F Horn 1", "E Horn 1", "E Hn", "C Horn 3", "Corno", "Cor 2",
  "Clarino", "Clarini in D", "Trumpet in B", "Trumpet in Bb", "Piccolo Trumpet in A", "C Trumpet 1",
  "Bass", "Bass Trombone", "Bass Sarrusophone", "Bass Flute", "Bass Oboe", "Contrabass", "Cb",
  "Timpani in A, E", "Pauken in Es-B", "Soprano", "Alto", "Tenor", "Voice", "Soprano Alto",
  "Soprano Recorder", "Flauto dolce", "Violoncello piccolo", "Celesta", "Harp", "Kl. Trommel",
  "A", "in A", "B♭", "1", "MusicXML Part", "Piano", "Ob. cue 3x", "",
]; // prettier-ignore

describe("readInstrumentName", () => {
  it.each(NAMES)("%j", (text, expected) => {
    expect(readInstrumentName(text)).toEqual(expected);
  });

  it.each(OTHERS)("%j is none of our woodwinds", (text) => {
    expect(readInstrumentName(text)).toBeUndefined();
    expect(isWindDoublerName(text)).toBe(false);
  });

  it("reads every name of the tables as its own kind", () => {
    for (const { kind, full, short } of NAME_ROWS)
      for (const name of [...full, ...short])
        expect(readInstrumentName(name)?.family, name).toBe(kind);
  });

  it("never takes a tonality for a key", () => {
    expect(readInstrumentName("Clarinet, A major")).toEqual(named("clarinet"));
  });

  it("looks at no text longer than the cap", () => {
    const long = `Clarinet in A ${" ".repeat(MAX_TEXT_LENGTH)}`;
    expect(readInstrumentName(long)).toBeUndefined();
    expect(tokenize("a ".repeat(100))).toEqual([]);
  });

  it("accepts any text without failing, and its case does not matter", () => {
    fc.assert(
      fc.property(fc.string({ unit: "grapheme", maxLength: 80 }), (text) => {
        const name = readInstrumentName(text);
        expect(name === undefined || name.family !== undefined).toBe(true);
      }),
    );
    for (const [text, { family }] of NAMES)
      expect(readInstrumentName(text.toUpperCase())?.family, text).toBe(family);
  });
});

describe("instrumentsNamed", () => {
  it.each<[NamedInstrument, string[]]>([
    [named("clarinet", 3), ["clarinet-a"]],
    [named("clarinet", -3), ["clarinet-eflat"]],
    [named("clarinet", 5), []],
    [named("small-clarinet"), ["clarinet-eflat", "clarinet-d", "clarinet-aflat"]],
    [named("bass-clarinet"), ["bass-clarinet-bflat", "bass-clarinet-a"]],
    [named("bass-clarinet", 3), ["bass-clarinet-a"]],
    [named("flute"), ["flute"]],
    [named("flute", 1), ["alto-flute"]],
    [named("oboe", 3), ["oboe-damore"]],
    [named("saxophone", -2), ["saxophone-tenor", "saxophone-soprano"]],
    [{ keyFifths: -1 }, ["english-horn", "basset-horn-f"]],
    [{}, []],
    [{ players: [2] }, []],
  ])("%j", (name, ids) => {
    expect(instrumentsNamed(name)).toEqual(ids);
  });

  it("gives every clarinet for a bare clarinet, the B-flat first", () => {
    const ids = instrumentsNamed({ family: "clarinet" });
    expect(ids.slice(0, 3)).toEqual(["clarinet-bflat", "clarinet-a", "clarinet-c"]);
    expect(ids).toContain("clarinet-eflat");
  });

  it("leads from each kind to instruments, and to each instrument from some kind", () => {
    const reached = new Set(INSTRUMENT_KINDS.flatMap((kind) => [...KIND_INSTRUMENTS[kind]]));
    expect([...reached].sort()).toEqual(Object.keys(INSTRUMENTS).sort());
  });
});

describe("isClarinetName", () => {
  it.each([
    ["A Clarinet 1", true],
    ["B. Cl.", true],
    ["Corno di bassetto", true],
    ["Flute 1", false],
    ["Alto Sax", false],
    ["Clarino", false],
    ["Horn in F", false],
  ])("%s: %s", (text, expected) => {
    expect(isClarinetName(text)).toBe(expected);
  });
});

describe("isWindDoublerName", () => {
  it.each(["Flute 1", "Oboe", "Clarinet", "Fagotto", "Tenor Sax", "Contrabassoon"])(
    "%s",
    (text) => {
      expect(isWindDoublerName(text)).toBe(true);
    },
  );
});
