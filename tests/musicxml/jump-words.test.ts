import { describe, expect, it } from "vitest";
import type { Notice } from "../../src/model/finding.js";
import {
  readBarline,
  readJumps,
  settleBareSigns,
  type BarFlow,
} from "../../src/musicxml/barlines.js";
import { child, parseContent } from "../../src/musicxml/elements.js";
import { jumpsOfWords, readJumpWords } from "../../src/musicxml/jump-words.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { note, scoreXml, timelineOf } from "../support/score-xml.js";
import { LOOK_ALIKES, WORDS } from "./jump-words-cases.js";

describe("words of jumps", () => {
  it.each(WORDS)("%j", (text, jumps) => {
    expect(jumpsOfWords(text)).toEqual(jumps);
  });

  it.each(LOOK_ALIKES.map((text) => [text.slice(0, 40), text] as const))("not %j", (_, text) => {
    expect(jumpsOfWords(text)).toBeUndefined();
  });
});

const direction = (inside: string, sound = "") =>
  `<direction><direction-type>${inside}</direction-type>${sound && `<sound ${sound}/>`}</direction>`;
const say = (text: string, sound = "") => direction(`<words>${text}</words>`, sound);
const SEGNO_SIGN = direction("<segno/>");
const CODA_SIGN = direction("<coda/>");

/** What the bars say, each with what stands in it in one part or several. */
function settled(bars: readonly string[]) {
  const notices: Notice[] = [];
  const flows = bars.map((content) => {
    const flow: BarFlow = { repeatStart: false, endingStop: false };
    for (const element of parseContent(content)) {
      const sound = child(element, "sound");
      if (sound) readJumps(sound, flow);
      if (element.name === "direction") readJumpWords(element, flow);
      else readBarline(element, flow, (notice) => notices.push(notice));
    }
    return flow;
  });
  settleBareSigns(flows, (barIndex) => (notice) => {
    notices.push({ ...notice, barLabel: String(barIndex + 1) });
  });
  return { flows, notices };
}

/** Only what is said, as `segno=1`, in the order of the alphabet. */
function told({ jumps }: BarFlow): string {
  return Object.entries(jumps ?? {})
    .filter(([, value]) => value !== false)
    .map(([kind, value]) => (value === true ? kind : `${kind}=${value}`))
    .sort()
    .join(" ");
}

const ENCODED_DS = say("D.S. al Coda", `dalsegno="S"`);

/** Name, the bars, and what each of them says in the end. */
type Row = readonly [string, readonly string[], readonly string[]];

const SETTLED: readonly Row[] = [
  ["nothing", ["", say("dolce")], ["", ""]],
  ["D.C. al Fine", [say("Fine"), say("D.C. al Fine")], ["fine", "daCapo"]],
  ["in pieces", [direction("<words>D.C.</words><words>al Fine</words>")], ["daCapo"]],
  [
    "in pieces with a sign",
    [SEGNO_SIGN, direction("<words>D.S. al</words><coda/>")],
    ["segno=1", "dalSegno=1"],
  ],
  [
    "beside other words",
    [
      `<direction><direction-type><words>rit.</words></direction-type>
      <direction-type><words>D.C.</words></direction-type></direction>`,
    ],
    ["daCapo"],
  ],
  ["two instructions at once", [direction("<words>Fine</words><segno/>")], ["fine segno=1"]],
  [
    "the same in several parts",
    [say("D.C.") + say("D.C."), say("Fine") + say("Fine")],
    ["daCapo", "fine"],
  ],
  ["con repetizione", [say("D.C. con repetizione")], ["daCapo withRepeats"]],
  [
    "a sign of the barline",
    [`<barline location="left"><segno/></barline>`, say("D.S.")],
    ["segno=1", "dalSegno=1"],
  ],
  ["a glyph by its name", [direction("<symbol>segnoSerpent1</symbol>")], ["segno=1"]],
  ["a coda for a rehearsal mark", [direction("<rehearsal>Coda</rehearsal>")], ["coda=1"]],
  ["no jump for a rehearsal mark", [direction("<rehearsal>DC</rehearsal>")], [""]],
  // Which of two equal signs is which.
  [
    "two coda signs around D.C.",
    ["", CODA_SIGN, say("D.C. al Coda"), CODA_SIGN],
    ["", "toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "coda signs in several parts",
    ["", CODA_SIGN + CODA_SIGN, say("D.C. al Coda"), CODA_SIGN + CODA_SIGN],
    ["", "toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "signs of the barline",
    [
      `<barline location="right"><coda/></barline>`,
      say("D.C."),
      `<barline location="left"><coda/></barline>`,
    ],
    ["toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "to coda at the bar of the D.C.",
    [CODA_SIGN + say("D.C."), CODA_SIGN],
    ["daCapo toCoda=1", "coda=1"],
  ],
  [
    "two places to leave at",
    [CODA_SIGN, CODA_SIGN, say("D.C."), CODA_SIGN],
    ["toCoda=1", "toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "two codas",
    [CODA_SIGN, say("D.C."), CODA_SIGN, CODA_SIGN, say("D.C."), CODA_SIGN],
    ["toCoda=1", "daCapo", "coda=1", "toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "a D.C. before it all",
    [say("D.C."), CODA_SIGN, say("D.C."), CODA_SIGN],
    ["daCapo", "toCoda=1", "daCapo", "coda=1"],
  ],
  ["a coda nothing leads to", [say("D.C."), CODA_SIGN], ["daCapo", "coda=1"]],
  ["two coda signs and no jump", [CODA_SIGN, CODA_SIGN], ["toCoda=1", "coda=1"]],
  // Words say which it is.
  [
    "sign beside To Coda",
    [direction("<words>To Coda</words><coda/>"), say("D.C."), CODA_SIGN],
    ["toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "sign apart from To Coda",
    [CODA_SIGN + say("To Coda"), say("D.C."), say("Coda") + CODA_SIGN],
    ["toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "al Coda apart from D.S.",
    [SEGNO_SIGN, CODA_SIGN, say("D.S.") + say("al Coda"), CODA_SIGN],
    ["segno=1", "toCoda=1", "dalSegno=1", "coda=1"],
  ],
  // Signs without names.
  [
    "each D.S. to the last segno",
    [SEGNO_SIGN, say("D.S."), SEGNO_SIGN, say("D.S. al Fine")],
    ["segno=1", "dalSegno=1", "segno=2", "dalSegno=2"],
  ],
  ["D.S. before any segno", [say("D.S."), SEGNO_SIGN], ["dalSegno=1", "segno=1"]],
  ["segno and D.S. in one bar", [SEGNO_SIGN + say("D.S.")], ["dalSegno=1 segno=1"]],
  // What is encoded goes first.
  [
    "words beside their sound",
    [say("D.C. al Fine", `dacapo="yes"`), say("Fine", `fine="yes"`)],
    ["daCapo", "fine"],
  ],
  ["a sound elsewhere silences words", [say("D.C.", `dacapo="yes"`), say("D.S.")], ["daCapo", ""]],
  [
    "Fine in words under an encoded D.C.",
    [say("Fine"), say("D.C.", `dacapo="yes"`)],
    ["fine", "daCapo"],
  ],
  [
    "con replica beside an encoded D.C.",
    [say("D.C. con replica", `dacapo="yes"`)],
    ["daCapo withRepeats"],
  ],
  ["con replica elsewhere", [say("D.C.", `dacapo="yes"`), say("D.C. con replica")], ["daCapo", ""]],
  [
    "signs beside their sounds",
    [
      direction("<segno/>", `segno="S"`),
      direction("<coda/>", `tocoda="C"`),
      ENCODED_DS,
      direction("<coda/>", `coda="C"`),
    ],
    ["segno=S", "toCoda=C", "dalSegno=S", "coda=C"],
  ],
  ["a bare segno under an encoded D.S.", [SEGNO_SIGN, ENCODED_DS], ["segno=1", "dalSegno=S"]],
  [
    "an encoded segno and D.S. in words",
    [direction("<segno/>", `segno="S"`), say("D.S.")],
    ["segno=S", "dalSegno=1"],
  ],
  [
    "a bare coda after an encoded to-coda",
    [direction("<coda/>", `tocoda="C"`), ENCODED_DS, CODA_SIGN],
    ["toCoda=C", "dalSegno=S", "coda=1"],
  ],
  [
    "a bare to-coda before an encoded coda",
    [CODA_SIGN, ENCODED_DS, direction("<coda/>", `coda="C"`)],
    ["toCoda=1", "dalSegno=S", "coda=C"],
  ],
  [
    "To Coda in words under an encoded D.C.",
    [say("To Coda"), say("D.C. al Coda", `dacapo="yes"`), CODA_SIGN],
    ["toCoda=1", "daCapo", "coda=1"],
  ],
  [
    "bare signs beside an encoded pair",
    [CODA_SIGN, say("", `tocoda="C"`), say("D.C."), say("", `coda="C"`), CODA_SIGN],
    ["", "toCoda=C", "daCapo", "coda=C", ""],
  ],
];

describe("signs and words that are only printed", () => {
  it.each(SETTLED)("%s", (_name, bars, expected) => {
    const { flows, notices } = settled(bars);
    expect(flows.map(told)).toEqual(expected);
    expect(notices).toEqual([]);
    expect(flows.every((flow) => !("printed" in flow))).toBe(true);
  });

  it("names a jump it does not understand", () => {
    expect(settled([say("Fine"), say("D.C. ad lib.")]).notices).toEqual([
      { kind: "jump-unreadable", text: "D.C. ad lib.", barLabel: "2" },
    ]);
  });

  it.each([
    ["beside an encoded one", [say("D.C. 2 volte", `dacapo="yes"`)]],
    ["in a file that encodes them", [say("D.C. 2 volte"), say("D.C.", `dacapo="yes"`)]],
    ["beside one that is understood", [say("D.C. 2 volte") + say("D.C.")]],
  ])("but not %s", (_name, bars) => {
    expect(settled(bars).notices).toEqual([]);
  });
});

/** A bar of music between what stands over its beginning and its end. */
const music = (end = "", start = "") => start + note("C5", 1) + end;
const BACKWARD = `<barline location="right"><repeat direction="backward"/></barline>`;

describe("the order of performance of a part without encoded jumps", () => {
  it.each<readonly [string, readonly string[], string]>([
    ["D.C. al Fine", [music(), music(say("Fine")), music(say("D.C. al Fine"))], "1 2 3 1 2"],
    [
      "D.S. al Coda",
      [
        music(),
        music("", SEGNO_SIGN),
        music(CODA_SIGN),
        music(say("D.S. al Coda")),
        music("", CODA_SIGN),
      ],
      "1 2 3 4 2 3 5",
    ],
    [
      "two D.S. of their own",
      [music("", SEGNO_SIGN), music(say("D.S.")), music("", SEGNO_SIGN), music(say("D.S."))],
      "1 2 1 2 3 4 3 4",
    ],
    ["repeats left out", [music(BACKWARD), music(say("Menuetto D.C."))], "1 1 2 1 2"],
    ["repeats taken", [music(BACKWARD), music(say("D.C. con replica"))], "1 1 2 1 1 2"],
    ["a look-alike", [music(), music(say("dim. al Fine")), music(say("D.C.x"))], "1 2 3"],
  ])("%s", (_name, bars, expected) => {
    const timeline = timelineOf(scoreXml([{ bars }]));
    const { visits, notices } = performedOrder(timeline.bars);
    expect(visits.map(({ barIndex }) => barIndex + 1).join(" ")).toBe(expected);
    expect(notices).toEqual([]);
  });

  it("heeds the words over the top part, and the signs of every part", () => {
    const top = { bars: [music(), music(), music(say("D.S. al Fine"))] };
    const middle = { bars: [music(), music("", SEGNO_SIGN), music()] };
    const own = { bars: [music(), music(), music()] };
    const { bars } = timelineOf(scoreXml([top, middle, own]), "P3");
    const order = performedOrder(bars).visits.map(({ barIndex }) => barIndex + 1);
    expect(order).toEqual([1, 2, 3, 2, 3]);
  });
});
