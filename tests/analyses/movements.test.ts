import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { note, rest, scoreXml, timelineOf, words, type BarXml } from "../support/score-xml.js";
import { FAST_60 } from "./change-cases.js";
import { IN_A, IN_B_FLAT, IN_BASS, LA, PLAYED, SIB, SILENT } from "./in-hand-cases.js";
import {
  changesAcross,
  DA_CAPO,
  FINAL,
  FINE,
  goingOn,
  movements,
  orderOf,
  REPEATED,
  reportOf,
  withUpbeat,
} from "./movement-cases.js";

/** Four seconds of rest at the fast tempo; the hands take 3.5 s by the usual figures. */
const FIRST = [IN_B_FLAT + FAST_60 + PLAYED, SILENT + FINAL];
const SECOND = IN_A + PLAYED;

/** A bar of the second movement, which prints no tempo: 60 to 144 quarters a minute are assumed, by the fast end. */
const ASSUMED_BAR = (4 * 60) / 144;

describe("the pause between two movements", () => {
  // 5 s is what a pause gives at least (assumption). Below 1.5 x 3.5 s a change is tight, from
  // 3 x 3.5 s on ample.
  // prettier-ignore
  it.each<[string, readonly BarXml[], readonly string[], number, string]>([
    ["bars counted anew", movements(FIRST, [SECOND]), ["movement-end"], 4 + 5 - 3.5, "workable"],
    ["bars counted anew from an upbeat", movements(FIRST, withUpbeat(SECOND)), ["movement-end"], 5.5, "workable"],
    ["no rest on either side", movements([IN_B_FLAT + FAST_60 + PLAYED + FINAL], [SECOND]), ["movement-end"], 5 - 3.5, "tight"],
    ["rests on both sides", movements(FIRST, [IN_A + SILENT, PLAYED]), ["movement-end"], 4 + ASSUMED_BAR + 5 - 3.5, "ample"],
    ["two ends in one rest", movements(FIRST, [SILENT + FINAL], [SECOND]), ["movement-end", "movement-end"], 4 + ASSUMED_BAR + 10 - 3.5, "ample"],
    ["a repeat sign for a final barline", movements([IN_B_FLAT + FAST_60 + PLAYED, SILENT + REPEATED], [SECOND]), ["movement-end"], 5.5, "workable"],
    ["bars counted on", movements(FIRST, goingOn(3, SECOND)), ["final-barline"], 0.5, "tight"],
    ["no final barline", movements([IN_B_FLAT + FAST_60 + PLAYED, SILENT], [SECOND]), [], 0.5, "tight"],
  ])("%s", (_, bars, pauses, lookUpSeconds, verdict) => {
    const [change] = reportOf(bars).changes;
    expect(change?.rest.pauses.map(({ sign, on }) => `${sign} ${on}`)).toEqual(
      pauses.map((sign) => `${sign} rest`),
    );
    expect(change?.lookUp.seconds).toBeCloseTo(lookUpSeconds, 9);
    expect(change?.verdict).toBe(verdict);
  });

  it("is in no figure of the rest itself", () => {
    const [change] = reportOf(movements(FIRST, [SECOND])).changes;
    expect(change?.rest.seconds.short).toBeCloseTo(4, 9);
    expect(change?.rest.pauses[0]).toMatchObject({
      at: { barLabel: "2" },
      extraSeconds: { short: 5 },
    });
  });

  it.each([
    "attacca",
    "Attacca subito",
    "attacca il Finale",
    "segue",
    "sans arrêt",
    "Enchaînez",
    "ohne Unterbrechung",
  ])("is none where the next follows at once: %s", (text) => {
    const [first = ""] = FIRST;
    const [change] = reportOf(movements([first, SILENT + words(text) + FINAL], [SECOND])).changes;
    expect(change).toMatchObject({ rest: { pauses: [] }, verdict: "tight" });
  });

  it.each([
    ["not attacca", "non attacca"],
    ["words that only sound like it", "lunga pausa"],
  ])("is one still: %s", (_, text) => {
    const [first = ""] = FIRST;
    const [change] = reportOf(movements([first, SILENT + words(text) + FINAL], [SECOND])).changes;
    expect(change?.rest.pauses.map(({ sign }) => sign)).toContain("movement-end");
  });

  it("is none where attacca stands over the top staff of the score", () => {
    const top = {
      id: "FL",
      name: "Flute",
      bars: movements([PLAYED, words("attacca") + PLAYED + FINAL], [PLAYED]),
    };
    const [change] = reportOf(movements(FIRST, [SECOND]), {}, [top]).changes;
    expect(change?.rest.pauses).toEqual([]);
  });

  it("also stands in an entry on the same instrument", () => {
    const { changes, entries } = reportOf(movements(FIRST, [PLAYED]));
    expect(changes).toEqual([]);
    expect(entries.at(-1)?.rest.pauses.map(({ sign }) => sign)).toEqual(["movement-end"]);
  });

  it("is not added to what a recording has measured", () => {
    const timeline = timelineOf(scoreXml([{ bars: movements(FIRST, [SECOND]) }]));
    const place = (barLabel: string, seconds: number) => ({ barLabel, beat: 1, seconds });
    const places = [place("1", 0), place("2", 4), place("1", 28)];
    const source = { file: "test.musicxml", title: "", movement: "" };
    const wishes = { recordings: [{ name: "take 1", places }] };
    const [change] = analysePart(timeline, USUAL_PROFILE, source, wishes).changes;
    expect(change?.rest.seconds.short).toBeCloseTo(24, 9);
    expect(change?.lookUp.seconds).toBeCloseTo(24 - 3.5, 9);
  });

  it("comes once, after the last time through a repeat", () => {
    const repeated = [IN_B_FLAT + FAST_60 + PLAYED, LA + SILENT, PLAYED, SIB + SILENT + REPEATED];
    const bars = movements([...repeated, SILENT + FINAL], [LA + SILENT, PLAYED]);
    const signs = reportOf(bars).changes.map(({ rest: { pauses } }) => pauses.length);
    expect(signs).toEqual([0, 0, 0, 1]);
  });
});

describe("a change at the boundary", () => {
  const END = note("C5", 2) + rest(2);
  // prettier-ignore
  it.each<[string, readonly BarXml[], string]>([
    ["the transposition of the next movement", movements([IN_B_FLAT + PLAYED + FINAL], [SECOND]), "1 > 1: clarinet-bflat > clarinet-a (transpose in 1)"],
    ["a label at its head", movements([PLAYED + FINAL], [words("Clarinet in A") + PLAYED]), "1 > 1: clarinet-bflat > clarinet-a (words in 1)"],
    ["a label over the rest it begins with", movements([PLAYED, PLAYED + FINAL], [words("in A") + SILENT, PLAYED]), "2 > 2: clarinet-bflat > clarinet-a (words in 1)"],
    ["words in the last rest", movements([PLAYED, note("C5", 2) + LA + rest(2) + FINAL], [PLAYED]), "2 > 1: clarinet-bflat > clarinet-a (words in 2)"],
    ["words at the end of the last rest", movements([PLAYED, END + LA + FINAL], [PLAYED]), "2 > 1: clarinet-bflat > clarinet-a (words in 2)"],
    ["words over the last notes, before a rest", movements([PLAYED, LA + END + FINAL], [PLAYED]), "2 > 1: clarinet-bflat > clarinet-a (words in 2)"],
    ["words over the last notes, with a transposition", movements([IN_B_FLAT + PLAYED, LA + PLAYED + FINAL], [SECOND]), "2 > 1: clarinet-bflat > clarinet-a (words in 2, transpose in 1)"],
    ["words over the last notes, without a rest", movements([PLAYED, LA + PLAYED + FINAL], [PLAYED, SILENT, PLAYED]), "2 > 1: clarinet-bflat > clarinet-a (words in 2)"],
    ["words after the last note", movements([PLAYED, PLAYED + LA + FINAL], [PLAYED, SILENT, PLAYED]), "2 > 1: clarinet-bflat > clarinet-a (words in 2)"],
    ["into an upbeat", movements([PLAYED, LA + END + FINAL], withUpbeat(rest(3) + note("C5", 1), PLAYED)), "2 > 0: clarinet-bflat > clarinet-a (words in 2)"],
  ])("%s", (_, bars, expected) => {
    expect(changesAcross(bars)).toEqual([expected]);
  });

  it("back to the first instrument in the last bars", () => {
    const first = [PLAYED, LA + SILENT, PLAYED, SIB + SILENT + FINAL];
    expect(changesAcross(movements(first, [PLAYED, SILENT, PLAYED]))).toEqual([
      "1 > 3: clarinet-bflat > clarinet-a (words in 2)",
      "3 > 1: clarinet-a > clarinet-bflat (words in 4)",
    ]);
  });

  it("back by the name alone", () => {
    const first = [PLAYED, words("To B. Cl.") + SILENT, PLAYED, words("To Cl.") + SILENT + FINAL];
    const part = { name: "Clarinet in A" };
    expect(changesAcross(movements(first, [PLAYED]), part).at(-1)).toBe(
      "3 > 1: bass-clarinet-bflat > clarinet-a (words in 4)",
    );
  });

  it("what was in hand at the end of a movement stays so where nothing is said", () => {
    expect(changesAcross(movements([PLAYED, LA + SILENT, PLAYED + FINAL], [PLAYED]))).toEqual([
      "1 > 3: clarinet-bflat > clarinet-a (words in 2)",
    ]);
  });

  it("over a whole movement that the player does not play", () => {
    const bars = movements(
      [IN_B_FLAT + FAST_60 + PLAYED + words("muta in Clarinetto basso") + FINAL],
      [SILENT, words("II. tacet") + SILENT + FINAL],
      [IN_BASS + PLAYED],
    );
    expect(changesAcross(bars)).toEqual([
      "1 > 1: clarinet-bflat > bass-clarinet-bflat (words in 1, transpose in 1)",
    ]);
    expect(reportOf(bars).changes[0]?.rest.pauses).toHaveLength(2);
  });
});

describe("D.C. in a file of several movements", () => {
  const BAR = PLAYED;
  const sound = (name: string, value: string) => `<sound ${name}="${value}"/>`;
  // prettier-ignore
  it.each<[string, readonly BarXml[], readonly number[]]>([
    ["goes to the first bar of its movement", movements([BAR, BAR + FINAL], [BAR, BAR + FINE, BAR + DA_CAPO]), [0, 1, 2, 3, 4, 2, 3]],
    ["goes to the upbeat of its movement", movements([BAR, BAR + FINAL], withUpbeat(rest(3) + note("C5", 1), BAR + FINE, BAR + DA_CAPO)), [0, 1, 2, 3, 4, 2, 3]],
    ["at the end of a trio goes to the minuet", movements([BAR + FINAL], [BAR, BAR + FINE + FINAL], goingOn(3, BAR, BAR + DA_CAPO)), [0, 1, 2, 3, 4, 1, 2]],
    ["in the first movement goes to its beginning", movements([BAR, BAR + DA_CAPO.replace(" al Fine", "") + FINAL]), [0, 1, 0, 1]],
    ["al Fine, and then the next movement", movements([BAR, BAR + FINE, BAR + DA_CAPO + FINAL], [BAR, BAR]), [0, 1, 2, 0, 1, 3, 4]],
    ["at the end of a trio that counts its bars anew", movements([BAR + FINAL], [BAR, BAR + FINE + FINAL], [BAR, BAR + DA_CAPO.replace("D.C.", "Menuetto D.C.")]), [0, 1, 2, 3, 4, 1, 2]],
    ["of the first is over in the second, which leaves for its coda in its own time", movements([BAR, BAR + sound("dacapo", "yes") + FINAL], [BAR, BAR + sound("tocoda", "1"), BAR + sound("dacapo", "yes"), sound("coda", "1") + BAR]), [0, 1, 0, 1, 2, 3, 4, 2, 3, 5]],
    ["and D.S., which goes to the sign of its movement", movements([sound("segno", "1") + BAR, BAR + sound("dalsegno", "1") + FINAL], [BAR, sound("segno", "1") + BAR, BAR + sound("dalsegno", "1")]), [0, 1, 0, 1, 2, 3, 4, 3, 4]],
  ])("%s", (_, bars, order) => {
    expect(orderOf(bars)).toEqual(order);
  });

  it("makes a change in the later movement", () => {
    const second = [IN_A + PLAYED + FINE, SILENT, IN_B_FLAT + PLAYED, SILENT + DA_CAPO];
    expect(changesAcross(movements([IN_A + PLAYED, SILENT + FINAL], second))).toEqual([
      "1 > 3: clarinet-a > clarinet-bflat (transpose in 3)",
      "3 > 1: clarinet-bflat > clarinet-a (repeat in 1)",
    ]);
  });
});
