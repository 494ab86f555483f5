import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { toNumber } from "../../src/theory/fraction.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  words,
  type BarXml,
} from "../support/score-xml.js";
import { meter, NEW_PAGE, REPEAT, start } from "./change-cases.js";
import { countOf, groupsOf, onlyRest, sumsOf } from "./counting-cases.js";
import { FINAL, movements } from "./movement-cases.js";

const PLAYED = note("C5", 4);
const SILENT = rest(4);
const FORWARD = '<barline location="left"><repeat direction="forward"/></barline>';
const double = (location: string) =>
  `<barline location="${location}"><bar-style>light-light</bar-style></barline>`;
const letter = (text: string) =>
  `<direction><direction-type><rehearsal>${text}</rehearsal></direction-type></direction>`;
const FERMATA = "<notations><fermata/></notations>";
const GRACE = note("B4", 0)
  .replace("<duration>0</duration>", "")
  .replace("<note>", "<note><grace/>");
const ending = (number: number, type: "start" | "stop") =>
  `<barline location="${type === "start" ? "left" : "right"}"><ending number="${number}" type="${type}"/>${type === "stop" && number === 1 ? '<repeat direction="backward"/>' : ""}</barline>`;
const FIVE = attributes({ meter: "2+3/8" });

/** A rest after a bar of 4/4 and before another, and its groups; worked by hand. */
const between = (...bars: readonly string[]) => [start(PLAYED), ...bars, meter("4/4") + PLAYED];

// prettier-ignore
describe("groups of a rest", () => {
  it.each<[string, readonly BarXml[], readonly string[]]>([
    ["bars alike", between(SILENT, SILENT, SILENT), ["2–4 [1–3] 3 × 4/4"]],
    ["one bar", between(SILENT), ["2 [1] 4/4"]],
    ["a bar begun and a bar left", [start(note("C5", 1) + rest(3)), SILENT, rest(1.5) + note("C5", 2.5)],
      ["1 [–] 3 beats of 4/4", "2 [1] 4/4", "3 [–] 1½ beats of 4/4"]],
    ["inside one bar", [start(note("C5", 1) + rest(2) + note("C5", 1))], ["1 [–] 2 beats of 4/4"]],
    ["changes of meter", between(SILENT, meter("3/4") + rest(3), rest(3), meter("2/8") + rest(1)),
      ["2 [1] 4/4", "3–4 [2–3] 2 × 3/4: meter 4/4 to 3/4", "5 [4] 2/8: meter 3/4 to 2/8"]],
    ["printed groups of beats", between(FIVE + rest(2.5), rest(2.5)), ["2–3 [1–2] 2 × 5/8 (2+3): meter 4/4 to 2+3/8"]],
    ["compound time", between(meter("6/8") + rest(3), note("C5", 1.5) + rest(1.5)).slice(0, 2).concat(rest(1.5) + note("C5", 1.5)),
      ["2 [1] 6/8: meter 4/4 to 6/8", "3 [–] 1 beat of 6/8"]],
    ["rehearsal marks", between(SILENT, letter("A") + SILENT, SILENT, letter("B") + SILENT),
      ["2 [1] 4/4", "3–4 [2–3] 2 × 4/4: rehearsal A", "5 [4] 4/4: rehearsal B"]],
    ["a double bar on the right", between(SILENT + double("right"), SILENT), ["2 [1] 4/4", "3 [2] 4/4: double-bar double bar"]],
    ["a double bar on the left", between(SILENT, double("left") + SILENT), ["2 [1] 4/4", "3 [2] 4/4: double-bar double bar"]],
    ["no double bar in the middle", between(SILENT + double("middle"), SILENT), ["2–3 [1–2] 2 × 4/4"]],
    ["a fermata", between(SILENT, rest(4, FERMATA), SILENT, SILENT), ["2 [1] 4/4", "3 [2] 4/4: pause fermata", "4–5 [3–4] 2 × 4/4"]],
    ["a fermata inside a bar", between(SILENT, rest(2) + rest(2, FERMATA), SILENT), ["2 [1] 4/4", "3 [2] 4/4: pause beat 3: fermata", "4 [3] 4/4"]],
    ["a general pause", between(SILENT, words("G.P.") + SILENT, SILENT), ["2 [1] 4/4", "3 [2] 4/4: pause general pause", "4 [3] 4/4"]],
    ["a new tempo", between(SILENT, metronome("quarter", "90") + SILENT, SILENT), ["2 [1] 4/4", "3–4 [2–3] 2 × 4/4: tempo quarter = 90"]],
    ["a tempo inside a bar", between(SILENT, rest(2) + metronome("quarter", "90") + rest(2), SILENT),
      ["2 [1] 4/4", "3 [2] 4/4: tempo beat 3: quarter = 90", "4 [3] 4/4"]],
    ["a ritardando to a new tempo", between(SILENT, words("rit.") + SILENT, SILENT, metronome("quarter", "40") + SILENT),
      ["2 [1] 4/4", "3–4 [2–3] 2 × 4/4: tempo rit.", "5 [4] 4/4: tempo quarter = 40"]],
    ["a page turn", between(SILENT, NEW_PAGE + SILENT), ["2 [1] 4/4", "3 [2] 4/4: new-page new page"]],
    ["a bar too long for its meter", between(SILENT, rest(5), SILENT), ["2 [1] 4/4", "3 [2] 4/4, 5 beats long", "4 [3] 4/4"]],
    ["a divided bar", between(SILENT, rest(3) + double("right"), rest(1), SILENT),
      ["2 [1] 4/4", "3 [2] 3 beats of 4/4", "4 [2] 1 beat of 4/4: double-bar double bar", "5 [3] 4/4"]],
    ["a free bar", between(SILENT, "<attributes><time><senza-misura/></time></attributes>" + rest(7)),
      ["2 [1] 4/4", "3 [2] free: meter 4/4 to senza misura; tempo quarter = 50-60; senza misura"]],
    ["the bars played so far of a silent upbeat", [start(rest(1)), SILENT, PLAYED],
      ["1 [–] 1 beat of 4/4: tempo quarter = 50-60", "2 [1] 4/4"]],
  ])("%s", (_, bars, expected) => {
    const [first] = countOf(bars).rests;
    expect(groupsOf(first!)).toEqual(expected);
  });
});

// prettier-ignore
describe("where the page goes back or on", () => {
  it("a repeat", () => {
    const { rests } = countOf([start(PLAYED), FORWARD + SILENT, PLAYED, SILENT + REPEAT, PLAYED]);
    expect(rests.map(groupsOf)).toEqual([
      ["2 [1] 4/4"],
      ["4 [1] 4/4", "2 [2] 4/4: jump repeat: bar 4 back to 2 (2nd time)"],
      ["4 [1] 4/4"],
    ]);
  });

  it("the bar before a repeat and the upbeat it goes back to are one bar", () => {
    const { rests } = countOf([start(rest(1)), PLAYED, rest(3) + REPEAT, PLAYED]);
    expect(groupsOf(rests[1]!)).toEqual(["3 [1] 3 beats of 4/4", "1 [1] 1 beat of 4/4: jump repeat: bar 3 back to 1 (2nd time)"]);
    expect(rests[1]!.rest.counted).toEqual({ bars: 1, beats: 0 });
  });

  it("a second ending", () => {
    const { rests } = countOf([start(PLAYED), SILENT, ending(1, "start") + PLAYED + ending(1, "stop"), ending(2, "start") + SILENT + ending(2, "stop"), PLAYED]);
    expect(groupsOf(rests.at(-1)!)).toEqual(["2 [1] 4/4", "4 [2] 4/4: jump 2nd ending: bar 2 on to 4"]);
  });

  it("a da capo, to its Fine", () => {
    const bars = [start(SILENT), PLAYED, SILENT + words("Fine"), PLAYED, SILENT + words("D.C. al Fine")];
    const { rests } = countOf(bars);
    expect(groupsOf(rests[2]!)).toEqual(["5 [1] 4/4", "1 [2] 4/4: jump D.C.: bar 5 back to 1 (2nd time)"]);
    // The last note is in bar 2; bar 3 is silent to the Fine.
    expect(groupsOf(rests[3]!)).toEqual(["3 [1] 4/4"]);
    expect(rests[3]).toMatchObject({ entry: null });
  });

  it("the next movement is counted anew", () => {
    const bars = movements([start(PLAYED), SILENT, SILENT + FINAL], [SILENT, SILENT, PLAYED]);
    const [only] = countOf(bars).rests;
    expect(groupsOf(only!)).toEqual([
      "2–3 [1–2] 2 × 4/4: pause end of the movement",
      "1–2 [1–2] 2 × 4/4: movement 2nd movement",
    ]);
    expect(toNumber(only!.groups[1]!.barsSoFar)).toBe(4);
  });
});

describe("the ends of a rest", () => {
  it("come with what holds the last note, and with what begins at the entry", () => {
    const one = onlyRest([
      start(note("C5", 4, FERMATA)),
      SILENT + double("right"),
      letter("C") + meter("3/4") + metronome("quarter", "80") + GRACE + GRACE + note("C5", 3),
    ]);
    expect(one.before).toMatchObject([{ kind: "pause", on: "last-note", sign: "fermata" }]);
    expect(one.entry).toMatchObject({
      at: { barLabel: "3", beat: 1 },
      graceNotes: 2,
      meter: { label: "3/4" },
    });
    expect(one.entry!.marks.map(({ kind }) => kind)).toEqual([
      "double-bar",
      "rehearsal",
      "meter",
      "tempo",
    ]);
  });

  it("the first entry, and the silence to the end", () => {
    const { rests } = countOf([start(SILENT), PLAYED, SILENT, SILENT]);
    expect(rests.map(({ leave, entry }) => [leave?.barLabel, entry?.at.barLabel])).toEqual([
      [undefined, "2"],
      ["2", undefined],
    ]);
    expect(rests[1]!.rest.counted).toEqual({ bars: 2, beats: 0 });
  });

  it("of a part that plays nothing", () => {
    expect(onlyRest([start(SILENT), SILENT])).toMatchObject({
      leave: null,
      entry: null,
      rest: { counted: { bars: 2 } },
    });
  });
});

describe("which rests", () => {
  const inA = attributes({ transpose: A });
  const bars = [
    start(PLAYED),
    ...[SILENT, SILENT, SILENT],
    note("C5", 3) + rest(1),
    inA + PLAYED,
    ...[SILENT, SILENT, SILENT, SILENT],
    PLAYED,
    attributes({ transpose: B_FLAT }) + PLAYED,
  ];
  it.each([
    [0, [3, 0, 4, 0]],
    [3, [3, 0, 4, 0]],
    [4, [0, 4, 0]],
    [5, [0, 0]],
  ])("of %i bars and more, and changes", (fromBars, expected) => {
    const { rests } = countOf(bars, fromBars);
    expect(rests.map(({ rest: { counted } }) => counted.bars)).toEqual(expected);
    expect(rests.map(({ number }) => number)).toEqual(expected.map((_, k) => k + 1));
    const changes = rests.flatMap(({ change }) => change ?? []);
    expect(changes.map(({ number }) => number)).toEqual([1, 2]);
    // The second change leaves no rest at all.
    expect(rests.at(-1)!.groups).toEqual([]);
  });
});

describe("the hands", () => {
  const inA = attributes({ transpose: A });
  // 3.5 s by the usual figures; at 60 to the quarter the fast end of the printed range: 3.5 quarters.
  it("are ready on a beat", () => {
    const bars = [start(note("C5", 3) + rest(1)), SILENT, SILENT, inA + PLAYED];
    expect(onlyRest(bars).hands).toMatchObject({
      ready: "in-rest",
      // One quarter in bar 1, two and a half in bar 2: on its fourth beat they are.
      lookUp: { barLabel: "2", beat: 4 },
      count: 1,
    });
  });

  it("are ready at a barline", () => {
    const bars = [
      start(note("C5", 3.5) + rest(0.5)),
      meter("3/4") + rest(3),
      rest(3),
      inA + PLAYED,
    ];
    expect(onlyRest(bars).hands).toMatchObject({ lookUp: { barLabel: "3", beat: 1 }, count: 2 });
  });

  it("are not ready before the entry", () => {
    expect(onlyRest([start(PLAYED), rest(3) + inA + note("C5", 1)]).hands).toMatchObject({
      ready: "too-late",
    });
  });

  it("have the pause between two movements", () => {
    const bars = movements([start(PLAYED), SILENT + FINAL], [inA + SILENT, PLAYED]);
    expect(countOf(bars).rests[0]!.hands).toMatchObject({ ready: "in-pause" });
  });
});

describe("whatever the meters", () => {
  const anyBar = fc.record({
    meter: fc.constantFrom("4/4", "3/4", "2/4", "5/8", "2+3/8", "6/8", "7/8", "2/2", "12/8"),
    /** Played at the end of the bar, in sixteenths; most bars are silent. */
    played: fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, fc.integer({ min: 1, max: 6 })),
    after: fc.integer({ min: 0, max: 2 }),
    letter: fc.boolean(),
    fermata: fc.boolean(),
    back: fc.boolean(),
  });
  const quartersOf = (text: string) => {
    const [beats = "", unit] = text.split("/");
    return (4 * beats.split("+").reduce((sum, each) => sum + Number(each), 0)) / Number(unit);
  };
  it("groups add up to the rest", () => {
    fc.assert(
      fc.property(fc.array(anyBar, { minLength: 1, maxLength: 12 }), (bars) => {
        const xml = bars.map(({ meter: text, played, after, letter: hasLetter, fermata, back }) => {
          const full = quartersOf(text);
          const tail = played === 0 ? 0 : (played + after) / 4;
          const before = full - tail;
          return [
            attributes({ meter: text, transpose: B_FLAT }),
            hasLetter ? letter("A") : "",
            before > 0 ? rest(before, fermata ? FERMATA : "") : "",
            played > 0 ? note("C5", played / 4) : "",
            played > 0 && after > 0 ? rest(after / 4) : "",
            back ? REPEAT : "",
          ].join("");
        });
        const { rests } = countOf(xml);
        for (const { rest: whole, groups, before } of rests) {
          const sums = sumsOf({ groups });
          expect(sums.quarters?.equals(whole.quarters)).toBe(true);
          expect(sums.bars).toBeCloseTo(whole.bars, 9);
          expect(sums.barsSoFar).toBeCloseTo(whole.bars, 9);
          expect(sums.beats).toBeCloseTo(whole.beats, 9);
          expect(sums.counted).toBe(whole.counted.bars);
          expect(sums.partBeats).toBeCloseTo(whole.counted.beats, 9);
          expect(sums.seconds).toBeCloseTo(whole.seconds.likely, 6);
          // No pause is lost, and none is told twice.
          const pauses = [...before, ...groups.flatMap(({ marks }) => marks)].filter(
            ({ kind }) => kind === "pause",
          );
          expect(pauses).toHaveLength(whole.pauses.length);
        }
        // Every silence is in one rest: played and silent quarters make the whole.
        const silent = rests.reduce((sum, { rest: { quarters } }) => sum + toNumber(quarters), 0);
        const total = performedQuarters(
          bars.map((bar) => ({ ...bar, quarters: quartersOf(bar.meter) })),
        );
        expect(silent).toBeCloseTo(total.all - total.played, 9);
      }),
      { numRuns: 150 },
    );
  });
});

it("a part alone is told once that a score would help, if there is an entry to listen for", () => {
  const kinds = (bars: readonly string[]) => countOf(bars).notices.map(({ kind }) => kind);
  expect(kinds(between(SILENT, SILENT, SILENT, SILENT))).toContain("listen-with-score");
  expect(kinds([start(PLAYED), SILENT, SILENT])).not.toContain("listen-with-score");
});

/** Every section is played twice; one that ends with a sign begins after the last one (see performed-order.test.ts). */
function performedQuarters(
  bars: readonly { readonly quarters: number; readonly played: number; readonly back: boolean }[],
) {
  let all = 0;
  let played = 0;
  let section: (typeof bars)[number][] = [];
  const add = (times: number) => {
    for (const bar of section) {
      all += times * bar.quarters;
      played += (times * bar.played) / 4;
    }
    section = [];
  };
  for (const bar of bars) {
    section.push(bar);
    if (bar.back) add(2);
  }
  add(1);
  return { all, played };
}
