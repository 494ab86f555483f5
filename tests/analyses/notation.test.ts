import { describe, expect, it } from "vitest";
import { attributes, note, rest, words, type PartXml } from "../support/score-xml.js";
import {
  declared,
  display,
  IN_A,
  IN_B_FLAT,
  IN_BASS,
  LA,
  PLAYED,
  SILENT,
  SIB,
} from "./in-hand-cases.js";
import { clef, CONCERT_SCORE, credit, forPart, soundsOf } from "./notation-cases.js";

const key = (fifths: number) => attributes({ fifths });
const FLUTE = (fifths: number): PartXml => ({ name: "Flute", bars: [key(fifths) + PLAYED] });
const VIOLIN = (fifths: number): PartXml => ({ name: "Violin", bars: [key(fifths) + PLAYED] });
const HORN: PartXml = {
  name: "Horn in F",
  bars: [attributes({ fifths: 0, transpose: [-4, -7] }) + PLAYED],
};

describe("a score at sounding pitch by its own word", () => {
  // The second and third are those of the example in the MusicXML 4.0 documentation of <concert-score>.
  // prettier-ignore
  it.each<[string, string, string, string, string]>([
    ["Clarinet in A", "", "C5", "clarinet-a", "C5"],
    ["Piccolo", attributes({ transpose: [0, 0, 1] }), "C5", "piccolo", "C6"],
    ["Bass Clarinet", clef("F") + forPart(-1, -2, -1), "C3", "bass-clarinet-bflat", "C3"],
    ["Bass Clarinet", clef("F"), "C3", "bass-clarinet-bflat", "C3"],
    ["Bass Clarinet", clef("G") + attributes({ transpose: [0, 0, -1] }) + forPart(-1, -2, -1), "C4", "bass-clarinet-bflat", "C3"],
    ["Contrabassoon", attributes({ transpose: [0, 0, -1] }), "C3", "contrabassoon", "C2"],
    ["", forPart(-2, -3), "C5", "clarinet-a", "C5"],
    ["Clarinet", forPart(2, 3), "C5", "clarinet-eflat", "C5"],
    ["English Horn", forPart(-4, -7), "C5", "english-horn", "C5"],
  ])("%s (case %#)", (name, sign, pitch, instrument, sound) => {
    const { sounds, first } = soundsOf({ name, bars: [sign + note(pitch, 4)] }, [], CONCERT_SCORE);
    expect([first, sounds]).toEqual([instrument, [sound]]);
  });

  it("changes where the part that will be made of it does", () => {
    const bars = [forPart(-1, -2) + PLAYED, SILENT, forPart(-2, -3) + PLAYED];
    const { sounds, changes } = soundsOf({ name: "Clarinet", bars }, [], CONCERT_SCORE);
    expect(changes).toEqual(["clarinet-bflat > clarinet-a"]);
    expect(sounds).toEqual(["C5", "C5"]);
  });

  it("changes by words without <for-part>, and says nothing of a transposition", () => {
    const bars = [PLAYED, LA + SILENT, PLAYED, SIB + SILENT, PLAYED];
    const part = { name: "Clarinet in Bb", bars };
    const { sounds, changes, disagreements } = soundsOf(part, [], CONCERT_SCORE);
    expect(changes).toEqual(["clarinet-bflat > clarinet-a", "clarinet-a > clarinet-bflat"]);
    expect(sounds).toEqual(["C5", "C5", "C5"]);
    expect(disagreements).toEqual([]);
  });

  it("can contradict the words", () => {
    const bars = [forPart(-1, -2) + PLAYED, LA + SILENT, PLAYED];
    const { disagreements } = soundsOf({ name: "Clarinet", bars }, [], CONCERT_SCORE);
    const places = { kind: "words-against-transposition", wordsBarLabel: "2", barLabel: "3" };
    expect(disagreements).toMatchObject([places]);
  });
});

describe("a score in C that does not say so", () => {
  const clarinet = (name: string, fifths: number, more = ""): PartXml => ({
    name,
    bars: [key(fifths) + more + PLAYED],
  });
  // Written for the B-flat clarinet D is E, for the A clarinet F.
  // prettier-ignore
  it.each<[string, PartXml, readonly PartXml[], string, string | undefined]>([
    ["by the others' key", clarinet("Clarinet in A", 2), [FLUTE(2), VIOLIN(2)], "C5", "key"],
    ["by the others' key, with a transposing horn", clarinet("Clarinet in Bb", 2), [FLUTE(2), VIOLIN(2), HORN], "C5", "key"],
    ["not by the key it would have in a part", clarinet("Clarinet in Bb", 4), [FLUTE(2), VIOLIN(2)], "Bb4", undefined],
    ["not by that for the A clarinet", clarinet("Clarinet in A", -1), [FLUTE(2)], "A4", undefined],
    ["not by that spelled with flats", clarinet("Clarinet in Bb", -5), [FLUTE(5)], "Bb4", undefined],
    ["by nobody being transposed", clarinet("Clarinet in A", 0), [FLUTE(0), VIOLIN(0)], "C5", "no-transpositions"],
    ["not where a horn is", clarinet("Clarinet in A", 0), [FLUTE(0), HORN], "A4", undefined],
    ["of an English horn", clarinet("English Horn", -3), [FLUTE(-3), VIOLIN(-3)], "C5", "key"],
    ["of an alto saxophone", clarinet("Alto Sax", 1), [FLUTE(1)], "C5", "key"],
    ["by octaves alone", clarinet("Bass Clarinet", 2, attributes({ transpose: [0, 0, -1] })), [FLUTE(2)], "C4", "key"],
    ["not for a flute, which sounds as written", clarinet("Flute", 0), [VIOLIN(0)], "C5", undefined],
  ])("%s", (_, part, others, sound, because) => {
    const { sounds, notices } = soundsOf(part, others);
    expect(sounds).toEqual([sound]);
    const found = notices.flatMap((notice) => (notice.kind === "score-in-c" ? [notice] : []));
    expect(found.map((notice) => notice.because)).toEqual(because ? [because] : []);
  });

  it.each<[string, Partial<PartXml>]>([
    [
      "a theatre book by its instruments",
      { name: "Reed 2", extra: declared("I1", "Clarinet in Bb", "wind.reed.clarinet.bflat") },
    ],
    [
      "a part whose name stands at its head",
      { name: "", bars: [words("Clarinet") + key(2) + PLAYED] },
    ],
  ])("also of %s", (_, part) => {
    const { sounds } = soundsOf({ bars: [key(2) + PLAYED], ...part }, [FLUTE(2), VIOLIN(2)]);
    expect(sounds).toEqual(["C5"]);
  });

  it("keeps its pitch through changes by words", () => {
    const bars = [key(2) + PLAYED, LA + SILENT, PLAYED];
    const { sounds, changes } = soundsOf({ name: "Clarinet in Bb", bars }, [FLUTE(2)]);
    expect([sounds, changes]).toEqual([["C5", "C5"], ["clarinet-bflat > clarinet-a"]]);
  });
});

describe("a part alone without transpositions is written for its instrument", () => {
  it.each([
    ["Clarinet in B♭", "Bb4"],
    ["Klarinette in B", "Bb4"],
    ["Clarinet in A", "A4"],
    ["Clarinet in Eb", "Eb5"],
    ["Bass Clarinet", "Bb3"],
    ["Piccolo", "C6"],
    ["English Horn", "F4"],
    ["Alto Sax", "Eb4"],
  ])("%s", (name, sound) => {
    expect(soundsOf({ name, bars: [PLAYED] }).sounds).toEqual([sound]);
  });

  it("and then for that of the words", () => {
    const bars = [PLAYED, LA + SILENT, PLAYED, words("muta in Clarinetto basso") + SILENT, PLAYED];
    expect(soundsOf({ name: "Clarinet in Bb", bars }).sounds).toEqual(["Bb4", "A4", "Bb3"]);
  });
});

describe("the clefs of the bass clarinet", () => {
  const bass = (...bars: readonly string[]) => soundsOf({ name: "Bass Clarinet", bars });
  const A_SECOND = IN_B_FLAT;
  const A_NINTH = IN_BASS;
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[], number]>([
    ["treble clef, a ninth", [clef("G") + A_NINTH + note("C5", 4)], ["Bb3"], 0],
    ["bass clef, a second", [clef("F") + A_SECOND + note("E2", 4)], ["D2"], 0],
    ["bass clef, a ninth in the file", [clef("F") + A_NINTH + note("E2", 4), note("C4", 4)], ["D2", "Bb3"], 2],
    // Without a note that is too low nothing shows that the file is wrong.
    ["bass clef, a ninth, within the range", [clef("F") + A_NINTH + note("C4", 4)], ["Bb2"], 0],
    ["mixed clefs", [clef("G") + A_NINTH + note("C5", 4), clef("F") + A_SECOND + note("C3", 4), clef("G") + A_NINTH + note("C5", 4)], ["Bb3", "Bb2", "Bb3"], 0],
    ["mixed clefs, a ninth throughout", [clef("G") + A_NINTH + note("C5", 4), clef("F") + note("E2", 4), clef("G") + note("C5", 4)], ["Bb3", "D2", "Bb3"], 1],
    // Written on into the treble clef without another octave.
    ["German treble clef", [clef("F") + A_SECOND + note("C4", 4), clef("G") + note("E4", 4)], ["Bb3", "D4"], 0],
    ["German treble clef from the start", [clef("G") + A_SECOND + note("E4", 4)], ["D4"], 0],
  ])("%s", (_, bars, sounds, octaveLow) => {
    const found = bass(...bars);
    expect(found.sounds).toEqual(sounds);
    expect([found.first, found.changes]).toEqual(["bass-clarinet-bflat", []]);
    const count = found.notices.map((notice) =>
      notice.kind === "bass-clef-octave" ? notice.count : 0,
    );
    expect(count).toEqual(octaveLow ? [octaveLow] : []);
  });

  // prettier-ignore
  it.each<[string, string, readonly string[], readonly string[]]>([
    ["Bass Clarinet in A", "bass-clarinet-a", [clef("F") + attributes({ transpose: [-2, -3] }) + note("C3", 4), clef("G") + attributes({ transpose: [-2, -3, -1] }) + note("C5", 4)], ["A2", "A3"]],
    ["Contrabass Clarinet", "contrabass-clarinet-bflat", [clef("F") + IN_BASS + note("C3", 4), clef("G") + attributes({ transpose: [-1, -2, -2] }) + note("C5", 4)], ["Bb1", "Bb2"]],
    ["Basset Horn", "basset-horn-f", [clef("F") + attributes({ transpose: [3, 5] }) + note("C3", 4), clef("G") + attributes({ transpose: [-4, -7] }) + note("C5", 4)], ["F3", "F4"]],
  ])("and of the %s", (name, instrument, bars, sounds) => {
    const found = soundsOf({ name, bars });
    expect([found.first, found.sounds, found.changes]).toEqual([instrument, sounds, []]);
  });

  it("do not move notes that stand at sounding pitch", () => {
    const bars = [key(2) + clef("F") + note("D2", 4)];
    const { sounds, notices } = soundsOf({ name: "Bass Clarinet", bars }, [FLUTE(2)]);
    expect(sounds).toEqual(["D2"]);
    expect(notices.map(({ kind }) => kind)).toEqual(["score-in-c"]);
  });

  it("taken up from the clarinet in bass clef", () => {
    const bars = [clef("G") + IN_B_FLAT + PLAYED, words("To B. Cl.") + SILENT];
    const low = clef("F") + note("E2", 4);
    const { sounds, changes, disagreements } = soundsOf({ name: "Clarinet", bars: [...bars, low] });
    expect(changes).toEqual(["clarinet-bflat > bass-clarinet-bflat"]);
    expect([sounds, disagreements]).toEqual([["Bb4", "D2"], []]);
  });

  it("and left again, the transposition being the same in both clefs", () => {
    const low = IN_B_FLAT + clef("F") + note("E2", 4);
    const bars = [clef("G") + IN_B_FLAT + PLAYED, words("To Bass Clarinet") + SILENT, low];
    const back = [words("To Clarinet") + SILENT, clef("G") + PLAYED];
    const { sounds, changes, disagreements } = soundsOf({
      name: "Clarinet",
      bars: [...bars, ...back],
    });
    expect(changes).toEqual([
      "clarinet-bflat > bass-clarinet-bflat",
      "bass-clarinet-bflat > clarinet-bflat",
    ]);
    expect([sounds, disagreements]).toEqual([["Bb4", "D2", "Bb4"], []]);
  });

  it("without a transposition a part in bass clef sounds a second lower", () => {
    expect(bass(clef("F") + note("E2", 4), note("C4", 4)).sounds).toEqual(["D2", "Bb3"]);
  });

  it("also where no note is too low for the other", () => {
    expect(bass(clef("F") + note("C4", 4), clef("G") + note("C5", 4)).sounds).toEqual([
      "Bb3",
      "Bb3",
    ]);
  });
});

describe("a first page that does not name the instrument in the part list", () => {
  const BY_WORDS = "words";
  const BY_TRANSPOSITION = "transposition";
  // prettier-ignore
  it.each<[string, string, string, string, string | undefined]>([
    ["a label over the first note", "", words("Clarinet in A") + PLAYED, "clarinet-a", BY_WORDS],
    ["a label in the rest before it", "", words("Bass Clarinet") + rest(2) + note("C5", 2), "bass-clarinet-bflat", BY_WORDS],
    ["a key over the first note", "", words("in A") + PLAYED, "clarinet-a", BY_WORDS],
    ["an abbreviation with its key", "", words("Cl. in Eb") + PLAYED, "clarinet-eflat", BY_WORDS],
    ["a name at the first system", "", display("<display-text>Flauto piccolo</display-text>") + PLAYED, "piccolo", BY_WORDS],
    ["the heading", credit("Clarinet in A"), PLAYED, "clarinet-a", BY_WORDS],
    ["a heading among others", credit("Symphony No. 4", "title") + credit("2nd Oboe") + credit("J. Doe", "composer"), PLAYED, "oboe", BY_WORDS],
    ["a heading without a key, with a transposition", credit("Clarinet II"), IN_A + PLAYED, "clarinet-a", BY_WORDS],
    ["a heading under a concerto's title", credit("Concerto for Clarinet", "title") + credit("Flute 2"), PLAYED, "flute", BY_WORDS],
    ["a transposition alone", "", IN_A + PLAYED, "clarinet-a", BY_TRANSPOSITION],
  ])("%s", (_, header, bar, instrument, by) => {
    const { first, notices, changes } = soundsOf({ name: "", bars: [bar] }, [], header);
    expect([first, changes]).toEqual([instrument, []]);
    expect(notices).toEqual([{ kind: "instrument-assumed", instrument, by }]);
  });

  it.each([
    ["an empty name", ""],
    ["a name that says nothing", "Part 1"],
    ["a template's name", "Music"],
  ])("%s: the label decides", (_, name) => {
    const bars = [words("Clarinet in A") + PLAYED, SILENT, PLAYED];
    expect(soundsOf({ name, bars }).first).toBe("clarinet-a");
  });

  const CUE = PLAYED.replace("<note>", "<note><cue/>");
  it.each([
    ["no name", ""],
    ["a theatre book", "Reed 2"],
  ])("%s: the name over a cue before the first note is another player's", (_, name) => {
    const bars = [words("Oboe") + CUE, words("Clarinet in A") + PLAYED];
    const { first, changes } = soundsOf({ name, bars });
    expect([first, changes]).toEqual(["clarinet-a", []]);
  });

  it.each(["Oboe", "Bass Clarinet", "Cl. in B♭"])(
    "a name over a cue before the first note does not change a part with a name: %s",
    (text) => {
      const bars = [words(text) + CUE, PLAYED];
      expect(soundsOf({ name: "Clarinet in A", bars }).first).toBe("clarinet-a");
    },
  );

  it("the declared sound decides", () => {
    const extra = declared("I1", "", "wind.reed.english-horn");
    expect(soundsOf({ name: "", extra, bars: [PLAYED] })).toMatchObject({
      first: "english-horn",
      notices: [],
    });
  });

  it.each<[string, PartXml, readonly PartXml[], string]>([
    ["nothing at all", { name: "", bars: [PLAYED] }, [], ""],
    ["words that name none", { name: "", bars: [words("Andante") + PLAYED] }, [], ""],
    [
      "a label that comes later",
      { name: "", bars: [PLAYED, words("Clarinet in A") + PLAYED] },
      [],
      "",
    ],
    ["the heading of a score", { name: "", bars: [PLAYED] }, [FLUTE(0)], credit("Clarinet in A")],
    ["a heading that names none", { name: "", bars: [PLAYED] }, [], credit("Sinfonia")],
  ])("%s is an error", (_, part, others, header) => {
    expect(() => soundsOf(part, others, header)).toThrow(
      expect.objectContaining({ code: "unknown-instrument" }),
    );
  });
});
