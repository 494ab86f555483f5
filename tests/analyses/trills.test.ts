import { describe, expect, it } from "vitest";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { RatedTrill } from "../../src/model/report.js";
import { pitchName } from "../../src/theory/pitch.js";
import { A, attributes, note, rest } from "../support/score-xml.js";
import {
  BACK,
  choiceOf,
  inChord,
  opening,
  ornament,
  reportOf,
  run,
  TIE,
  TIE_END,
  type PartSettings,
} from "./difficulty-cases.js";

const MARK = ornament("<trill-mark/>");
const line = (...types: readonly string[]) =>
  types.map((type) => `<wavy-line type="${type}"/>`).join("");
const withAccidental = (name: string) =>
  ornament(`<trill-mark/><accidental-mark>${name}</accidental-mark>`);
const tremolo = (type: "start" | "stop" | "single", strokes = 3) =>
  ornament(`<tremolo type="${type}">${strokes}</tremolo>`);

const shown = ({ at, kind, lower, upper, verdict }: RatedTrill) =>
  `bar ${at.barLabel}: ${kind} ${pitchName(lower)}-${pitchName(upper)} ${verdict}`;

function trills(
  bars: readonly string[],
  id?: InstrumentId,
  settings: PartSettings = {},
): readonly string[] {
  return choiceOf(reportOf(bars, settings), id).trills.map(shown);
}

/** Only what is trilled with what. */
function notes(bars: readonly string[], id?: InstrumentId): readonly string[] {
  return trills(bars, id).map((each) => each.replace(/^bar \d+: \w+ (\S+) \w+$/, "$1"));
}

describe("the upper note of a trill", () => {
  // The next letter as the key signature has it, unless an accidental stands with the sign.
  it.each([
    ["in C major", 0, "E5", MARK, "E5-F5"],
    ["a whole tone", 0, "D5", MARK, "D5-E5"],
    ["over the octave", 0, "B4", MARK, "B4-C5"],
    ["in G major", 1, "E5", MARK, "E5-F#5"],
    ["in B-flat major", -2, "A4", MARK, "A4-Bb4"],
    ["in C-sharp major", 7, "D#5", MARK, "D#5-E#5"],
    ["in C-flat major", -7, "Eb5", MARK, "Eb5-Fb5"],
    ["of an altered note", 0, "F#4", MARK, "F#4-G4"],
    ["with a sharp", 0, "E5", withAccidental("sharp"), "E5-F#5"],
    ["with a flat", 0, "D5", withAccidental("flat"), "D5-Eb5"],
    ["with a natural against the key", 1, "E5", withAccidental("natural"), "E5-F5"],
    ["with a double sharp", 3, "E#5", withAccidental("double-sharp"), "E#5-F##5"],
    ["with the sharp of the key once more", 1, "E5", withAccidental("sharp"), "E5-F#5"],
  ])("%s", (_, fifths, pitch, sign, expected) => {
    expect(notes([opening(60, { fifths }) + note(pitch, 4, sign)])).toEqual([expected]);
  });

  it("goes by the key signature in force there", () => {
    const bars = [opening() + note("E5", 4, MARK), attributes({ fifths: 1 }) + note("E5", 4, MARK)];
    const all = reportOf(bars).passages.flatMap(({ choices }) => choices[0]!.trills.map(shown));
    expect(all.map((each) => each.split(" ")[3])).toEqual(["E5-F5", "E5-F#5"]);
  });

  // An accidental holds for its line or space to the barline (common practice, no source).
  it("heeds an accidental earlier in the bar", () => {
    expect(notes([opening() + note("F#5", 2) + note("E5", 2, MARK)])).toEqual(["E5-F#5"]);
  });

  it("does not heed one of the bar before, or of another octave", () => {
    expect(notes([opening() + note("F#5", 4), note("E5", 4, MARK)])).toEqual(["E5-F5"]);
    expect(notes([opening() + note("F#4", 2) + note("E5", 2, MARK)])).toEqual(["E5-F5"]);
  });
});

describe("one trill", () => {
  // prettier-ignore
  it.each<[string, readonly string[]]>([
    ["tied over the barline under its line", [opening() + note("E5", 4, TIE + ornament(`<trill-mark/>${line("start")}`)), note("E5", 4, TIE_END + ornament(line("stop")))]],
    ["over three bars", [opening() + note("E5", 4, TIE + ornament(`<trill-mark/>${line("start")}`)), note("E5", 4, TIE + TIE_END + ornament(line("continue"))), note("E5", 4, TIE_END + ornament(line("stop")))]],
    ["with a line that begins and ends", [opening() + note("E5", 4, ornament(`<trill-mark/>${line("start", "stop")}`))]],
    ["a line without the sign", [opening() + note("E5", 4, ornament(line("start", "stop")))]],
    ["in a repeat", [opening() + note("E5", 4, MARK) + BACK]],
    ["on a chord, for the upper note", [opening() + note("E5", 4, MARK) + inChord(note("C5", 4))]],
  ])("%s", (_, bars) => {
    expect(trills(bars)).toEqual(["bar 1: trill E5-F5 good"]);
  });

  it("each new sign is another, with its bar", () => {
    const bars = [opening() + run("E5 D5", 1, MARK) + rest(2), note("C5", 4, MARK)];
    expect(trills(bars)).toEqual([
      "bar 1: trill E5-F5 good",
      "bar 1: trill D5-E5 good",
      "bar 2: trill C5-D5 good",
    ]);
  });

  it("none for a turn, a mordent, a cue or a rest", () => {
    const cue = note("E5", 1, MARK).replace("<note>", "<note><cue/>");
    const bar = note("E5", 1, ornament("<turn/>")) + note("E5", 1, ornament("<mordent/>")) + cue;
    expect(trills([opening() + bar + rest(1)])).toEqual([]);
  });
});

describe("how it lies", () => {
  // Fingers from the table: one finger, two of a hand, one each way, a roll over to another key.
  it.each([
    ["left ring finger", 0, "G5", "trill G5-A5 good"],
    ["thumb", 0, "F4", "trill F4-G4 good"],
    ["side keys", 2, "A4", "trill A4-B4 good"],
    ["two side keys from B-flat", -1, "Bb4", "trill Bb4-C5 good"],
    ["one little finger", 0, "C5", "trill C5-D5 good"],
    ["little fingers in turn", 4, "C#5", "trill C#5-D#5 awkward"],
    ["left index finger from key to key", 3, "G#4", "trill G#4-A4 awkward"],
    ["three fingers of the right hand", -2, "Eb5", "trill Eb5-F5 awkward"],
    ["the lowest notes", 0, "E3", "trill E3-F3 awkward"],
  ])("%s", (_, fifths, pitch, expected) => {
    expect(trills([opening(60, { fifths }) + note(pitch, 4, MARK)])).toEqual([
      `bar 1: ${expected}`,
    ]);
  });

  it("whatever the tempo", () => {
    const at = (tempo: number) => trills([opening(tempo) + note("E5", 4, MARK)]);
    expect(at(200)).toEqual(at(40));
  });

  it("poorly where a note of it is a quarter tone", () => {
    const bars = [opening() + note("E5", 4, withAccidental("quarter-sharp"))];
    const [only] = choiceOf(reportOf(bars)).trills;
    expect(only).toMatchObject({ upper: { alter: 0.5 }, verdict: "poor" });
    expect(only?.cause).toEqual({ kind: "no-fingering" });
  });
});

describe("on the other clarinet", () => {
  it("is a semitone away, in its own spelling", () => {
    // D major for the B-flat clarinet is E-flat major for the A.
    const bars = [opening(60, { fifths: 2 }) + note("B4", 4, MARK)];
    expect(trills(bars)).toEqual(["bar 1: trill B4-C#5 awkward"]);
    expect(trills(bars, "clarinet-a")).toEqual(["bar 1: trill C5-D5 good"]);
  });

  it("is respelled with the key", () => {
    // E-flat major, sounding D-flat: E major for the A clarinet, not F-flat.
    const bars = [opening(60, { fifths: -3 }) + note("Eb5", 4, MARK)];
    expect(notes(bars, "clarinet-a")).toEqual(["E5-F#5"]);
  });

  it("keeps the accidental by what sounds", () => {
    // Written D5 with a flat, D5-E-flat 5, sounds C-D-flat; on the A E-flat and F-flat.
    expect(notes([opening() + note("D5", 4, withAccidental("flat"))], "clarinet-a")).toEqual([
      "Eb5-Fb5",
    ]);
  });

  it("is poor where it would go below the instrument", () => {
    const bars = [opening(60, { transpose: A }) + note("E3", 4, MARK)];
    expect(trills(bars, "clarinet-bflat")).toEqual(["bar 1: trill D#3-E3 poor"]);
  });

  it("is not judged on instruments without a table of fingerings", () => {
    const bars = [opening(60, { transpose: [0, 0] }) + note("E5", 4, MARK)];
    expect(trills(bars, "flute", { name: "Flute" })).toEqual([]);
    expect(trills(bars, undefined, { name: "Oboe" })).toEqual([]);
  });
});

describe("a tremolo between two notes", () => {
  // prettier-ignore
  it.each<[string, string, readonly string[]]>([
    ["upwards", note("E4", 2, tremolo("start")) + note("G4", 2, tremolo("stop")), ["bar 1: tremolo E4-G4 good"]],
    ["downwards is the same", note("G4", 2, tremolo("start")) + note("E4", 2, tremolo("stop")), ["bar 1: tremolo E4-G4 good"]],
    ["two of them", note("C4", 1, tremolo("start")) + note("E4", 1, tremolo("stop")) + note("D4", 1, tremolo("start")) + note("F4", 1, tremolo("stop")), ["bar 1: tremolo C4-E4 good", "bar 1: tremolo D4-F4 good"]],
    ["over the break", note("A4", 2, tremolo("start")) + note("D5", 2, tremolo("stop")), ["bar 1: tremolo A4-D5 poor"]],
    ["none on one note", note("E4", 2, tremolo("single")) + note("G4", 2), []],
    ["none where it only ends", note("E4", 2) + note("G4", 2, tremolo("stop")), []],
  ])("%s", (_, bar, expected) => {
    expect(trills([opening() + bar])).toEqual(expected);
  });

  it("is judged on the other clarinet too", () => {
    // A4-D5 sounds G4-C5: B-flat 4 and E-flat 5 on the A.
    const bar = note("A4", 2, tremolo("start")) + note("D5", 2, tremolo("stop"));
    expect(notes([opening() + bar], "clarinet-a")).toEqual(["Bb4-Eb5"]);
  });

  it("of a chord's upper notes, and once in a repeat", () => {
    const bar =
      note("E4", 2, tremolo("start")) +
      inChord(note("C4", 2)) +
      note("G4", 2, tremolo("stop")) +
      inChord(note("E4", 2)) +
      BACK;
    expect(trills([opening() + bar])).toEqual(["bar 1: tremolo E4-G4 good"]);
  });
});
