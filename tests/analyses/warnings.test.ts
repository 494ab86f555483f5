import { describe, expect, it } from "vitest";
import type { InstrumentChange } from "../../src/model/report.js";
import { A, attributes, metronome, note, rest, words } from "../support/score-xml.js";
import { changesOf, NEW_PAGE, onlyChange, REPEAT, start, taking } from "./change-cases.js";
import { FINAL, movements, reportOf } from "./movement-cases.js";
import { NAMED_A } from "./in-hand-cases.js";

const IN_A = attributes({ transpose: A });
const PLAYED = note("C5", 4);
const SILENT = rest(4);
const LA = words("muta in La");
const SOUND =
  "<sound><instrument-change><instrument-sound>wind.reed.clarinet.a</instrument-sound></instrument-change></sound>";

/** How the change is announced: `nothing from 1` or `late by "muta in La" in 4: 2 of 3.5 s`. */
function warningsOf({ disagreements }: InstrumentChange): readonly string[] {
  return disagreements.map((each) => {
    if (each.kind === "nothing-printed") return `nothing from ${each.restBarLabel}`;
    if (each.kind !== "late-warning") return each.kind;
    const { words: text, wordsBarLabel, seconds, neededSeconds } = each;
    return `late by "${text}" in ${wordsBarLabel}: ${+seconds.toFixed(6)} of ${neededSeconds} s`;
  });
}

describe("a change that only the file knows", () => {
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["the transposition", [start(PLAYED), SILENT, IN_A + PLAYED], ["nothing from 1"]],
    ["an encoded change", [start(PLAYED), SOUND + SILENT, IN_A + PLAYED], ["nothing from 1"]],
    ["a rest inside a bar", [start(PLAYED), note("C5", 1) + rest(3), IN_A + PLAYED], ["nothing from 2"]],
    ["no rest at all", [start(PLAYED), IN_A + PLAYED], ["nothing from 1"]],
    ["a cue's name", [start(PLAYED), words("Oboe") + SILENT, IN_A + PLAYED], ["nothing from 1"]],
    ["words for somebody else", [start(PLAYED), words("Oboe") + SILENT, PLAYED, LA + SILENT, IN_A + PLAYED], []],
    ["words", [start(PLAYED), LA + SILENT, IN_A + PLAYED], []],
    ["words over the last note", [start(LA + PLAYED), SILENT, IN_A + PLAYED], []],
    ["a name at the system", [start(PLAYED), NAMED_A + SILENT, IN_A + PLAYED], []],
    ["words that do not hold yet", [start(LA + PLAYED), SILENT, PLAYED, SILENT, IN_A + PLAYED], ["words-before-transposition"]],
  ])("%s", (_, bars, expected) => {
    expect(warningsOf(onlyChange(bars))).toEqual(expected);
  });

  it("says where the player enters, and where the words should stand", () => {
    const change = onlyChange([start(PLAYED), SILENT, IN_A + PLAYED]);
    expect(change.disagreements).toEqual([
      { kind: "nothing-printed", barIndex: 2, barLabel: "3", restBarLabel: "1", to: "clarinet-a" },
    ]);
    expect(change.advice).toContainEqual({ kind: "pencil-in", barLabel: "1", to: "clarinet-a" });
    expect(change.advice.map(({ kind }) => kind)).not.toContain("check-print");
  });

  it("is none of a change that a repeat makes", () => {
    const bars = [start(PLAYED), LA + SILENT, IN_A + PLAYED, SILENT + REPEAT];
    const [there, back] = changesOf(bars);
    expect(warningsOf(there!)).toEqual([]);
    expect(back?.evidence[0]?.kind).toBe("repeat");
    expect(warningsOf(back!)).toEqual([]);
  });
});

describe("words that come late", () => {
  // A quarter is a second at the fast tempo; the hands take 3.5 s by the usual figures.
  // prettier-ignore
  it.each<[string, readonly string[], readonly string[]]>([
    ["two seconds before the entry", [start(PLAYED), SILENT, rest(2) + LA + rest(2), IN_A + PLAYED],
      ['late by "muta in La" in 3: 2 of 3.5 s']],
    ["three and a quarter", [start(PLAYED), SILENT, rest(0.75) + LA + rest(3.25), IN_A + PLAYED],
      ['late by "muta in La" in 3: 3.25 of 3.5 s']],
    ["just in time", [start(PLAYED), SILENT, rest(0.5) + LA + rest(3.5), IN_A + PLAYED], []],
    ["a label at the entry", [start(PLAYED), SILENT, words("Clarinet in A") + IN_A + PLAYED],
      ['late by "Clarinet in A" in 3: 0 of 3.5 s']],
    ["a label inside the entry's bar", [start(PLAYED), SILENT, rest(1) + words("in A") + rest(1) + IN_A + note("C5", 2)],
      ['late by "in A" in 3: 1 of 3.5 s']],
    ["said in time, and again at the entry", [start(PLAYED), LA + SILENT, words("in A") + IN_A + PLAYED], []],
    ["said well before the rest", [start(LA + PLAYED), PLAYED, SILENT, IN_A + PLAYED], []],
    ["where the whole rest is too short", [start(PLAYED), note("C5", 1) + rest(1) + LA + rest(2), IN_A + PLAYED], []],
    // 2 s at 60 and 2 quarters at 120, which are 1 s.
    ["through a new tempo", [start(PLAYED), SILENT, rest(2) + LA + rest(2), metronome("quarter", "100-120") + rest(2) + IN_A + note("C5", 2)],
      ['late by "muta in La" in 3: 3 of 3.5 s']],
  ])("%s", (_, bars, expected) => {
    expect(warningsOf(onlyChange(bars))).toEqual(expected);
  });

  it("says both places and asks for a pencil where the rest begins", () => {
    const bars = [start(note("C5", 2) + rest(2)), SILENT, rest(2) + LA + rest(2), IN_A + PLAYED];
    const { disagreements, advice } = onlyChange(bars);
    expect(disagreements).toMatchObject([
      {
        kind: "late-warning",
        barLabel: "4",
        wordsBarLabel: "3",
        restBarLabel: "1",
        to: "clarinet-a",
      },
    ]);
    expect(advice).toContainEqual({ kind: "pencil-in", barLabel: "1", to: "clarinet-a" });
  });

  it("goes by the player's own hands", () => {
    const bars = [start(PLAYED), SILENT, rest(2) + LA + rest(2), IN_A + PLAYED];
    expect(warningsOf(onlyChange(bars, taking(2)))).toEqual([]);
    expect(warningsOf(onlyChange(bars, taking(2.5)))).toEqual([
      'late by "muta in La" in 3: 2 of 2.5 s',
    ]);
  });

  it("counts a page that is turned in the rest", () => {
    const bars = [start(PLAYED), SILENT, NEW_PAGE + LA + SILENT, IN_A + PLAYED];
    // 3.5 s and 1.5 s for the page.
    expect(warningsOf(onlyChange(bars))).toEqual(['late by "muta in La" in 3: 4 of 5 s']);
  });

  it("goes by the words as they were last passed", () => {
    // The first time the words stand in the rest after the repeat; the second time they were long seen.
    const bars = [start(PLAYED), LA + PLAYED + REPEAT, SILENT, IN_A + PLAYED];
    expect(warningsOf(onlyChange(bars))).toEqual([]);
  });

  it("is measured to the grace note that the entry begins with", () => {
    const grace = note("B4", 0)
      .replace("<duration>0</duration>", "")
      .replace("<note>", "<note><grace/>");
    const bars = [start(PLAYED), SILENT, rest(0.5) + LA + rest(3.5), IN_A + grace + PLAYED];
    expect(warningsOf(onlyChange(bars))).toEqual(['late by "muta in La" in 3: 3.4 of 3.5 s']);
  });

  it("is none between two movements, where everybody waits", () => {
    const end = note("C5", 2) + rest(2) + FINAL;
    const label = words("Clarinet in A") + IN_A + PLAYED;
    const [change] = reportOf(movements([start(end)], [SILENT, label])).changes;
    expect(warningsOf(change!)).toEqual([]);
  });

  it("is one where the next movement follows at once", () => {
    const end = note("C5", 2) + words("attacca") + rest(2) + FINAL;
    const label = words("Clarinet in A") + IN_A + PLAYED;
    const [change] = reportOf(movements([start(end)], [SILENT, label])).changes;
    expect(warningsOf(change!)).toEqual(['late by "Clarinet in A" in 2: 0 of 3.5 s']);
  });
});
