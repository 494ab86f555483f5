import { describe, expect, it } from "vitest";
import { playerPart } from "../../src/analyses/player-part.js";
import type { PartTimeline } from "../../src/model/score.js";
import { attributes, note, rest, scoreXml, timelineOf, words } from "../support/score-xml.js";
import { showPosition } from "./show.js";

const offset = (quarters: number) => `<offset>${quarters * 240}</offset>`;
const direction = (content: string, after = "") =>
  `<direction><direction-type>${content}</direction-type>${after}</direction>`;
const dynamics = (...names: readonly string[]) =>
  `<dynamics>${names.map((name) => `<${name}/>`).join("")}</dynamics>`;
const other = (text: string) => `<other-dynamics>${text}</other-dynamics>`;
const wedge = (type: string, number?: number, after = "") =>
  direction(`<wedge type="${type}"${number ? ` number="${number}"` : ""}/>`, after);

function read(...bars: readonly string[]) {
  const [first = "", ...others] = bars;
  return timelineOf(scoreXml([{ bars: [attributes({ meter: "4/4" }) + first, ...others] }]));
}

/** `1:2 pp` is pianissimo from the third quarter of bar 1. */
const showDynamics = (timeline: PartTimeline) =>
  timeline.dynamics.map(({ at, value, staff }) =>
    [showPosition(at), value, ...(staff ? [`staff ${staff}`] : [])].join(" "),
  );

/** `1:0 to 2:4 crescendo`. */
const showSwells = (timeline: PartTimeline) =>
  timeline.swells.map(
    ({ from, to, kind }) => `${showPosition(from)} to ${showPosition(to)} ${kind}`,
  );

describe("dynamics", () => {
  // MusicXML 4.0, <dynamics>; what remains after an accent is common practice.
  it.each([
    ["pppppp", "pppp"],
    ["ppppp", "pppp"],
    ["pppp", "pppp"],
    ["ppp", "ppp"],
    ["pp", "pp"],
    ["p", "p"],
    ["mp", "mp"],
    ["mf", "mf"],
    ["f", "f"],
    ["ff", "ff"],
    ["fff", "fff"],
    ["ffff", "ffff"],
    ["fffff", "ffff"],
    ["ffffff", "ffff"],
    ["fp", "p"],
    ["sfp", "p"],
    ["sfzp", "p"],
    ["sfpp", "pp"],
    ["pf", "f"],
  ])("<%s> is %s from its place", (element, level) => {
    const timeline = read(rest(2) + direction(dynamics(element)) + note("C5", 2));
    expect(showDynamics(timeline)).toEqual([`1:2 ${level}`]);
  });

  it.each(["sf", "sfz", "sffz", "fz", "rf", "rfz", "n"])("<%s> leaves the level", (element) => {
    expect(read(direction(dynamics(element)) + rest(4)).dynamics).toEqual([]);
  });

  it.each([
    ["several signs: the last", dynamics("f", "p"), ["1:0 p"]],
    ["an accent and a level", dynamics("sf", "pp"), ["1:0 pp"]],
    ["words of its own", `<dynamics><pp/>${other(" sempre e legato")}</dynamics>`, ["1:0 pp"]],
    ["brackets", `<dynamics>${other("[")}<mp/>${other("]")}</dynamics>`, ["1:0 mp"]],
    ["a level in its words", `<dynamics>${other("sempre ppppp")}</dynamics>`, ["1:0 pppp"]],
    ["words that name none", `<dynamics>${other("sfffz")}</dynamics>`, []],
    ["a word before the sign", `<words>sempre</words>${dynamics("f")}`, ["1:0 f"]],
    ["a comparison before the sign", `<words>più</words>${dynamics("f")}`, []],
    ["a comparison in its words", `<dynamics>${other("poco ")}<f/></dynamics>`, []],
  ])("with %s", (_, content, levels) => {
    expect(showDynamics(read(direction(content) + rest(4)))).toEqual(levels);
  });

  it("stand where their offset puts them; just before a bar they are for the bar", () => {
    const moved = (quarters: number) => direction(dynamics("f"), offset(quarters));
    const timeline = read(rest(4), moved(-0.5) + rest(4), rest(3) + moved(-1.5) + rest(1));
    expect(showDynamics(timeline)).toEqual(["2:0 f", "3:3/2 f"]);
  });

  it("stand at their note where that holds them, in a chord too", () => {
    const inside = `<notations>${dynamics("mf")}</notations>`;
    const second = note("C5", 2, inside).replace("<note>", "<note><chord/>");
    const timeline = read(note("E5", 1) + note("E5", 1, inside) + note("E5", 2) + second);
    expect(showDynamics(timeline)).toEqual(["1:1 mf", "1:2 mf"]);
  });

  it("of cue notes and of other parts are not the player's", () => {
    const cue = note("E5", 4, `<notations>${dynamics("mf")}</notations>`).replace(
      "<note>",
      "<note><cue/>",
    );
    const own = [attributes({ meter: "4/4" }) + cue];
    const others = [
      attributes({ meter: "4/4" }) + `<sound tempo="60"/>` + direction(dynamics("f")) + rest(4),
    ];
    expect(timelineOf(scoreXml([{ bars: own }, { bars: others }])).dynamics).toEqual([]);
  });

  it("of a staff go to the player who reads it", () => {
    const at = (content: string, staff: number) => direction(content, `<staff>${staff}</staff>`);
    const hairpin = (staff: number) =>
      at(`<wedge type="crescendo" number="${staff}"/>`, staff) +
      at(`<wedge type="stop" number="${staff}"/>`, staff);
    const timeline = timelineOf(
      scoreXml([
        {
          name: "Clarinets 1.2 in Bb",
          bars: [
            attributes({ meter: "4/4" }) +
              direction(dynamics("mf")) +
              at(dynamics("p"), 1) +
              at(dynamics("f"), 2) +
              hairpin(2) +
              note("C5", 4, "<staff>1</staff>") +
              `<backup><duration>960</duration></backup>` +
              note("C4", 4, "<staff>2</staff>"),
          ],
        },
      ]),
    );
    expect(showDynamics(playerPart(timeline, 1))).toEqual(["1:0 mf", "1:0 p staff 1"]);
    expect(showDynamics(playerPart(timeline, 2))).toEqual(["1:0 mf", "1:0 f staff 2"]);
    expect(playerPart(timeline, 1).swells).toEqual([]);
    expect(playerPart(timeline, 2).swells).toHaveLength(1);
  });
});

describe("dynamics spelled as words", () => {
  it.each([
    ["f", ["f"]],
    ["pp", ["pp"]],
    ["p dolce", ["p"]],
    ["sempre ppp", ["ppp"]],
    ["sub. p", ["p"]],
    ["(mf)", ["mf"]],
    ["ff, marcato", ["ff"]],
    ["fp", ["p"]],
    ["p cresc. f", ["f"]],
    ["p quasi pp", ["p"]],
  ])("%s", (text, levels) => {
    expect(read(words(text) + rest(4)).dynamics.map(({ value }) => value)).toEqual(levels);
  });

  it.each([
    "più f",
    "Poco f",
    "meno p",
    "dolce",
    "cresc.",
    "muta in f",
    "in F",
    "P",
    "p. 12",
    "mf-p",
    "sfz",
    "constructor",
    "a 2",
    "",
  ])("none in “%s”", (text) => {
    expect(read(words(text) + rest(4)).dynamics).toEqual([]);
  });

  it("stay among the instructions", () => {
    expect(read(words("p dolce") + rest(4)).instructions).toMatchObject([{ text: "p dolce" }]);
  });
});

describe("hairpins", () => {
  // MusicXML 4.0, <wedge>: those open at the same time differ by number, which is 1 unless given.
  it.each([
    [
      "in a bar",
      [wedge("crescendo") + note("C5", 3) + wedge("stop") + note("C5", 1)],
      "1:0 to 1:3",
    ],
    [
      "over bars",
      [rest(2) + wedge("crescendo", 2) + rest(2), rest(4), rest(1) + wedge("stop", 2) + rest(3)],
      "1:2 to 3:1",
    ],
    [
      "over a line break",
      [wedge("crescendo") + rest(4), wedge("continue") + rest(4) + wedge("stop")],
      "1:0 to 2:4",
    ],
    [
      "moved",
      [
        rest(4),
        rest(1) + wedge("crescendo", 1, offset(0.5)) + rest(3) + wedge("stop", 1, offset(-1)),
      ],
      "2:3/2 to 2:3",
    ],
  ])("%s", (_, bars, reach) => {
    expect(showSwells(read(...bars))).toEqual([`${reach} crescendo`]);
  });

  it("follow each other, and overlap by number", () => {
    const timeline = read(
      wedge("crescendo") + rest(2) + wedge("stop") + wedge("diminuendo") + rest(2) + wedge("stop"),
      wedge("diminuendo", 1) + rest(1) + wedge("crescendo", 2) + rest(2),
      wedge("stop", 1) + rest(4) + wedge("stop", 2),
    );
    expect(showSwells(timeline)).toEqual([
      "1:0 to 1:2 crescendo",
      "1:2 to 1:4 diminuendo",
      "2:0 to 3:0 diminuendo",
      "2:1 to 3:4 crescendo",
    ]);
  });

  it("without an end, or without a beginning, are left out", () => {
    expect(read(wedge("stop") + rest(4), wedge("crescendo") + rest(4)).swells).toEqual([]);
  });
});
