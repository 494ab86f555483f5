import { describe, expect, it } from "vitest";
import { selectParts } from "../../src/instruments/select-parts.js";
import { InputError } from "../../src/model/input-error.js";
import type { PartInfo } from "../../src/model/score.js";

function part(id: string, name: string, sound?: string, instrument = ""): PartInfo {
  const declared = sound === undefined ? {} : { sound };
  const scoreInstruments =
    sound === undefined && instrument === ""
      ? []
      : [{ id: `${id}-I1`, name: instrument, ...declared }];
  return { id, name, abbreviation: "", scoreInstruments };
}

const ORCHESTRA = [
  part("P1", "Flute 1"),
  part("P2", "Oboe"),
  part("P3", "Clarinet 1 in B♭"),
  part("P4", "Clarinet 2 in B♭"),
  part("P5", "Bass Clarinet"),
  part("P6", "Horn in F"),
  part("P7", "Violin I"),
];

function ids(parts: readonly PartInfo[], ...patterns: readonly string[]): readonly string[] {
  return selectParts(parts, patterns).map(({ id }) => id);
}

describe("parts asked for", () => {
  it.each([
    ["P3", ["P3"]],
    ["p7", ["P7"]],
    ["Oboe", ["P2"]],
    ["bass clarinet", ["P5"]],
    ["Clarinet 1 in Bb", ["P3"]],
    ["  clarinet  2 in b♭ ", ["P4"]],
    ["clarinet", ["P3", "P4", "P5"]],
    ["clarinet*", ["P3", "P4"]],
    ["*clarinet", ["P5"]],
    ["*clarinet*", ["P3", "P4", "P5"]],
    ["cl*1*b", ["P3"]],
    ["c*t*2*♭", ["P4"]],
    ["*", ["P1", "P2", "P3", "P4", "P5", "P6", "P7"]],
    ["horn", ["P6"]],
  ])("%j", (pattern, expected) => {
    expect(ids(ORCHESTRA, pattern)).toEqual(expected);
  });

  it("come once each, in the order of the score", () => {
    expect(ids(ORCHESTRA, "P7", "*clarinet*", "Bass Clarinet", "P1")).toEqual([
      "P1",
      "P3",
      "P4",
      "P5",
      "P7",
    ]);
  });

  it("an id goes before a name that contains it", () => {
    expect(ids([part("1", "Clarinet 2"), part("2", "Clarinet 1")], "2")).toEqual(["2"]);
  });

  it("a whole name goes before a longer one", () => {
    expect(ids([part("P1", "Bass Clarinet"), part("P2", "Clarinet")], "clarinet")).toEqual(["P2"]);
  });

  it("a star does not let the two ends of a pattern share a letter", () => {
    const parts = [part("P1", "ala"), part("P2", "alala")];
    expect(ids(parts, "ala*la")).toEqual(["P2"]);
    expect(() => ids(parts, "alala*ala")).toThrow("no part matches");
  });

  it("signs that mean something in other patterns are letters", () => {
    const parts = [part("P1", "Reed 1 (Cl.)"), part("P2", "Reed 1 xClx")];
    expect(ids(parts, "*(cl.)")).toEqual(["P1"]);
    expect(() => ids(parts, "*[c]*")).toThrow("no part matches");
  });
});

describe("without a pattern", () => {
  // prettier-ignore
  it.each<[string, readonly PartInfo[], readonly string[]]>([
    ["clarinets of every size", ORCHESTRA, ["P3", "P4", "P5"]],
    ["basset horns", [part("P1", "Corno di bassetto"), part("P2", "Corno")], ["P1"]],
    ["in other languages", [part("P1", "Klarinette in B"), part("P2", "Clarinette"), part("P3", "Cl.")], ["P1", "P2", "P3"]],
    ["by the instrument declared", [part("P1", "Reed 1", undefined, "Clarinet in A")], ["P1"]],
    // Identifiers of MusicXML 4.0 sounds.xml.
    ["by the sound declared", [part("P1", "I", "wind.reed.clarinet.a"), part("P2", "II", "brass.trumpet")], ["P1"]],
    ["else whoever may double", [part("P1", "Flute"), part("P2", "Alto Sax"), part("P3", "Violin")], ["P1", "P2"]],
    ["else by its sound", [part("P1", "I", "wind.flutes.flute.piccolo"), part("P2", "II", "wind.flutes.recorder")], ["P1"]],
  ])("%s", (_, parts, expected) => {
    expect(ids(parts)).toEqual(expected);
  });

  it("gives back the parts as they came", () => {
    const parts = [{ ...part("P1", "Clarinet"), barCount: 12 }];
    expect(selectParts(parts, [])[0]).toBe(parts[0]);
  });
});

describe("refusals", () => {
  function refusal(parts: readonly PartInfo[], ...patterns: readonly string[]): InputError {
    try {
      selectParts(parts, patterns);
    } catch (error) {
      if (error instanceof InputError) return error;
      throw error;
    }
    throw new Error("was not refused");
  }

  it("one pattern without a part is enough", () => {
    const error = refusal(ORCHESTRA.slice(0, 2), "Flute 1", "Tuba");
    expect(error.code).toBe("no-matching-part");
    expect(error.message).toBe('no part matches "Tuba"; there are: P1 Flute 1, P2 Oboe');
  });

  it("no woodwind in the score", () => {
    const { code, message } = refusal([part("P1", "Violin"), part("P2", "")]);
    expect(code).toBe("no-matching-part");
    expect(message).toBe("no part is for a woodwind player; there are: P1 Violin, P2");
  });

  it("forty parts are listed, the others counted", () => {
    const many = Array.from({ length: 43 }, (_, k) => part(`P${k + 1}`, ""));
    const { message } = refusal(many, "Oboe");
    expect(message).toMatch(/, P39, P40, and 3 more$/);
  });

  it("names from the file play no tricks on the terminal", () => {
    expect(refusal([part("P1", "Vio\u001b[2Jlin\nII")], "Oboe").message).toBe(
      'no part matches "Oboe"; there are: P1 Vio [2Jlin II',
    );
  });
});
