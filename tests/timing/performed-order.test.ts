import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, describe } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import { openScore } from "../../src/musicxml/document.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";
import { scoreXml, timelineOf } from "../support/score-xml.js";
import { bar, orderOf } from "./order-shorthand.js";

/** Name, one shorthand a bar, the numbers of the bars as played and the kinds of notices. */
type Row = readonly [string, readonly string[], string];

// Worked by hand. Common practice, no source, where no other is named.
const REPEATS: readonly Row[] = [
  ["no signs", ["", "", ""], "1 2 3"],
  ["repeat", ["|:", ":|", ""], "1 2 1 2 3"],
  ["repeat without a start: from the beginning", ["", ":|", ""], "1 2 1 2 3"],
  ["pick-up before a repeat", ["", "|:", ":|", ""], "1 2 3 2 3 4"],
  ["repeat of one bar", ["", "|: :|", ""], "1 2 2 3"],
  ["two repeats in a row", ["|:", ":|", "|:", ":|"], "1 2 1 2 3 4 3 4"],
  ["second start not printed: from the last repeat", [":|", "", ":|", ""], "1 1 2 3 2 3 4"],
  // MusicXML 4.0, <sound forward-repeat>: a start that is implied but not printed.
  ["start implied for playback", ["", "forward", ":|"], "1 2 3 2 3"],
  // MusicXML 4.0, <repeat times>: the number of times the section is played in all.
  ["three times in all", ["|: :|x3", ""], "1 1 1 2"],
  ["times of one", ["|:", ":|x1", ""], "1 2 3"],
  ["nested", ["|:", "|: :|", ":|", ""], "1 2 2 3 1 2 2 3 4"],
  ["nested, the inner three times", ["|:", "|: :|x3", ":|"], "1 2 2 2 3 1 2 2 2 3"],
  ["start never closed", ["", "|:", ""], "1 2 3; repeat-unclosed"],
  ["first of two starts never closed", ["|:", "|:", ":|"], "1 2 3 2 3; repeat-unclosed"],
];

const ENDINGS: readonly Row[] = [
  ["two endings", ["", "[1 ] :|", "[2 ]", ""], "1 2 1 3 4"],
  ["two endings of two bars", ["|:", "[1", "] :|", "[2", "]", ""], "1 2 3 1 4 5 6"],
  // MusicXML 4.0, <ending number>: "1,2" is played the first and second time.
  ["1,2 and 3", ["", "[1,2 ] :|", "[3 ]", ""], "1 2 1 2 1 3 4"],
  ["1-3 and 4", ["", "[1-3 ] :|", "[4 ]"], "1 2 1 2 1 2 1 3"],
  ["1,3 and 2,4", ["", "[1,3 ] :|", "[2,4 ] :|", ""], "1 2 1 3 1 2 1 3 4"],
  ["three endings", ["", "[1 ] :|", "[2 ] :|", "[3 ]", ""], "1 2 1 3 1 4 5"],
  ["last ending with a repeat sign too many", ["", "[1 ] :|", "[2 ] :|", ""], "1 2 1 3 4"],
  ["endings, then a repeat", ["|:", "[1 ] :|", "[2 ]", "", ":|"], "1 2 1 3 4 5 4 5"],
  ["endings twice", ["", "[1 ] :|", "[2 ]", "", "[1 ] :|", "[2 ]"], "1 2 1 3 4 5 4 6"],
  [
    "endings of one bar, then a repeat: twice",
    ["", "[1 ] :|", "[2 ] :|", "[3 ]", "", ":|"],
    "1 2 1 3 1 4 5 6 5 6",
  ],
  ["ending never reached", ["", "[1 ] :|", "[2 ]", "[4 ]", ""], "1 2 1 3 5; bars-not-reached"],
  // The next row of endings begins with its first, whatever became of the last bracket before it.
  [
    "ending never reached, then endings",
    ["", "[1 ] :|", "[2 ]", "[4 ]", "", "[1 ] :|", "[2 ]"],
    "1 2 1 3 5 6 5 7; bars-not-reached",
  ],
];

const JUMPS: readonly Row[] = [
  ["D.C. to the end", ["", "", "D.C."], "1 2 3 1 2 3"],
  ["D.C. al Fine", ["", "Fine", "", "D.C."], "1 2 3 4 1 2"],
  ["D.S. al Fine", ["", "segno", "Fine", "", "D.S.=1"], "1 2 3 4 5 2 3"],
  ["D.C. al Coda", ["", "toCoda=1", "D.C.", "coda"], "1 2 3 1 2 4"],
  ["D.S. al Coda", ["", "segno", "toCoda=1", "D.S.=1", "coda", ""], "1 2 3 4 2 3 5 6"],
  ["repeat left out after the jump", ["|:", ":|", "Fine", "D.C."], "1 2 1 2 3 4 1 2 3"],
  // MusicXML 4.0, <repeat after-jump>: the repeat is played after the jump as well.
  ["after-jump", ["|:", ":|again", "Fine", "D.C."], "1 2 1 2 3 4 1 2 1 2 3"],
  ["after-jump, three times", ["|:", ":|x3again", "D.C."], "1 2 1 2 1 2 3 1 2 1 2 1 2 3"],
  ["last ending after the jump", ["", "[1 ] :|", "[2 ]", "Fine", "D.C."], "1 2 1 3 4 5 1 3 4"],
  // MusicXML 4.0, <ending number>: can also tell what is played during a larger da capo.
  ["third time under a da capo", ["", "[1,3 Fine ] :|", "[2 ]", "D.C."], "1 2 1 3 4 1 2"],
  // A section left for good by Fine or to the coda is not one that was never closed.
  ["Fine inside a repeat", ["|: Fine", ":|", "D.C."], "1 2 1 2 3 1"],
  ["to coda out of a repeat", ["|:", "toCoda=1", ":|", "D.C.", "coda"], "1 2 3 1 2 3 4 1 2 5"],
  ["start never closed under a da capo", ["", "|:", "D.C."], "1 2 3 1 2 3; repeat-unclosed"],
  ["D.C. at the end of a repeat", ["|:", ":| D.C.", ""], "1 2 1 2 1 2 3"],
  ["D.S. without segno", ["", "D.S.=1", ""], "1 2 3; jump-not-followed"],
  ["to coda without coda", ["toCoda=1", "D.C."], "1 2 1 2; jump-not-followed"],
  // MusicXML 4.0, <sound>: names distinguish several signs of a kind.
  ["two segni by name", ["segno=A", "segno=B", "D.S.=B", ""], "1 2 3 2 3 4"],
  ["two codas by name", ["toCoda=B", "D.C.", "coda=A", "coda=B"], "1 2 1 4; bars-not-reached"],
  // Some programs write other names at the two ends of a jump.
  ["coda under another name", ["toCoda=A", "D.C.", "", "coda=B"], "1 2 1 4; bars-not-reached"],
  // Only what was repeated before the jump is left out after it.
  ["repeat in the coda", ["toCoda=1", "D.C.", "coda", "|:", ":|"], "1 2 1 3 4 5 4 5"],
  ["three times in the coda", ["toCoda=1", "D.C.", "coda", "|: :|x3"], "1 2 1 3 4 4 4"],
  ["endings in the coda", ["toCoda=1", "D.C.", "coda", "[1 ] :|", "[2 ]"], "1 2 1 3 4 3 5"],
  ["after-jump, Fine where it ends", ["|:", ":|again Fine", "D.C."], "1 2 1 2 3 1 2 1 2"],
  [
    "after-jump, to coda where it ends",
    ["|:", ":|again toCoda=1", "D.C.", "coda"],
    "1 2 1 2 3 1 2 1 2 4",
  ],
];

describe.each([
  ["repeats", REPEATS],
  ["endings", ENDINGS],
  ["jumps", JUMPS],
])("the order of performance: %s", (_, rows) => {
  it.each(rows)("%s", (_name, bars, expected) => {
    const { order, notices } = orderOf(bars);
    expect([order, ...notices.map(({ kind }) => kind)].join("; ")).toBe(expected);
  });
});

describe("the order of performance", () => {
  it("numbers the times through and adds up the lengths", () => {
    const { visits } = orderOf(["", "[1 ] :|", "[2 ]"]);
    expect(visits.map(({ visitIndex, pass }) => [visitIndex, pass])).toEqual([
      [0, 1],
      [1, 1],
      [2, 2],
      [3, 1],
    ]);
    // Bars of one quarter.
    expect(visits.map(({ startQuarters }) => startQuarters.valueOf())).toEqual([0, 1, 2, 3]);
  });

  it("says which bars are not reached and which repeat stays open", () => {
    expect(orderOf(["", "[1 ] :|", "[2 ]", "[4", "]", ""]).notices).toEqual([
      { kind: "bars-not-reached", barLabel: "4", lastBarLabel: "5", bars: 2 },
    ]);
    expect(orderOf(["", "|:"]).notices).toEqual([{ kind: "repeat-unclosed", barLabel: "2" }]);
  });

  it.each(["0", "100", "1000000000000"])("plays twice what is marked times=%s", (times) => {
    const { order, notices } = orderOf([`|: :|x${times}`, ""]);
    expect(order).toBe("1 1 2");
    expect(notices).toMatchObject([
      { kind: "odd-number", element: "repeat times", text: times, barLabel: "1" },
    ]);
  });

  it("follows the most times that are taken seriously", () => {
    expect(orderOf(["|: :|x99"]).visits).toHaveLength(99);
  });

  it("takes a segno from the barline", () => {
    // MusicXML 4.0, <barline segno>: where a dal segno leads back to.
    const segno = `<barline location="left" segno="A"><segno/></barline>`;
    const { bars } = timelineOf(
      scoreXml([{ bars: [bar(""), segno + bar(""), bar("D.S.=A"), bar("")] }]),
    );
    const order = performedOrder(bars).visits.map(({ barIndex }) => barIndex + 1);
    expect(order).toEqual([1, 2, 3, 2, 3, 4]);
  });

  it.each<readonly [string, readonly string[]]>([
    // 2^16 = 65 536 times through the innermost bar.
    [
      "sixteen repeats in each other",
      [...Array<string>(16).fill("|:"), ...Array<string>(16).fill(":|")],
    ],
    // 99 x 99 x 99 = 970 299 times.
    ["three repeats of 99", ["|:", "|:", "|:", ":|x99", ":|x99", ":|x99"]],
  ])("refuses what would never end: %s", (_, bars) => {
    expect(() => orderOf(bars)).toThrow(
      expect.objectContaining({ name: "InputError", code: "endless-repeat" }) as InputError,
    );
  });
});

// Unofficial MusicXML test suite (R. Kainhofer), worked by hand from each file's own description;
// from its name and signs where it has none (45h to 45k).
const SUITE: Readonly<Record<string, string>> = {
  "45a-SimpleRepeat": "1 1 1 1 1 2",
  "45b-SimpleRepeatWithStart": "1 1 1 1 1 2",
  "45c-SuccessiveSimpleRepeats": "1 1 1 1 1 2 3 3 3 4",
  "45d-SuccessiveSimpleRepeatsWithStart": "1 1 1 1 1 2 3 3 3 4",
  "45e-SimpleRepeatWithStartAndStop": "1 2 2 2 2 2 3",
  "45f-RepeatWithAlternatives": "1 2 1 3 4",
  "45g-RepeatWithAlternativesAndStart": "1 2 1 3 4",
  "45h-Repeats-ExplicitStart": "1 2 3 2 4",
  "45i-Repeats-WithAlternatives": "1 2 3 2 4 5",
  "45j-SimpleRepeatWithAnacrusis": "0 1 0 1 2",
  "45k-SimpleRepeatWithAnacrusisAndStart": "0 1 0 1 2",
  // "Repeats can also be nested": 2 3 five times within 1 to 7, which are played three times.
  // The description asks for a nested repeat, back to the beginning. Orchestral parts do not nest repeats;
  // there a sign without a beginning goes back to the last one passed (common practice, no source).
  "45l-NestedRepeatMultipleTimes": "1 2 3 2 3 2 3 2 3 2 3 4 5 6 7 4 5 6 7 4 5 6 7 8",
  "45m-NestedRepeatMultipleTimesWithStart": `${"1 2 3 2 3 2 3 2 3 2 3 4 5 6 7 ".repeat(3)}8`,
  // "Some more nested repeats with alternatives", meant as 5 within 4 to 7: decided as in 45l.
  "45x-Repeats-Nested-Alternatives": "1 2 1 3 4 5 5 6 7 6 8 9 8 9 10",
  "45z-Repeats-NotEnded": "1 2",
  // Only the end of the first bracket says that it is the first.
  "BIS45b-RepeatWithAlternatives": "1 2 1 3 4",
};
/** Brackets 1, 2, 3 with one repeat sign, then 1, 5, 8 with two: nobody could play it as marked. */
const UNPLAYABLE = "45w-Repeats-Nested-Alternatives";

describeCorpus("the repeats of the MusicXML test suite", () => {
  const folder = join(CORPUS_ROOT, "musicxml-testsuite");
  const orderIn = (name: string) => {
    const score = openScore(readFileSync(join(folder, `${name}.xml`)));
    const { bars } = score.timeline(score.parts[0]?.id ?? "");
    const { visits, notices } = performedOrder(bars);
    const labels = visits.map(({ barIndex }) => bars[barIndex]?.barLabel);
    return { order: labels.join(" "), notices: notices.map(({ kind }) => kind) };
  };

  it.each(Object.entries(SUITE))("%s", (name, order) => {
    expect(orderIn(name).order).toBe(order);
  });

  it("says that a repeat is not ended", () => {
    expect(orderIn("45z-Repeats-NotEnded").notices).toEqual(["repeat-unclosed"]);
  });

  it("plays what can be played of signs that contradict each other, and says what is left", () => {
    const { order, notices } = orderIn(UNPLAYABLE);
    // The first two brackets are clear: 1 2 1 3-5; so is the first of the second row, bar 10.
    expect(order).toMatch(/^1 2 1 3 4 5 (?:6 )?7 8 9 10 /);
    expect(notices).toContain("bars-not-reached");
  });

  it("leaves no file of repeats out", () => {
    const files = readdirSync(folder).filter((name) => /45[a-z]-.*\.xml$/.test(name));
    const known = [...Object.keys(SUITE), UNPLAYABLE].map((name) => `${name}.xml`);
    expect(files.sort()).toEqual(known.sort());
  });
});
