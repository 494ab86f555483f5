import { describe, expect, it } from "vitest";
import { note, rest } from "../support/score-xml.js";
import { back } from "./change-cases.js";
import {
  BACK,
  grace,
  inChord,
  inVoice,
  lineShown,
  opening,
  reportOf,
  run,
  SLUR,
  SLUR_END,
  soundingShown,
  TIE,
  TIE_END,
} from "./difficulty-cases.js";

const both = (...marks: readonly string[]) => marks.join("");
const slurs = (...types: readonly string[]) =>
  `<notations>${types.map((type, k) => `<slur type="${type}" number="${k + 1}"/>`).join("")}</notations>`;
const dot = (slur = "") =>
  `<notations>${slur && `<slur type="${slur}"/>`}<articulations><staccato/></articulations></notations>`;

// A quarter is a second throughout unless a tempo is given.
describe("the line that the fingers play", () => {
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["from onset to onset", [opening() + run("C5 D5", 1) + note("E5", 2)], ["| C5 1", "D5 1", "E5 2"]],
    ["a shorter quarter at 120", [opening(120) + run("C5 D5", 1) + rest(2)], ["| C5 0.5", "D5 0.5"]],
    ["a tied note once", [opening() + note("C5", 4, TIE), note("C5", 1, TIE_END) + run("D5 E5 F5", 1)], ["| C5 5", "D5 1", "E5 1", "F5 1"]],
    ["over three bars", [opening() + note("C5", 4, TIE), note("C5", 4, both(TIE, TIE_END)), note("C5", 2, TIE_END) + note("D5", 2)], ["| C5 10", "D5 2"]],
    ["a tie that leads nowhere leaves both notes", [opening() + note("C5", 2, TIE) + note("C5", 2)], ["| C5 2", "C5 2"]],
    ["the upper note of a chord", [opening() + note("E5", 2) + inChord(note("C5", 2)) + note("A4", 2) + inChord(note("F5", 2))], ["| E5 2", "F5 2"]],
    ["a note without pitch left out", [opening() + note("C5", 2) + note("D5", 2).replace(/<pitch>.*<\/pitch>/, "<unpitched/>")], ["| C5 2"]],
    // A grace note takes 0.1 s (assumed); the note before keeps its length.
    ["grace notes in the line", [opening() + note("C5", 2) + grace("D5") + grace("E5") + note("F5", 2)], ["| C5 2", "D5 0.1", "E5 0.1", "F5 2"]],
    ["a repeat as often as it is played", [opening() + run("C5 D5 E5 F5", 1) + BACK], ["| C5 1", "D5 1", "E5 1", "F5 1", "C5 1", "D5 1", "E5 1", "F5 1"]],
  ])("%s", (_, bars, expected) => {
    expect(lineShown(bars)).toEqual(expected);
  });

  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["not joined by a tie over it", [opening() + note("C5", 1, TIE) + rest(2) + note("C5", 1, TIE_END)], ["| C5", "| C5"]],
    ["a cue in it is another's", [opening() + note("C5", 2) + rest(2), note("E5", 4).replace("<note>", "<note><cue/>"), note("G5", 4)], ["| C5", "| G5"]],
    ["grace notes end it", [opening() + note("C5", 1) + rest(2) + grace("E5") + note("F5", 1)], ["| C5", "| E5", "F5"]],
  ])("over a rest: %s", (_, bars, expected) => {
    expect(lineShown(bars).map((each) => each.replace(/ [\d.]+$/, ""))).toEqual(expected);
  });

  it("a short rest is articulation, a longer one a rest: 0.3 s (assumed)", () => {
    // Sixteenth rests at quarter = 60: 0.25 s; at 48: 0.3125 s.
    const bar = note("C5", 0.75) + rest(0.25) + note("D5", 3);
    expect(lineShown([opening(60) + bar])).toEqual(["| C5 1", "D5 3"]);
    expect(lineShown([opening(48) + bar])[1]).toMatch(/^\| D5/);
  });

  it.each([100, 50, 200, 150])("a rest of just 0.3 s is one, at quarter = %i", (tempo) => {
    const quarters = (0.3 * tempo) / 60;
    const bar = note("C5", 1) + rest(quarters) + note("D5", 3 - quarters);
    expect(lineShown([opening(tempo) + bar])[1]).toMatch(/^\| D5/);
  });

  it("sounds as long as it is written, ties included", () => {
    const bars = [
      opening() + note("C5", 2, TIE) + note("C5", 0.5, TIE_END) + rest(0.5) + note("D5", 1),
      note("E5", 1) + rest(3),
    ];
    expect(soundingShown(bars)).toEqual([2.5, 1, 1]);
  });

  it("a note before a rest has the time that it sounds, not that of the silence too", () => {
    const bars = [opening() + note("C5", 0.25) + rest(1.75) + note("D5", 2)];
    expect(lineShown(bars)).toEqual(["| C5 0.25", "| D5 2"]);
  });
});

describe("two voices on one staff", () => {
  const voices = (upper: string, lower: string) => upper + back(4) + lower;
  it("are not taken for one player with twice the speed", () => {
    const bars = [
      opening() + voices(run("G5 A5 G5 A5", 1, inVoice(1)), run("E5 F5 E5 F5", 1, inVoice(2))),
      voices(run("G5 A5 G5 A5", 1, inVoice(1)), run("E5 F5 E5 F5", 1, inVoice(2))),
    ];
    const [passage] = reportOf(bars).passages;
    expect(passage!.notesPerSecond).toEqual({ mean: 1, quickest: 1 });
  });

  it("keep the ties of each", () => {
    const bars = [
      opening() +
        voices(
          note("G5", 3, TIE + inVoice(1)) + note("G5", 1, TIE_END + inVoice(1)),
          run("E5 F5 E5 F5", 1, inVoice(2)),
        ),
    ];
    expect(lineShown(bars).filter((each) => each.includes("G5"))).toHaveLength(1);
  });
});

describe("what is slurred", () => {
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["nothing without a slur", [opening() + run("C5 D5 E5 F5", 1)], []],
    ["what a slur reaches, not where it begins", [opening() + note("C5", 1, SLUR) + note("D5", 1) + note("E5", 1, SLUR_END) + note("F5", 1)], ["D5", "E5"]],
    ["slurs that meet on a note", [opening() + note("C5", 1, SLUR) + note("D5", 1, slurs("stop", "start")) + note("E5", 1, SLUR_END) + note("F5", 1)], ["D5", "E5"]],
    ["a phrase mark over slurs", [opening() + note("C5", 1, slurs("start", "start")) + note("D5", 1, slurs("stop")) + note("E5", 1) + note("F5", 1, slurs("stop"))], ["D5", "E5", "F5"]],
    ["over the barline", [opening() + run("C5 D5 E5", 1) + note("F5", 1, SLUR), note("G5", 2, SLUR_END) + note("A5", 2)], ["G5"]],
    ["over a tie", [opening() + note("C5", 4, both(TIE, SLUR)), note("C5", 2, TIE_END) + note("D5", 1, SLUR_END) + note("E5", 1)], ["D5"]],
    ["to a tied note and no further", [opening() + note("C5", 2, SLUR) + note("D5", 2, TIE), note("D5", 2, both(TIE_END, SLUR_END)) + note("E5", 2)], ["D5"]],
    ["from a grace note to its note", [opening() + note("C5", 2) + grace("E5", SLUR) + note("D5", 2, SLUR_END)], ["D5"]],
    ["no further than a rest, where its end may stand", [opening() + note("C5", 1, SLUR) + note("D5", 1) + rest(1, SLUR_END) + note("E5", 1)], ["D5"]],
    ["at a chord, once", [opening() + note("E5", 2, SLUR) + inChord(note("C5", 2, SLUR)) + note("F5", 1, SLUR_END) + inChord(note("D5", 1, SLUR_END)) + note("G5", 1)], ["F5"]],
    ["in each voice by itself", [opening() + note("G5", 2, SLUR + inVoice(1)) + note("A5", 2, SLUR_END + inVoice(1)) + back(4) + run("E4 F4", 2, inVoice(2))], ["A5"]],
    ["the end of a slur that never began", [opening() + note("C5", 2, SLUR_END) + note("D5", 2)], []],
  ])("%s", (_, bars, expected) => {
    const slurred = lineShown(bars).filter((each) => each.endsWith("slurred"));
    expect(slurred.map((each) => each.split(" ")[0])).toEqual(expected);
  });

  it("is not what has dots under the slur, which the tongue touches", () => {
    const bar = note("C5", 1, dot("start")) + run("D5 E5", 1, dot()) + note("F5", 1, dot("stop"));
    expect(lineShown([opening() + bar]).filter((each) => each.endsWith("slurred"))).toEqual([]);
  });
});

describe("notes a second", () => {
  const speed = (bars: readonly string[]) => reportOf(bars).passages[0]!.notesPerSecond;
  // prettier-ignore
  it.each<[string, readonly string[], number, number]>([
    // Nine sixteenths and a long note at 120: eight of them take a second.
    ["of sixteenths at 120", [opening(120) + run("C5 D5 E5 F5 G5 F5 E5 D5", 0.25) + note("C5", 2)], 8, 8],
    // Eight quarters take 4 s, then eight sixteenths 1 s: 16 notes in 5 s.
    ["the quickest eight in a row", [opening(120) + run("C5 D5 E5 F5", 1), run("C5 D5 E5 F5", 1), run("C5 D5 E5 F5 G5 F5 E5 D5", 0.25) + note("C5", 2)], 16 / 5, 8],
    // Four sixteenths among eighths: 4 x 0.125 + 4 x 0.25 = 1.5 s.
    ["fewer than eight do not make it", [opening(120) + run("C5 D5 E5 F5", 0.5) + run("G5 F5 E5 D5", 0.25) + note("C5", 1)], 8 / 1.5, 8 / 1.5],
    ["of all where there are fewer than nine", [opening(60) + run("C5 D5", 1) + note("E5", 2)], 1, 1],
    ["of a tied note as one", [opening(60) + note("C5", 2, TIE) + note("C5", 1, TIE_END) + note("D5", 1)], 1 / 3, 1 / 3],
    ["the repeat once", [opening(60) + run("C5 D5 E5 F5", 1) + BACK], 1, 1],
  ])("%s", (_, bars, mean, quickest) => {
    expect(speed(bars)).toEqual({
      mean: expect.closeTo(mean, 9) as number,
      quickest: expect.closeTo(quickest, 9) as number,
    });
  });

  it("none for a single note", () => {
    expect(speed([opening() + note("C5", 4)])).toBeNull();
  });
});
