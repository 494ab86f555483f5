import { describe, expect, it } from "vitest";
import { analysePart, analysisContext } from "../../src/analyses/index.js";
import { landmarksBefore } from "../../src/analyses/landmarks.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Landmark } from "../../src/model/landmark.js";
import { openScore } from "../../src/musicxml/document.js";
import { landmarkText } from "../../src/reporters/wording/landmarks.js";
import { ZERO } from "../../src/theory/fraction.js";
import { changeBars } from "../support/run-muta.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
  type PartXml,
} from "../support/score-xml.js";

const R = rest(4);
const N = note("C5", 4);
const FIRST = attributes({ meter: "4/4", fifths: 0 });
/** A quarter is half a second, a bar two. */
const TEMPO = metronome("quarter", "120");

/** Bars of another part, from letters: r a rest, n a note; everything else as it stands. */
function other(name: string, bars: readonly string[]): PartXml {
  const content = bars.map((bar) => (bar === "r" ? R : bar === "n" ? N : bar));
  return { name, bars: content.map((bar, k) => (k === 0 ? FIRST : "") + bar) };
}

/** The clarinet plays the first bar and the last. */
function player(bars: number): PartXml {
  const rests = Array.from({ length: bars - 2 }, () => R);
  return {
    name: "Clarinet in Bb",
    bars: [attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + TEMPO + N, ...rests, N],
  };
}

function contextOf(parts: readonly PartXml[]) {
  const score = openScore(Buffer.from(scoreXml(parts)));
  return analysisContext(score.timeline("P1"), USUAL_PROFILE, {}, score.otherParts("P1")).context;
}

/** Landmarks before the last entry. */
function landmarks(parts: readonly PartXml[], readyQuarters?: number): readonly Landmark[] {
  const context = contextOf(parts);
  const entry = context.stretches.at(-1)!;
  const span = { from: entry.silentFrom ?? ZERO, to: entry.startQuarters };
  return landmarksBefore(context, span, readyQuarters);
}

const best = (...args: Parameters<typeof landmarks>) => landmarks(...args)[0];
const pad = other("Viola", Array<string>(10).fill("n"));

describe("kinds", () => {
  it("an entrance after a long silence, with its figures", () => {
    const trumpets = [1, 2].map((k) => other(`Trumpet ${k}`, ["n", ..."rrrrrr", "n", "n", "n"]));
    const found = best([player(10), pad, ...trumpets]);
    expect(found).toMatchObject({
      kind: "entrance",
      parts: ["Trumpet 1", "Trumpet 2"],
      all: "brass",
      silentBars: 6,
      sinceStart: false,
      at: { barLabel: "8", beat: 1 },
      before: { bars: 2, counted: { bars: 2, beats: 0 } },
      insideLookUp: true,
      sounding: 3,
      of: 3,
    });
    // Two bars of 4/4 at 120.
    expect(found!.before.seconds.likely).toBeCloseTo(4, 9);
  });

  it("an entrance for the first time", () => {
    const harp = other("Harp", [..."rrrrrrr", "n", "n", "n"]);
    expect(best([player(10), pad, harp])).toMatchObject({
      kind: "entrance",
      parts: ["Harp"],
      sinceStart: true,
      silentBars: 7,
    });
  });

  it("no entrance where strings rested for three bars only", () => {
    const second = other("Violin 2", ["n", "n", "n", "n", ..."rrr", "n", "n", "n"]);
    expect(landmarks([player(10), pad, { ...pad, name: "Cello" }, second])).toEqual([]);
  });

  it("a line that is alone", () => {
    const oboe = other("Oboe", ["n", "n", "n", "n", "n", "n", "n", "n", "n", "n"]);
    const others = ["Violin 1", "Viola"].map((name) =>
      other(name, ["n", "n", "n", "n", "n", "n", "n", "r", "r", "n"]),
    );
    expect(best([player(10), oboe, ...others])).toMatchObject({
      kind: "solo",
      alone: true,
      parts: ["Oboe"],
      at: { barLabel: "8" },
      sounding: 1,
    });
    // The oboe has played all the time.
    expect(landmarkText(best([player(10), oboe, ...others])!)).toMatch(/^Oboe is alone at bar 8/);
  });

  it("a line marked Solo, at the note it stands over", () => {
    const cello = other("Cello", [
      "n",
      "n",
      "n",
      "n",
      "n",
      "n",
      note("C3", 2) + words("1 Solo") + note("D3", 2),
      "n",
      "n",
      "n",
    ]);
    expect(best([player(10), pad, cello])).toMatchObject({
      kind: "solo",
      alone: false,
      marked: true,
      parts: ["Cello"],
      at: { barLabel: "7", beat: 3 },
    });
  });

  it("the silence of all parts of an instrument, not of one of its players", () => {
    // Common practice, no source: a second horn that joins the first is not heard as an entrance.
    const part = (name: string, before: string) => other(name, [...before, "n", "n", "n"]);
    const [joining, resting] = ["nnnnnnn", "rrrrrrr"];
    expect(landmarks([player(10), pad, part("Horn 1", joining), part("Horn 3", resting)])).toEqual(
      [],
    );
    const both = [part("Flute 1", "nnnrrrr"), part("Flute 2", "nrrrrrr")];
    expect(best([player(10), pad, { ...pad, name: "Cello" }, ...both])).toMatchObject({
      kind: "entrance",
      parts: ["Flute 1", "Flute 2"],
      silentBars: 4,
    });
    // What "Percussion" is nobody knows: the second may be the triangle.
    const drums = [part("Percussion 1", joining), part("Percussion 2", resting)];
    expect(best([player(10), pad, ...drums])).toMatchObject({ parts: ["Percussion 2"] });
  });

  it("a marked solo rather than the entrance it is, with the silence it ends", () => {
    const solo = other("Oboe", [..."rrrrrr", words("1. solo") + N, "n", "n", "n"]);
    const joining = other("Horn", [..."rrrrrr", "n", "n", "n", "n"]);
    const strings = ["Violin", "Cello", "Contrabass"].map((name) => ({ ...pad, name }));
    const found = best([player(10), pad, ...strings, solo, joining]);
    expect(found).toMatchObject({
      kind: "solo",
      parts: ["Oboe"],
      silence: { silentBars: 6, sinceStart: true },
    });
    const second = { ...solo, name: "Bassoon" };
    const flute = other("Flute", Array<string>(10).fill("r"));
    const two = best([player(10), pad, flute, solo, second])!;
    expect(two.parts).toEqual(["Oboe", "Bassoon"]);
    expect(landmarkText(two)).toBe(
      "Oboe, Bassoon begin solos at bar 7, 3 bars before you (6.0 s), for the first time",
    );
  });

  it("nothing that comes as the player stops", () => {
    const horn = other("Horn", ["r", ..."nnnnnnnnn"]);
    expect(landmarks([player(10), pad, horn])).toEqual([]);
    expect(best([player(10), pad, other("Horn", ["r", "r", "r", ..."nnnnnnn"])])).toBeDefined();
  });

  it("many that come from soft to loud, though they have played all the time", () => {
    const level = (sign: string) =>
      `<direction><direction-type><dynamics><${sign}/></dynamics></direction-type></direction>`;
    const names = ["Violin", "Viola", "Cello", "Oboe"];
    const going = (first: string, later: string) =>
      names.map((name) => other(name, [level(first) + N, ..."nnnnnn", level(later) + N, "n", "n"]));
    const found = best([player(10), ...going("p", "ff"), other("Horn", [..."nnnnnnnnnn"])])!;
    expect(found).toMatchObject({ kind: "loud-arrival", dynamic: "ff", parts: names });
    expect(landmarkText(found)).toBe(
      "Violin, Viola, Cello and 1 more come to ff at bar 8, 2 bars before you (4.0 s)",
    );
    expect(landmarks([player(10), ...going("mf", "ff")])).toEqual([]);
    expect(landmarks([player(10), ...going("p", "mf")])).toEqual([]);
  });

  it("a tutti, and many that stop", () => {
    const five = ["Violin 1", "Violin 2", "Viola", "Cello", "Oboe"];
    const tutti = five.map((name) =>
      other(name, ["n", "n", "n", "n", "n", "n", "r", "n", "n", "n"]),
    );
    const found = landmarks([player(10), ...tutti]);
    expect(found.map(({ kind, at }) => `${kind} ${at.barLabel}`)).toEqual([
      "many-stop 6",
      "tutti 8",
    ]);
    expect(found[0]).toMatchObject({ all: "everybody", left: 0, at: { atBarEnd: true } });
  });

  it("many that begin, where most of the others stay silent", () => {
    const begin = ["Violin 1", "Violin 2", "Viola"].map((name) =>
      other(name, ["n", "n", "n", "n", "n", "n", "r", "n", "n", "n"]),
    );
    const silent = [1, 2, 3].map((k) => other(`Percussion ${k}`, Array<string>(10).fill("r")));
    const found = landmarks([player(10), ...begin, ...silent]);
    expect(found.map(({ kind }) => kind)).toContain("many-start");
  });

  it("a plain cadence, and none where the harmony is no triad", () => {
    const chord = (low: string, high: string, third: string) => {
      const held = (pitch: string, before: string) => [
        "n",
        "n",
        "n",
        "n",
        "n",
        "n",
        note(before, 4),
        note(pitch, 4),
        "r",
        "n",
      ];
      return [
        other("Cello", held(low, "G2")),
        other("Viola", held(third, "B3")),
        other("Violin", held(high, "D5")),
      ];
    };
    expect(landmarks([player(10), ...chord("C2", "C5", "E4")])).toContainEqual(
      expect.objectContaining({
        kind: "cadence",
        bassPart: "Cello",
        from: "G",
        to: "C",
        restBeats: 8,
      }),
    );
    const [cello, ...upper] = chord("C2", "C5", "E4");
    expect(landmarks([player(10), { ...cello!, name: " " }, ...upper])).toContainEqual(
      expect.objectContaining({ kind: "cadence", bassPart: "P2" }),
    );
    const kinds = landmarks([player(10), ...chord("C2", "C5", "F4")]).map(({ kind }) => kind);
    expect(kinds).not.toContain("cadence");
  });
});

describe("what counts", () => {
  const timpani = (bar: number) =>
    other(
      "Timpani",
      Array.from({ length: 22 }, (_, k) => (k === bar - 1 ? "n" : "r")),
    );
  const drone = other("Viola", Array<string>(22).fill("n"));

  it("is worth less the further it is from the entry, and nothing beyond 16 bars or 30 s", () => {
    const scores = [20, 17, 12].map((bar) => best([player(22), drone, timpani(bar)])?.score ?? 0);
    expect(scores[0]).toBeGreaterThan(scores[1]!);
    expect(scores[1]).toBeGreaterThan(scores[2]!);
    // From bar 4 to bar 22 there are 18 bars, 36 s.
    expect(landmarks([player(22), drone, timpani(4)])).toEqual([]);
  });

  it("is worth more once the hands are ready", () => {
    const parts = [player(22), drone, { ...drone, name: "Cello" }, timpani(20)];
    const [free] = landmarks(parts, 0);
    // Bar 20 begins at quarter 76.
    const [busy] = landmarks(parts, 77);
    expect(free?.insideLookUp).toBe(true);
    expect(busy?.insideLookUp).toBe(false);
    expect(busy!.score / free!.score).toBeCloseTo(0.4, 9);
  });

  it("is louder with a printed level", () => {
    const ff = "<direction><direction-type><dynamics><ff/></dynamics></direction-type></direction>";
    const loud = other(
      "Timpani",
      Array.from({ length: 22 }, (_, k) => (k === 19 ? ff + N : "r")),
    );
    const reasons = best([player(22), drone, loud])!.reasons;
    expect(reasons).toContainEqual(expect.objectContaining({ kind: "loudness", dynamic: "ff" }));
  });

  it("is nothing that comes too late to react", () => {
    const late = other("Timpani", [..."rrrrrrrr", rest(3.5) + note("C3", 0.5), "n"]);
    expect(landmarks([player(10), pad, late])).toEqual([]);
  });

  it("is told in the order of performance, over a repeat", () => {
    const repeat = '<barline location="right"><repeat direction="backward"/></barline>';
    const own: PartXml = {
      bars: [
        attributes({ meter: "4/4", transpose: B_FLAT }) + TEMPO + R,
        R,
        N,
        R,
        R,
        R + repeat,
        N,
      ],
    };
    const horn = other("Horn", ["r", "n", "r", "r", "r", "r", "r"]);
    const context = contextOf([own, other("Viola", Array<string>(7).fill("n")), horn]);
    // The second time the clarinet enters in bar 3 it comes over the repeat from bar 6.
    const entry = context.stretches[1]!;
    const [found] = landmarksBefore(context, { from: entry.silentFrom!, to: entry.startQuarters });
    expect(found).toMatchObject({
      parts: ["Horn"],
      at: { barLabel: "2", pass: 2 },
      // Bars 3 to 6, and 1 again.
      silentBars: 5,
      before: { bars: 1 },
    });
  });

  it("is nothing where the part stands alone", () => {
    expect(landmarks([player(10)])).toEqual([]);
  });
});

describe("in the report of a part", () => {
  const report = (parts: readonly PartXml[]) => {
    const score = openScore(Buffer.from(scoreXml(parts)));
    return analysePart(score.timeline("P1"), USUAL_PROFILE, {
      file: "",
      title: "",
      movement: "",
      orchestra: score.otherParts("P1"),
    });
  };

  it("stands with the change, and says whether the hands are ready", () => {
    const horn = other("Horn", ["n", ..."rrrr", "n", "n", "n"]);
    const viola = other("Viola", Array<string>(8).fill("n"));
    const { changes, notices } = report([{ bars: changeBars(6) }, viola, horn]);
    // The hands need 3.5 s, which is bar 3 of those that last 2 s.
    expect(changes[0]?.landmarks).toMatchObject([{ parts: ["Horn"], insideLookUp: true }]);
    expect(notices.map(({ kind }) => kind)).not.toContain("listen-with-score");
  });

  it.each(["4</duration>&nothing;<duration>", "four", "0x4"])(
    "leaves out what cannot be read, with a notice: %s",
    (duration) => {
      const broken = other("Horn", [
        "n",
        ..."rrrr",
        `<note><pitch><step>C</step><octave>4</octave></pitch><duration>${duration}</duration></note>`,
        "n",
        "n",
      ]);
      const viola = other("Viola", Array<string>(8).fill("n"));
      const { changes, notices } = report([{ bars: changeBars(6) }, viola, broken]);
      expect(changes[0]?.landmarks).toMatchObject([{ parts: ["Horn"], at: { barLabel: "7" } }]);
      expect(notices).toContainEqual({
        kind: "other-part-unreadable",
        barLabel: "6",
        partId: "P3",
      });
    },
  );

  it("a part alone is told once that a score would help", () => {
    const { changes, notices } = report([{ bars: changeBars(6) }]);
    expect(changes[0]?.landmarks).toEqual([]);
    expect(notices.filter(({ kind }) => kind === "listen-with-score")).toHaveLength(1);
    expect(report([player(10)]).notices.map(({ kind }) => kind)).not.toContain("listen-with-score");
  });

  // The cue is written for the instrument that is left (B-flat) or the one of the entry (A).
  const cue = (pitch: string) => note(pitch, 4).replace("<note>", "<note><cue/>");
  const withCue = (label: string, pitch: string): PartXml => {
    const bars = changeBars(6);
    bars[6] = (label === "" ? "" : words(label)) + cue(pitch);
    return { bars };
  };
  it.each([
    ["Fl.", "D5", "as-in-score", ["Flute"]],
    ["Flöte", "E-5", "as-in-score", ["Flute"]],
    ["Fl.", "D4", "octave-away", ["Flute"]],
    ["Fl.", "G4", "differs", ["Flute"]],
    ["", "D5", "as-in-score", ["Flute"]],
    ["", "G4", "not-named", []],
    ["Ob.", "D5", "part-silent", ["Oboe"]],
    ["Tromba", "D5", "no-such-part", []],
  ] as const)("the cue %s %s is %s", (label, pitch, verdict, parts) => {
    // C5 sounds; a clarinet in B-flat reads D5, one in A reads E-flat 5.
    const flute = other("Flute", Array<string>(8).fill("n"));
    const oboe = other("Oboe", ["n", ..."rrrrrr", "n"]);
    const { changes } = report([withCue(label, pitch.replace("-", "b")), flute, oboe]);
    expect(changes[0]?.cues).toMatchObject([{ verdict, parts, label, from: { barLabel: "7" } }]);
  });
  it("two cues in a bar are held each against its own name", () => {
    const half = (pitch: string) => note(pitch, 2).replace("<note>", "<note><cue/>");
    const own = withCue("Fl.", "D5");
    const bars = [...own.bars];
    bars[6] = words("Fl.") + half("D5") + words("Hn.") + half("G4");
    const flute = other("Flute", [..."rrrrrr", note("C5", 2) + rest(2), "n", "n", "n"]);
    const horn = other("Horn", [..."rrrrrr", rest(2) + note("F4", 2), "n", "n", "n"]);
    expect(report([{ ...own, bars }, flute, horn]).changes[0]?.cues).toMatchObject([
      { label: "Fl.", verdict: "as-in-score", parts: ["Flute"], from: { beat: 1 } },
      { label: "Hn.", verdict: "as-in-score", parts: ["Horn"], from: { beat: 3 } },
    ]);
  });

  it("of a drum without pitch a cue is held against the rhythm", () => {
    const beat = `<note><unpitched/><duration>${/<duration>(\d+)/.exec(N)![1]}</duration></note>`;
    const drum = (bar: string) => other("Triangle", [..."rrrrrr", bar, "n", "n", "n"]);
    const cues = (label: string, bar: string) =>
      report([withCue(label, "D5"), drum(bar)]).changes[0]?.cues;
    expect(cues("Trgl.", beat)).toMatchObject([{ verdict: "as-in-score" }]);
    expect(cues("Trgl.", rest(2) + note("C5", 2))).toMatchObject([{ verdict: "differs" }]);
    expect(cues("", beat)).toMatchObject([{ verdict: "not-named" }]);
  });

  it("of a part alone a cue is not checked", () => {
    expect(report([withCue("Fl.", "D5")]).changes[0]?.cues).toMatchObject([
      { verdict: "not-checked", label: "Fl.", parts: [] },
    ]);
    expect(A).toEqual([-2, -3]);
  });
});
