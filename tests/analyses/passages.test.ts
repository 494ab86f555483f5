import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { ChangeoverProfile } from "../../src/model/profile.js";
import type { InstrumentChoice, Passage } from "../../src/model/report.js";
import { majorKeyName } from "../../src/theory/key.js";
import { pitchName } from "../../src/theory/pitch.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  timelineOf,
  words,
} from "../support/score-xml.js";

/** A printed range, whose upper end is the fast tempo as it stands: a quarter is a second. */
const FAST_60 = metronome("quarter", "50-60");
const PLAYED = note("C5", 4);
const SILENT = rest(4);
const TIE = '<tie type="start"/>';
const TIED = '<tie type="stop"/>';
const FORWARD = '<barline location="left"><repeat direction="forward"/></barline>';
const AGAIN = '<repeat direction="backward"/>';
const BACK = `<barline location="right">${AGAIN}</barline>`;

function start(fifths = 0, transpose: readonly [number, number, number?] = B_FLAT): string {
  return attributes({ meter: "4/4", fifths, transpose }) + FAST_60;
}

function passagesOf(
  bars: readonly string[],
  name = "Clarinet",
  profile: ChangeoverProfile = USUAL_PROFILE,
): readonly Passage[] {
  const timeline = timelineOf(scoreXml([{ name, bars }]));
  return analysePart(timeline, profile, { file: "test.musicxml", title: "", movement: "" })
    .passages;
}

/** Lines such as `clarinet-a bars 3-4, 2 notes`. */
function outline(...args: Parameters<typeof passagesOf>): readonly string[] {
  return passagesOf(...args).map(
    ({ instrument, from, to, noteCount }) =>
      `${instrument} bars ${from.barLabel}-${to.barLabel}, ${noteCount} notes`,
  );
}

/** How the one passage of a part would read on an instrument. */
function choice(id: InstrumentId, ...args: Parameters<typeof passagesOf>): InstrumentChoice {
  const [passage, ...more] = passagesOf(...args);
  expect(more).toEqual([]);
  const found = passage?.choices.find(({ instrument }) => instrument === id);
  if (!found) throw new Error(`${id} is no choice`);
  return found;
}

/** Notes of a quarter, `|` being a barline; the last bar is filled with rests. */
function quarters(text: string, first = start()): readonly string[] {
  const bars = text.split("|").map((bar) => {
    const names = bar.trim().split(" ");
    const notes = names.map((name) => note(name, 1));
    return notes.join("") + rest(1).repeat(4 - notes.length);
  });
  return bars.map((bar, k) => (k === 0 ? first + bar : bar));
}

describe("a new passage begins", () => {
  const G_MAJOR = attributes({ fifths: 1 });
  const resting = (seconds: number, transpose?: readonly [number, number]) => [
    start(0, transpose) + note("C5", 2) + rest(2),
    rest(seconds - 2) + note("C5", 6 - seconds),
  ];
  // prettier-ignore
  it.each<[string, readonly string[], string, readonly string[]]>([
    ["never while nothing changes", [start() + PLAYED, PLAYED, PLAYED], "Clarinet", ["clarinet-bflat bars 1-3, 3 notes"]],
    ["at another instrument", [start() + PLAYED, attributes({ transpose: A }) + PLAYED], "Clarinet", ["clarinet-bflat bars 1-1, 1 notes", "clarinet-a bars 2-2, 1 notes"]],
    ["at another key", [start() + PLAYED, G_MAJOR + PLAYED, PLAYED], "Clarinet", ["clarinet-bflat bars 1-1, 1 notes", "clarinet-bflat bars 2-3, 2 notes"]],
    ["not at the same key again", [start(1) + PLAYED, G_MAJOR + PLAYED], "Clarinet", ["clarinet-bflat bars 1-2, 2 notes"]],
    // The A clarinet could be taken in 3.5 s by the usual figures (assumed).
    ["after a rest for a change", resting(3.75), "Clarinet", ["clarinet-bflat bars 1-1, 1 notes", "clarinet-bflat bars 2-2, 1 notes"]],
    ["not after a shorter one", resting(3.25), "Clarinet", ["clarinet-bflat bars 1-2, 2 notes"]],
    // Nothing stands in for the E-flat clarinet: a rest of 3 s (assumed).
    ["after 3 s for the E-flat", resting(3, [2, 3]), "Clarinet in Eb", ["clarinet-eflat bars 1-1, 1 notes", "clarinet-eflat bars 2-2, 1 notes"]],
    ["not after 2.75 s", resting(2.75, [2, 3]), "Clarinet in Eb", ["clarinet-eflat bars 1-2, 2 notes"]],
  ])("%s", (_, bars, name, expected) => {
    expect(outline(bars, name)).toEqual(expected);
  });

  it("in the key that sounds, where words and key signature change together", () => {
    // Concert B-flat: C major for the B-flat clarinet, D-flat major for the A.
    const inA = attributes({ fifths: -5, transpose: A });
    const found = passagesOf([start() + PLAYED, words("muta in La") + SILENT, inA + PLAYED]);
    expect(found.map(({ soundingFifths }) => soundingFifths)).toEqual([-2, -2]);
  });
});

describe("every note of the page once", () => {
  const ending = (number: number, content: string, repeat = "") =>
    `<barline location="left"><ending number="${number}" type="start"/></barline>${content}` +
    `<barline location="right"><ending number="${number}" type="stop"/>${repeat}</barline>`;
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["at a repeat", [start() + PLAYED, PLAYED + BACK, PLAYED], ["clarinet-bflat bars 1-3, 3 notes"]],
    ["at two endings", [start() + PLAYED, ending(1, PLAYED, AGAIN), ending(2, PLAYED)], ["clarinet-bflat bars 1-3, 3 notes"]],
    ["with a change inside", [start() + PLAYED, SILENT, attributes({ transpose: A }) + PLAYED + BACK], ["clarinet-bflat bars 1-1, 1 notes", "clarinet-a bars 3-3, 1 notes"]],
    // The rest at the head of the repeat is no rest before bar 4.
    ["after a repeat that begins with a rest", [start() + PLAYED, FORWARD + SILENT, PLAYED + BACK, PLAYED], ["clarinet-bflat bars 1-1, 1 notes", "clarinet-bflat bars 3-4, 2 notes"]],
  ])("%s", (_, bars, expected) => {
    expect(outline(bars)).toEqual(expected);
  });

  it("a chord has as many as it has notes, cue notes none", () => {
    const chord = note("C5", 4) + note("E5", 4).replace("<note>", "<note><chord/>");
    const cue = note("G5", 4).replace("<note>", "<note><cue/>");
    expect(outline([start() + chord, cue])).toEqual(["clarinet-bflat bars 1-1, 2 notes"]);
  });
});

describe("which instruments are a choice", () => {
  const carrying = (...carries: readonly InstrumentId[]) => ({ ...USUAL_PROFILE, carries });
  const IN_C: readonly [number, number] = [0, 0];
  // prettier-ignore
  it.each<[string, readonly [number, number, number?], ChangeoverProfile, readonly InstrumentId[]]>([
    ["Clarinet in Bb", B_FLAT, USUAL_PROFILE, ["clarinet-bflat", "clarinet-a"]],
    ["Clarinet in C", IN_C, USUAL_PROFILE, ["clarinet-c", "clarinet-bflat", "clarinet-a"]],
    ["Clarinet in Bb", B_FLAT, carrying("clarinet-bflat"), ["clarinet-bflat"]],
    ["Clarinet in Bb", B_FLAT, carrying("clarinet-eflat", "clarinet-c"), ["clarinet-bflat", "clarinet-c"]],
    ["Clarinet in Eb", [2, 3], USUAL_PROFILE, ["clarinet-eflat"]],
    ["Flute", IN_C, USUAL_PROFILE, ["flute"]],
  ])("for a %s %j", (name, transpose, profile, expected) => {
    const [passage] = passagesOf([start(0, transpose) + PLAYED], name, profile);
    expect(passage!.choices.map(({ instrument }) => instrument)).toEqual(expected);
    expect(passage!.choices.map(({ printed }) => printed)).toEqual(expected.map((_, k) => k === 0));
  });
});

describe("the key on another clarinet", () => {
  // One key of each row, of G-flat both: K. W. Gehrkens, Essentials in Conducting (1919), table near
  // p. 100; both of E: E. Tavan, Méthode pratique d'orchestration symphonique, p. 22. The other
  // lies five fifths away, as the clarinets do.
  // prettier-ignore
  it.each([
    ["E", 6, "F-sharp", "G", false],
    ["C", 2, "D", "E-flat", false],
    ["D", 4, "E", "F", false],
    ["F", 1, "G", "A-flat", false],
    ["E-flat", -1, "F", "G-flat", false],
    // On A plainly eight flats and more.
    ["D-flat", -3, "E-flat", "E", true],
    ["G-flat", -4, "A-flat", "A", true],
  ])("concert %s, %i fifths on B-flat: %s, on A %s", (_, fifths, onBFlat, onA, respelled) => {
    const bars = [start(fifths) + PLAYED];
    const [b, a] = [choice("clarinet-bflat", bars), choice("clarinet-a", bars)];
    expect(majorKeyName(b.writtenFifths!)).toBe(onBFlat);
    expect(majorKeyName(a.writtenFifths!)).toBe(onA);
    expect([b.respelled, a.respelled]).toEqual([false, respelled]);
  });

  it("respells the notes with the key", () => {
    // Written E-flat, A-flat, B-flat: they sound D-flat, G-flat, A-flat; on A they would be
    // F-flat, B-double-flat, C-flat, and are read as E, A, B.
    const bars = quarters("Eb4 Ab4 Bb5", start(-3));
    const { lowest, highest, accidentals, difficulty } = choice("clarinet-a", bars);
    expect([lowest, highest].map((each) => pitchName(each!))).toEqual(["E4", "B5"]);
    expect(accidentals).toBe(0);
    expect(difficulty.reasons).toEqual([{ kind: "altered-notes", count: 0, of: 3 }]);
  });

  it("is none where the key signature is no usual one", () => {
    const odd = "<key><key-step>F</key-step><key-alter>1</key-alter></key>";
    const bars = [start().replace("<key><fifths>0</fifths></key>", odd) + note("F#5", 4)];
    expect(choice("clarinet-a", bars)).toMatchObject({ writtenFifths: null, respelled: false });
    expect(passagesOf(bars)[0]!.soundingFifths).toBeNull();
  });

  it("is the printed one on the instrument printed, though it has seven sharps", () => {
    expect(choice("clarinet-bflat", quarters("C#5 F#5", start(7)))).toMatchObject({
      printed: true,
      writtenFifths: 7,
      respelled: false,
    });
  });
});

describe("accidentals by the usual rule", () => {
  // An accidental holds for its line or space to the barline, and over it for a tied note only:
  // common practice, no source.
  it.each([
    ["none in the scale", 0, "C5 D5 E5 F5", 0],
    ["held to the barline", 0, "F#4 G4 F#4 F#4", 1],
    ["again in the next bar", 0, "F#4 F#4 | F#4 F#4", 2],
    ["a natural takes it back", 0, "F#4 F4 F4 F#4", 3],
    ["each octave its own", 0, "F#4 F#5 F#4 F#5", 2],
    ["none for the signature", 1, "F#4 F#5 F#6", 0],
    ["a natural against it", 1, "F4 F4 F#4 | F#4", 2],
    ["flats", -2, "Bb4 Eb5 A4 Ab4", 1],
    ["a natural is none in the next bar, where the signature is back", -1, "B4 Bb4 | Bb4", 2],
  ])("%s", (_, fifths, text, accidentals) => {
    expect(choice("clarinet-bflat", quarters(text, start(fifths))).accidentals).toBe(accidentals);
  });

  it.each([
    ["not for a tied note", note("F#4", 2, TIED) + rest(2), 1],
    ["but for the same note after it", note("F#4", 2, TIED) + note("F#4", 2), 2],
  ])("over the barline %s", (_, second, accidentals) => {
    const bars = [start() + note("F#4", 4, TIE), second];
    expect(choice("clarinet-bflat", bars).accidentals).toBe(accidentals);
  });

  it("are those of the other instrument's key there", () => {
    // Written C and F sharp sound B-flat and E; in concert B-flat the A clarinet reads D-flat
    // major, and the two notes D-flat and G: one accidental, the natural.
    const other = choice("clarinet-a", quarters("C5 F#5"));
    expect(other).toMatchObject({ writtenFifths: -5, accidentals: 1 });
    expect([other.lowest, other.highest].map((each) => pitchName(each!))).toEqual(["Db5", "G5"]);
    expect(other.difficulty.reasons).toEqual([
      { kind: "altered-notes", count: 1, of: 2 },
      { kind: "accidentals", count: 1, of: 2 },
    ]);
  });
});

describe("range", () => {
  // Grove, A Dictionary of Music and Musicians I, p. 362: the lowest written note is E, sounding D
  // on the B-flat clarinet and C sharp on the A. Highest C: table of instruments.
  // prettier-ignore
  it.each<[string, readonly [number, number], string, number, number]>([
    ["the lowest E of the B-flat is F on the A", B_FLAT, "E3 E3", 0, 0],
    ["the lowest E of the A is below the B-flat", A, "E3 E3 F3", 0, 2],
    ["E-flat is below both", B_FLAT, "Eb3 E4", 1, 0],
    ["the highest C is C-sharp on the A", B_FLAT, "C7 B6", 0, 1],
    ["C-sharp is above both", B_FLAT, "C#7", 1, 1],
  ])("%s", (_, transpose, text, printed, other) => {
    const bars = quarters(text, start(0, transpose));
    const ids: readonly InstrumentId[] = ["clarinet-bflat", "clarinet-a"];
    const outOf = (id: InstrumentId) => choice(id, bars).outOfRange;
    expect((transpose === B_FLAT ? ids : ids.toReversed()).map(outOf)).toEqual([printed, other]);
  });

  it("weighs as ten, and says why", () => {
    // Written D3 by mistake: one of four notes.
    const { difficulty, lowest } = choice("clarinet-bflat", quarters("D3 C4 D4 E4"));
    expect(pitchName(lowest!)).toBe("D3");
    expect(difficulty.score - (difficulty.fingers ?? NaN) - difficulty.reading).toBeCloseTo(10, 9);
    expect(difficulty.reasons).toContainEqual({ kind: "out-of-range", count: 1, of: 4 });
  });

  it("of a bass clarinet in bass clef is told as in treble clef", () => {
    // Written C3 in bass clef sounds B-flat 2: written C4 in treble clef.
    const bars = [start(0, B_FLAT) + note("C3", 4)];
    const found = choice("bass-clarinet-bflat", bars, "Bass Clarinet");
    expect(pitchName(found.lowest!)).toBe("C4");
    expect(found.outOfRange).toBe(0);
  });
});
