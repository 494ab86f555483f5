import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Bar } from "../../src/model/score.js";
import type { RepeatChoice } from "../../src/model/tempo.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { noticeText } from "../../src/reporters/wording/notices.js";
import { barsOf, labelsAsPlayed, orderOf } from "./order-shorthand.js";

/** Name, one shorthand a bar, the choice, and the bars as played. */
type Row = readonly [string, readonly string[], RepeatChoice, string];
/** The same, and the bars named as left out. */
type ChoiceRow = readonly [...Row, string];

const TWO = ["|:", ":|", "|:", ":|", ""];
const NESTED = ["|:", "|: :|", ":|", ""];
const ENDINGS = ["", "[1 ] :|", "[2 ] :|", "[3 ]", ""];
const LONG_ENDINGS = ["|:", "[1", "] :|", "[2", "]", "|: :|"];
const MENUET = ["|:", ":|", "|:", ":| Fine", "|:", ":| D.C."];

// Worked by hand from what the player asks for.
const CHOICES: readonly ChoiceRow[] = [
  ["two repeats, all", TWO, "all", "1 2 1 2 3 4 3 4 5", ""],
  ["two repeats, none", TWO, "none", "1 2 3 4 5", "2, 4"],
  ["two repeats, first only", TWO, "first-only", "1 2 1 2 3 4 5", "4"],
  ["two repeats, the second by name", TWO, ["4"], "1 2 3 4 3 4 5", "2"],
  ["two repeats, both by name", TWO, ["4", "2"], "1 2 1 2 3 4 3 4 5", ""],
  ["a name twice", TWO, ["4", "4"], "1 2 3 4 3 4 5", "2"],
  ["two repeats, an empty list", TWO, [], "1 2 3 4 5", "2, 4"],
  ["one repeat, first only", ["|:", ":|", ""], "first-only", "1 2 1 2 3", ""],
  ["no repeats", ["", ""], "none", "1 2", ""],
  ["no repeats, first only", ["", ""], "first-only", "1 2", ""],
  // A sign without a beginning goes back to the sign before it, taken or not.
  ["second start not printed", ["", ":|", "", ":|"], ["4"], "1 2 3 4 3 4", "2"],
  ["three times in all, left out", ["|: :|x3", ":|"], "none", "1 2", "1, 2"],
  ["three times in all, taken", ["|: :|x3", ":|"], ["1"], "1 1 1 2", "2"],
  ["times of one is no repeat", ["|: :|x1", "|: :|"], "first-only", "1 2 2", ""],
  // Each sign is judged by itself; the first on the page is that of the inner one.
  ["nested, none", NESTED, "none", "1 2 3 4", "2, 3"],
  ["nested, the inner one", NESTED, ["2"], "1 2 2 3 4", "3"],
  ["nested, the outer one", NESTED, ["3"], "1 2 3 1 2 3 4", "2"],
  ["nested, first only", NESTED, "first-only", "1 2 2 3 4", "3"],
  ["nested, both", NESTED, ["2", "3"], "1 2 2 3 1 2 2 3 4", ""],
  ["three endings, none", ENDINGS, "none", "1 4 5", "2, 3"],
  ["three endings, first only", ENDINGS, "first-only", "1 2 1 3 1 4 5", ""],
  // A row of endings is one repeat, whichever of its bars is named.
  ["three endings, by the first sign", ENDINGS, ["2"], "1 2 1 3 1 4 5", ""],
  ["three endings, by the second sign", ENDINGS, ["3"], "1 2 1 3 1 4 5", ""],
  ["three endings, by the last ending", ENDINGS, ["4"], "1 2 1 3 1 4 5", ""],
  ["endings of two bars, none", LONG_ENDINGS, "none", "1 4 5 6", "3, 6"],
  ["endings of two bars, by the start of the first", LONG_ENDINGS, ["2"], "1 2 3 1 4 5 6", "6"],
  ["endings of two bars, by the end of the last", LONG_ENDINGS, ["5"], "1 2 3 1 4 5 6", "6"],
  ["endings of two bars, only what follows", LONG_ENDINGS, ["6"], "1 4 5 6 6", "3"],
  ["1,2 and 3", ["", "[1,2 ] :|", "[3 ]", ""], "none", "1 3 4", "2"],
  ["1,3 and 2,4", ["", "[1,3 ] :|", "[2,4 ] :|", ""], "none", "1 3 4", "2, 3"],
  ["last ending with a sign too many", ["", "[1 ] :|", "[2 ] :|"], "none", "1 3", "2, 3"],
  // The last time passes over the bracket.
  ["a first ending without a second", ["", "[1 ] :|", ""], "none", "1 3", "2"],
  ["an ending never reached", ["", "[1 ] :|", "[2 ]", "[4 ]", ""], "none", "1 3 5", "2"],
  ["repeat after endings", ["", "[1 ] :|", "[2 ]", "", ":|"], ["5"], "1 3 4 5 4 5", "2"],
  ["endings inside a repeat", ["|:", "|:", "[1 ] :|", "[2 ]", ":|"], ["5"], "1 2 4 5 1 2 4 5", "3"],
  // Jumps are followed all the same.
  ["D.C. al Fine, all", MENUET, "all", "1 2 1 2 3 4 3 4 5 6 5 6 1 2 3 4", ""],
  ["D.C. al Fine, none", MENUET, "none", "1 2 3 4 5 6 1 2 3 4", "2, 4, 6"],
  ["D.C. al Fine, first only", MENUET, "first-only", "1 2 1 2 3 4 5 6 1 2 3 4", "4, 6"],
  ["D.S. al Coda, none", ["segno |:", "toCoda=1 :|", "D.S.=1", "coda"], "none", "1 2 3 1 2 4", "2"],
  ["after-jump, left out by choice", ["|:", ":|again", "D.C."], "none", "1 2 3 1 2 3", "2"],
  ["a repeat in the coda", ["toCoda=1", "D.C.", "coda |:", ":|"], "none", "1 2 1 3 4", "4"],
  ["endings before a D.C., none", ["", "[1 ] :|", "[2 ]", "D.C."], "none", "1 3 4 1 3 4", "2"],
  // The third time belongs to the da capo.
  ["third time under a da capo", ["", "[1,3 Fine ] :|", "[2 ]", "D.C."], "none", "1 3 4 1 2", "2"],
];

describe("the choice of repeats", () => {
  it.each(CHOICES)("%s", (_name, bars, choice, expected, leftOut) => {
    const { order, notices } = orderOf(bars, choice);
    expect(order).toBe(expected);
    const [notice] = notices.filter(({ kind }) => kind === "repeats-left-out");
    expect(notice?.kind === "repeats-left-out" ? notice.bars.join(", ") : "").toBe(leftOut);
  });

  it.each<readonly [string, readonly string[], readonly string[], RegExp]>([
    ["a bar without a sign", TWO, ["2", "3"], /bar 3: .*bars 2, 4$/],
    ["a bar that is not there", TWO, ["99"], /bar 99: .*bars 2, 4$/],
    ["the beginning of a repeat", LONG_ENDINGS, ["1"], /bar 1: .*bars 3, 6$/],
    ["a part without repeats", ["", ""], ["2"], /bar 2: the part has none$/],
    [
      "a part full of repeats",
      Array<string>(30).fill("|: :|").concat(""),
      ["31"],
      /20 and others$/,
    ],
  ])("refuses %s", (_name, bars, choice, message) => {
    expect(() => orderOf(bars, choice)).toThrow(
      expect.objectContaining({
        name: "InputError",
        code: "no-matching-repeat",
        message: expect.stringMatching(message) as string,
      }) as Error,
    );
  });

  it("says in words what is left out", () => {
    const textOf = (choice: RepeatChoice) => orderOf(TWO, choice).notices.map(noticeText);
    expect(textOf("none")).toEqual([
      "as you asked, the repeats that end at bars 2, 4 are left out",
    ]);
    expect(textOf(["4"])).toEqual(["as you asked, the repeat that ends at bar 2 is left out"]);
  });
});

describe("a jump that says that repeats are taken again", () => {
  const withRepeats = (shorthand: readonly string[]): readonly Bar[] =>
    barsOf(shorthand).bars.map((bar) => ({
      ...bar,
      ...(bar.jumps && { jumps: { ...bar.jumps, withRepeats: true } }),
    }));

  it.each<Row>([
    ["repeats", MENUET, "all", "1 2 1 2 3 4 3 4 5 6 5 6 1 2 1 2 3 4 3 4"],
    ["endings", ["", "[1 ] :|", "[2 ] Fine", "D.C."], "all", "1 2 1 3 4 1 2 1 3"],
    ["but not those left out by choice", MENUET, ["2"], "1 2 1 2 3 4 5 6 1 2 1 2 3 4"],
    ["none by choice", MENUET, "none", "1 2 3 4 5 6 1 2 3 4"],
  ])("%s", (_name, shorthand, choice, expected) => {
    expect(labelsAsPlayed(withRepeats(shorthand), choice)).toBe(expected);
  });
});

/** A section: plain bars, a repeat, a repeat with endings, or a repeat around others. */
const anyPiece = fc.letrec<{ section: readonly string[]; piece: readonly string[] }>((tie) => ({
  section: fc.oneof(
    { maxDepth: 2, withCrossShrink: true },
    fc.constant([""]),
    fc.constantFrom<readonly string[]>(["|: :|"], ["|:", ":|"], ["|: :|x3"], ["|:", "", ":|x1"]),
    fc.constantFrom<readonly string[]>(
      ["|:", "[1 ] :|", "[2 ]"],
      ["|:", "[1", "] :|", "[2 ] :|", "[3", "]"],
      ["|:", "[1,2 ] :|", "[3 ]"],
      ["|:", "[1,3 ] :|", "[2,4 ] :|"],
      ["|:", "[1 ] :|"],
    ),
    tie("piece").map((inner) => ["|:", ...inner, ":|"]),
  ),
  piece: fc.array(tie("section"), { minLength: 1, maxLength: 4 }).map((all) => ["", ...all.flat()]),
})).piece;

describe("for any repeats", () => {
  const closing = (bars: readonly Bar[]) =>
    bars
      .filter(({ repeatEnd }) => repeatEnd && repeatEnd.times !== 1)
      .map(({ barLabel }) => barLabel);

  it("none plays every bar at most once, in the order of the page", () => {
    fc.assert(
      fc.property(anyPiece, (piece) => {
        const { bars } = barsOf(piece);
        const played = performedOrder(bars, "none").visits.map(({ barIndex }) => barIndex);
        expect(played).toEqual([...new Set(played)].sort((a, b) => a - b));
        // Only endings are passed over.
        const endings = piece.filter((signs) => signs.includes("[") || signs.includes("]"));
        expect(played.length).toBeGreaterThanOrEqual(piece.length - endings.length);
      }),
    );
  });

  it("a list of all is all, and an empty list is none", () => {
    fc.assert(
      fc.property(anyPiece, (piece) => {
        const { bars } = barsOf(piece);
        expect(performedOrder(bars, closing(bars))).toEqual(performedOrder(bars));
        expect(performedOrder(bars, "all")).toEqual(performedOrder(bars));
        expect(performedOrder(bars, [])).toEqual(performedOrder(bars, "none"));
      }),
    );
  });

  it("first-only is a list of the first, and takes no more than all", () => {
    fc.assert(
      fc.property(anyPiece, (piece) => {
        const { bars } = barsOf(piece);
        const [first] = closing(bars);
        const firstOnly = performedOrder(bars, "first-only");
        expect(firstOnly).toEqual(performedOrder(bars, first === undefined ? [] : [first]));
        const lengths = (["none", "first-only", "all"] as const).map(
          (choice) => performedOrder(bars, choice).visits.length,
        );
        expect(lengths).toEqual([...lengths].sort((a, b) => a - b));
      }),
    );
  });
});
