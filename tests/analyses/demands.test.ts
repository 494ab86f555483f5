import { describe, expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PlayerLimits } from "../../src/model/profile.js";
import type { Demand } from "../../src/model/report.js";
import { pitchName } from "../../src/theory/pitch.js";
import { A, attributes, metronome, note, rest } from "../support/score-xml.js";
import { back } from "./change-cases.js";
import { FINAL, movements } from "./movement-cases.js";
import {
  BACK,
  BREATH,
  dynamics,
  grace,
  inVoice,
  opening,
  ornament,
  reportOf,
  run,
  SLUR,
  SLUR_END,
  TIE,
  TIE_END,
  type PartSettings,
} from "./difficulty-cases.js";

const limits = (own: PlayerLimits) => ({ profile: { ...USUAL_PROFILE, limits: own } });
const tremolo = (strokes: number, more = "") => ornament(`<tremolo>${strokes}</tremolo>`) + more;

function found(
  kind: Demand["kind"],
  bars: readonly string[],
  settings: PartSettings = {},
): readonly string[] {
  return reportOf(bars, settings)
    .demands.filter((each) => each.kind === kind)
    .map(shown);
}

/** Such as `bars 1-2: 16 at 8`. */
function shown(demand: Demand): string {
  const place = `bars ${demand.from.barLabel}-${demand.to.barLabel}: `;
  switch (demand.kind) {
    case "fast-tonguing":
      return `${place}${demand.strokes} at ${Number(demand.strokesPerSecond.toFixed(3))}`;
    case "long-phrase":
      return `${place}${Number(demand.seconds.toFixed(3))} of ${demand.limit.value}`;
    case "soft-high-note":
      return `bar ${demand.from.barLabel}: ${pitchName(demand.pitch)} ${demand.dynamic} ${Number(demand.seconds.toFixed(3))}`;
  }
}

describe("fast tonguing", () => {
  const SIXTEEN = run("C5 C5 C5 C5 D5 D5 D5 D5 E5 E5 E5 E5 F5 F5 F5 F5", 0.25);
  const LONG = note("G5", 4);
  const tongued = (...args: [readonly string[], PartSettings?]) => found("fast-tonguing", ...args);

  // The usual limit is 7.5 a second, kept up for 12 strokes (both assumed).
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["sixteenths at 120, 8 a second", [opening(120) + SIXTEEN, LONG], ["bars 1-1: 16 at 8"]],
    ["not at 112, 7.47 a second", [opening(112) + SIXTEEN, LONG], []],
    ["over the barline", [opening(120) + SIXTEEN, SIXTEEN, LONG], ["bars 1-2: 32 at 8"]],
    ["not eleven", [opening(120) + note("C5", 1.25) + run("C5 D5 E5 F5 G5 A5 G5 F5 E5 D5", 0.25) + note("C5", 0.25, SLUR), note("C5", 4, SLUR_END)], []],
    ["not slurred in pairs", [opening(120) + Array.from({ length: 8 }, () => note("C5", 0.25, SLUR) + note("D5", 0.25, SLUR_END)).join(""), LONG], []],
    ["not under one slur", [opening(120) + note("C5", 0.25, SLUR) + run("D5 E5 F5 G5 A5 B5 C6 B5 A5 G5 F5 E5 D5 C5", 0.25) + note("D5", 0.25, SLUR_END), LONG], []],
    ["rests give the tongue time", [opening(120) + `${run("C5 D5 E5 F5 G5 A5", 0.25)}${rest(0.5)}`.repeat(2), LONG], []],
    ["two speeds, each fast", [opening(120) + run("C5 D5 E5 F5 C5 D5 E5 F5", 0.25) + run("C5 D5 E5 F5 C5 D5 E5 F5 C5 D5 E5 F5 C5 D5 E5 F5", 0.125), LONG], ["bars 1-1: 24 at 12"]],
    ["two groups apart", [opening(120) + SIXTEEN, LONG, SIXTEEN, LONG], ["bars 1-1: 16 at 8", "bars 3-3: 16 at 8"]],
    ["a tempo that grows past the limit", [opening(100) + SIXTEEN, metronome("quarter", "132") + SIXTEEN, LONG], ["bars 2-2: 16 at 8.8"]],
    ["a repeat once", [opening(120) + SIXTEEN, LONG + BACK], ["bars 1-1: 16 at 8"]],
    ["grace notes are no strokes", [opening(120) + `${grace("D5")}${run("C5 C5 C5 C5", 0.25)}`.repeat(4), LONG], []],
  ])("%s", (_, bars, expected) => {
    expect(tongued(bars)).toEqual(expected);
  });

  // Eleven strokes: where the slur leads to is none, where the next one begins is.
  it("does not count the note that a slur leads to", () => {
    const bar =
      note("G5", 1, SLUR) + note("C5", 0.25, SLUR_END) + run("C5 C5 C5 C5 C5 C5 C5 C5 C5 C5", 0.25);
    expect(tongued([opening(120) + bar + note("C5", 0.25, SLUR), note("E5", 4, SLUR_END)])).toEqual(
      [],
    );
  });

  it("counts the last note of a run before a rest", () => {
    const bars = [opening(120) + run("C5 C5 C5 C5 D5 D5 D5 D5 E5 E5 E5 E5", 0.25) + rest(1), LONG];
    expect(tongued(bars)).toEqual(["bars 1-1: 12 at 8"]);
  });

  // Bar 1 comes between them, so that neither run is longer than eight.
  it("does not join the first ending to the second", () => {
    const ending = (number: number, content: string, repeat = "") =>
      `<barline location="left"><ending number="${number}" type="start"/></barline>${content}` +
      `<barline location="right"><ending number="${number}" type="stop"/>${repeat}</barline>`;
    const eight = run("C5 C5 C5 C5 D5 D5 D5 D5", 0.25);
    const bars = [
      opening(120) + LONG,
      ending(1, note("C5", 2) + eight, '<repeat direction="backward"/>'),
      ending(2, eight + note("C5", 2)),
    ];
    expect(tongued(bars)).toEqual([]);
  });

  it("is held against the player's own limit", () => {
    const bars = [opening(120) + SIXTEEN, LONG];
    expect(tongued(bars, limits({ tonguingPerSecond: 8 }))).toEqual([]);
    expect(tongued(bars, limits({ tonguingPerSecond: 7.9 }))).toHaveLength(1);
    const slow = [opening(60) + SIXTEEN, LONG];
    const [own] = reportOf(slow, limits({ tonguingPerSecond: 3.5 })).demands;
    expect(own).toMatchObject({ strokes: 16, limit: { value: 3.5, assumed: false } });
    const [usual] = reportOf(bars).demands;
    expect(usual?.limit).toEqual({ value: 7.5, assumed: true });
  });

  it.each([77, 92, 101, 113, 127, 139])("never at just the limit, quarter = %i", (tempo) => {
    const bars = [opening(tempo) + SIXTEEN, SIXTEEN, LONG];
    expect(tongued(bars, limits({ tonguingPerSecond: (tempo * 4) / 60 + 1e-6 }))).toEqual([]);
    expect(tongued(bars, limits({ tonguingPerSecond: (tempo * 4) / 60 - 1e-6 }))).toHaveLength(1);
  });

  // MusicXML 4.0, <tremolo>: strokes through the stem on top of the flags that the note has. Quarter = 90.
  // prettier-ignore
  it.each<[string, string, readonly string[]]>([
    ["a whole note with three strokes, 32 in 8/3 s", note("C5", 4, tremolo(3)), ["bars 1-1: 32 at 12"]],
    ["a half with three, twice", note("C5", 2, tremolo(3)).repeat(2), ["bars 1-1: 32 at 12"]],
    ["quarters with three", note("C5", 1, tremolo(3)).repeat(4), ["bars 1-1: 32 at 12"]],
    ["quarters with two: sixteenths, 6 a second", note("C5", 1, tremolo(2)).repeat(4), []],
    ["eighths with two: thirty-seconds", note("C5", 0.5, tremolo(2)).repeat(8), ["bars 1-1: 32 at 12"]],
    ["eighths with one: sixteenths", note("C5", 0.5, tremolo(1)).repeat(8), []],
    ["dotted quarters with three, 12 each", note("C5", 1.5, tremolo(3)).repeat(2) + note("C5", 1), ["bars 1-1: 24 at 12"]],
    ["dotted eighths with two, 6 each", (note("C5", 0.75, tremolo(2)) + note("C5", 0.25, tremolo(1))).repeat(4), ["bars 1-1: 32 at 12"]],
  ])("by strokes: %s", (_, bar, expected) => {
    expect(tongued([opening(90) + bar, LONG])).toEqual(expected);
  });

  it("by strokes: eighths of a triplet with two make triplet thirty-seconds, 4 each", () => {
    const bar = note("C5", 1 / 3, tremolo(2)).repeat(12);
    expect(tongued([opening(90) + bar, LONG])).toEqual(["bars 1-1: 48 at 18"]);
  });

  it("by strokes: of tied notes all", () => {
    const bar = note("C5", 2, tremolo(3, TIE)) + note("C5", 2, tremolo(3, TIE_END));
    expect(tongued([opening(90) + bar, LONG])).toEqual(["bars 1-1: 32 at 12"]);
  });

  it("by strokes: before a rest as fast as elsewhere", () => {
    const bar = note("C5", 2, tremolo(3)) + rest(2);
    expect(tongued([opening(90) + bar, LONG])).toEqual(["bars 1-1: 16 at 12"]);
  });
});

describe("long phrases", () => {
  const phrases = (...args: [readonly string[], PartSettings?]) => found("long-phrase", ...args);
  const bar = run("C5 D5 E5 F5", 1);
  const bars = (count: number, from = "") =>
    Array.from({ length: count }, (_, k) => (k === 0 ? opening() + from : "") + bar);

  // A bar is 4 s; the usual limits are 18 s, and 25 s softly (assumed).
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["20 s", bars(5), ["bars 1-5: 20 of 18"]],
    ["not 16 s", bars(4), []],
    ["a rest lets breathe", [...bars(4), note("C5", 3.5) + rest(0.5), ...bars(4).map((each) => each.replace(opening(), ""))], ["bars 1-5: 19.5 of 18"]],
    ["not a sixteenth rest", [...bars(4), note("C5", 0.75) + rest(0.25) + note("C5", 3)], ["bars 1-5: 20 of 18"]],
    ["a breath mark in the middle", [...bars(2), run("C5 D5 E5", 1) + note("F5", 1, BREATH), bar, bar], []],
    ["a breath mark over a tied note", [...bars(2), run("C5 D5 E5", 1) + note("F5", 1, TIE), note("F5", 1, TIE_END + BREATH) + run("G5 A5 B5", 1), bar], []],
    ["softly 24 s are no matter", bars(6, dynamics("p")), []],
    ["softly 28 s are", bars(7, dynamics("pp")), ["bars 1-7: 28 of 25"]],
    ["soft after fp", bars(6, dynamics("fp")), []],
    ["loud for a bar only is loud", [...bars(5, dynamics("p")), dynamics("f") + bar], ["bars 1-6: 24 of 18"]],
    ["no dynamic is not soft", bars(6), ["bars 1-6: 24 of 18"]],
    ["through a repeat without a rest, told once", [...bars(4), `${bar}${BACK}`, rest(4), note("C5", 4)], ["bars 1-5: 40 of 18"]],
    ["grace notes after a rest begin it", [opening() + rest(3) + grace("D5") + note("C5", 1), bar, bar, bar, bar, note("C5", 4)], ["bars 1-6: 21 of 18"]],
  ])("%s", (_, content, expected) => {
    expect(phrases(content)).toEqual(expected);
  });

  it("ends with the last of tied notes", () => {
    const held = Array.from({ length: 4 }, (_, k) => note("C5", 4, TIE_END + (k < 3 ? TIE : "")));
    expect(phrases([opening() + note("C5", 4, TIE), ...held])).toEqual(["bars 1-5: 20 of 18"]);
  });

  it.each([100, 50, 150])("a rest of just 0.3 s is a breath, at quarter = %i", (tempo) => {
    const quarters = (0.3 * tempo) / 60;
    const seconds = (count: number) => (count * 60) / tempo;
    const content = [
      opening(tempo) + note("C5", 4 - quarters) + rest(quarters),
      note("D5", 4 - quarters) + rest(quarters),
    ];
    expect(phrases(content, limits({ phraseSeconds: seconds(5) }))).toEqual([]);
  });

  it("a caesura is one", () => {
    const caesura = "<notations><articulations><caesura/></articulations></notations>";
    expect(phrases([...bars(2), run("C5 D5 E5", 1) + note("F5", 1, caesura), bar, bar])).toEqual(
      [],
    );
  });

  it("the pause between two movements is one", () => {
    const twoMovements = movements([...bars(3), bar + FINAL], [bar, bar, bar]);
    const { demands } = reportOf(twoMovements);
    expect(demands).toEqual([]);
  });

  it("is held against the player's own limits", () => {
    expect(phrases(bars(4), limits({ phraseSeconds: 12 }))).toEqual(["bars 1-4: 16 of 12"]);
    expect(phrases(bars(6, dynamics("p")), limits({ softPhraseSeconds: 20 }))).toEqual([
      "bars 1-6: 24 of 20",
    ]);
    expect(phrases(bars(5), limits({ phraseSeconds: 20 }))).toEqual([]);
  });

  it("goes by a recording where there is one", () => {
    const places = [
      { barLabel: "1", beat: 1, seconds: 0 },
      { barLabel: "4", beat: 1, seconds: 18 },
    ];
    // Three bars in 18 s, then the last as printed: 4 s.
    const wishes = { recordings: [{ name: "slow.csv", places }] };
    expect(phrases(bars(4), { wishes })).toEqual(["bars 1-4: 22 of 18"]);
  });

  it("for other winds too", () => {
    const oboe = bars(5).map((each) => each.replace(/<transpose>.*<\/transpose>/, ""));
    expect(phrases(oboe, { name: "Oboe" })).toHaveLength(1);
  });
});

describe("soft high notes", () => {
  const soft = (...args: [readonly string[], PartSettings?]) => found("soft-high-note", ...args);
  // C6 written and above, p or softer, longer than 4 s (assumed). Quarter = 60.
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["C6 over a barline", [opening() + dynamics("p") + note("C6", 4, TIE), note("C6", 1, TIE_END) + rest(3)], ["bar 1: C6 p 5"]],
    ["not four seconds", [opening() + dynamics("p") + note("C6", 4)], []],
    ["not B5", [opening() + dynamics("p") + note("B5", 4, TIE), note("B5", 4, TIE_END)], []],
    ["not mp", [opening() + dynamics("mp") + note("C6", 4, TIE), note("C6", 4, TIE_END)], []],
    ["not without a dynamic", [opening() + note("C6", 4, TIE), note("C6", 4, TIE_END)], []],
    ["pppp", [opening() + dynamics("pppp") + note("E6", 4, TIE), note("E6", 2, TIE_END) + rest(2)], ["bar 1: E6 pppp 6"]],
    ["a dynamic of bars before", [opening() + dynamics("pp") + note("C5", 4), rest(4), note("D6", 4, TIE), note("D6", 4, TIE_END)], ["bar 3: D6 pp 8"]],
    ["p after fp", [opening() + dynamics("fp") + note("C6", 4, TIE), note("C6", 1, TIE_END) + rest(3)], ["bar 1: C6 p 5"]],
    ["p stays after sfz", [opening() + dynamics("p") + note("C5", 4), dynamics("sfz") + note("C6", 4, TIE), note("C6", 1, TIE_END) + rest(3)], ["bar 2: C6 p 5"]],
    ["a dynamic in the rest before it", [opening() + dynamics("f") + note("C5", 2) + dynamics("p") + rest(2), note("C6", 4, TIE), note("C6", 1, TIE_END) + rest(3)], ["bar 2: C6 p 5"]],
    ["not a dynamic after it", [opening() + dynamics("f") + note("C6", 4, TIE), note("C6", 4, TIE_END), dynamics("p") + note("C5", 4)], []],
    ["struck anew it is another note", [opening() + dynamics("p") + note("C6", 4), note("C6", 4)], []],
    ["three bars, by the whole", [opening() + dynamics("p") + note("C6", 4, TIE), note("C6", 4, TIE + TIE_END), note("C6", 4, TIE_END)], ["bar 1: C6 p 12"]],
  ])("%s", (_, bars, expected) => {
    expect(soft(bars)).toEqual(expected);
  });

  it("end where the last of the tied notes ends", () => {
    const bars = [opening() + dynamics("p") + note("C6", 4, TIE), note("C6", 4, TIE_END)];
    const [high] = reportOf(bars).demands;
    expect([high?.from.barLabel, high?.to.barLabel]).toEqual(["1", "2"]);
  });

  it("of two voices", () => {
    const lower = back(4) + run("C5 D5", 2, inVoice(2));
    const bars = [
      opening() + dynamics("p") + note("C6", 4, TIE + inVoice(1)) + lower,
      note("C6", 4, TIE_END + inVoice(1)) + lower,
    ];
    expect(soft(bars)).toEqual(["bar 1: C6 p 8"]);
  });

  it("is of clarinets only", () => {
    const bars = [
      opening(60, { transpose: [0, 0] }) + dynamics("p") + note("C6", 4, TIE),
      note("C6", 4, TIE_END),
    ];
    expect(soft(bars, { name: "Flute" })).toEqual([]);
    expect(soft(bars, { name: "Clarinet in C" })).toHaveLength(1);
  });

  it("is held against the player's own limit, in written pitch", () => {
    const bars = [
      opening() + dynamics("p") + note("C6", 3) + rest(1),
      attributes({ transpose: A }) + note("C6", 3) + rest(1),
    ];
    expect(soft(bars, limits({ softHighSeconds: 2 }))).toEqual(["bar 1: C6 p 3", "bar 2: C6 p 3"]);
  });
});

describe("all demands", () => {
  it("stand in the order of the page, none for an empty part", () => {
    const bars = [
      opening(30) + dynamics("p") + note("C6", 4),
      rest(4),
      metronome("quarter", "180") + note("C5", 4, tremolo(3)),
      rest(4),
    ];
    expect(reportOf(bars).demands.map(({ kind }) => kind)).toEqual([
      "soft-high-note",
      "fast-tonguing",
    ]);
    expect(reportOf([opening() + rest(4)]).demands).toEqual([]);
  });
});
