import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { REPORTERS } from "../../src/reporters/index.js";
import { changeBars, runMuta } from "../support/run-muta.js";
import { attributes, metronome, note, rest, scoreXml, words } from "../support/score-xml.js";
import {
  attempt,
  refusal,
  reportOf,
  BAR,
  SECOND,
  GOOD,
  LIST,
  FLUTE,
  instead,
  inBar,
  noList,
  twice,
} from "./document-cases.js";

describe("numbers out of all bounds", () => {
  /** Every number that is read, each written as nowhere else in the score. */
  // prettier-ignore
  const NUMBERS = scoreXml([{ bars: [
    `<attributes><divisions>7</divisions><key><fifths>5</fifths></key><time><beats>13</beats><beat-type>8</beat-type></time><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>0</octave-change></transpose></attributes>` +
    `${metronome("quarter", "96")}<direction><direction-type><words>in A</words></direction-type><offset>3</offset><sound tempo="97"/></direction>` +
    `<note><pitch><step>C</step><alter>1</alter><octave>6</octave></pitch><duration>14</duration><staff>9</staff></note><backup><duration>11</duration></backup><forward><duration>12</duration></forward>` +
    `<note><rest/><type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification></note>`,
    `<barline><ending type="start" number="1"/></barline><attributes><measure-style><measure-repeat type="start">4</measure-repeat></measure-style></attributes>`,
    `${note("C5", 1)}<barline><ending type="stop" number="1"/><repeat direction="backward" times="2"/></barline>`,
  ] }]);
  // prettier-ignore
  const PLACES = [
    "<divisions>7", "<beats>13", "<beat-type>8", "<diatonic>-1", "<chromatic>-2", "<octave-change>0",
    "<per-minute>96", "<offset>3", 'tempo="97', "<alter>1", "<octave>6", "<duration>14", "<duration>11",
    "<duration>12", "<staff>9", "<actual-notes>3", "<normal-notes>2", 'start" number="1', 'type="start">4', 'times="2',
  ];
  // prettier-ignore
  const HUGE = [
    "1e999", "-1e999", "1e300", "-1e300", "9".repeat(400), "99999999999999999999", "9007199254740993",
    "999999999999", "-4", "0", "-0", "00", "1e-300", "0.000000001", "NaN", "Infinity", "-Infinity", "0x7f", "", " ",
    "４", "1/0", "1,5", "+", "null",
  ];

  it.each(PLACES)("become no nonsense: %s", async (place) => {
    const [tag = ""] = /^.*[>"]/.exec(place) ?? [];
    expect(NUMBERS.split(place)).toHaveLength(2);
    for (const value of HUGE) {
      const { reports } = await attempt(NUMBERS.replace(place, tag + value));
      expect(reports, value).toHaveLength(1);
    }
  });

  // In a process of its own, which can be ended: keys are respelled by twelve fifths at a time.
  it.each(["1e300", "-99999999999999999999"])("become no nonsense: %s fifths", async (value) => {
    const stdin = NUMBERS.replace("<fifths>5", `<fifths>${value}`);
    expect((await runMuta(["check", "-"], { stdin })).code).toBe(0);
  });

  it("such as a negative duration are told of, and the bar is as long as its meter", async () => {
    const { notices, durationSeconds } = await reportOf(instead("<duration>960", "<duration>-960"));
    const notice = { kind: "odd-number", text: "-960", barLabel: "1" };
    expect(notices).toContainEqual(expect.objectContaining(notice));
    expect(durationSeconds.likely).toBeCloseTo(4.8, 6);
  });

  // The terms of such a sum outgrow what a floating-point number holds.
  it("become no nonsense: divisions that have nothing in common", async () => {
    const odd = Array.from({ length: 60 }, (_, k) => 999_999_999_989 - 210 * k);
    const bars = odd.map(
      (divisions) => attributes({ divisions }) + note("C5", 1, "", divisions - 1),
    );
    expect((await attempt(scoreXml([{ bars: [BAR, ...bars] }]))).reports).toHaveLength(1);
  });

  // Nothing of it is ever played.
  it("become no nonsense: an ending for the ninth time over everything", async () => {
    const ending = '<barline><ending type="start" number="9"/></barline>';
    const { reports, refusals } = await attempt(scoreXml([{ bars: [ending + BAR, SECOND] }]));
    expect(reports.length + refusals.length).toBe(1);
  });
});

describe("ids", () => {
  it.each<[string, string, readonly string[]]>([
    ["no part list", noList, ["P1"]],
    ["a part that is not listed", instead('<part id="P1"', '<part id="P7"'), ["P7"]],
    ["a part without id", instead('<part id="P1"', "<part"), ["P1"]],
    ["no list and no id", noList.replace(' id="P1"', ""), ["part 1"]],
    ["two parts without id", twice(noList).replaceAll(' id="P1"', ""), ["part 1", "part 2"]],
    ["a list without music", instead("</part-list>", `${FLUTE}</part-list>`), ["P1"]],
  ])("that are missing are made up for: %s", async (_, xml, ids) => {
    expect((await attempt(xml)).reports.map(({ part }) => part.id)).toEqual(ids);
  });

  describe.each(["__proto__", "constructor", "toString", "hasOwnProperty"])("named %s", (name) => {
    const instrument = `<score-instrument id="${name}"><instrument-name>${name}</instrument-name><instrument-sound>${name}</instrument-sound></score-instrument>`;
    const display = `<part-name-display><display-text>Clarinet in B</display-text><accidental-text>${name}</accidental-text></part-name-display>`;
    // prettier-ignore
    it.each<[string, string]>([
      ["part", GOOD.replaceAll("P1", name)],
      ["bar", instead('number="2"', `number="${name}"`)],
      ["attribute", GOOD.replaceAll(" number=", ` ${name}="x" number=`).replaceAll("<note", `<note ${name}="x"`)],
      ["instrument", inBar(note("C5", 1, `<instrument id="${name}"/>`)).replace("</score-part>", `${instrument}$&`)],
      ["words", inBar(words(`muta in ${name}`) + rest(4) + note("C5", 4))],
      ["reference in an id", noList.replace("P1", `&${name};`)],
      ["reference in a bar", instead('number="2"', `number="&${name};"`)],
      ["note value", inBar(`<note><rest/><type>${name}</type></note>`)],
      ["beat unit", inBar(metronome(name, "60"))],
      ["accidental", instead("</part-name>", `</part-name>${display}`)],
    ])("mean nothing else: %s", async (_, xml) => {
      const report = REPORTERS.json({ parts: [await reportOf(xml)], errors: [] });
      expect(report).not.toMatch(/native code|\[object/);
    });
  });
});

describe("a timewise score", () => {
  const timewise = (...bars: readonly string[]) =>
    `<score-timewise>${LIST.replace("</part-list>", `${FLUTE}$&`)}${bars.map((bar, k) => `<measure number="${k + 1}">${bar}</measure>`).join("")}</score-timewise>`;
  const clarinet = (content: string) => `<part id="P1">${content}</part>`;
  const flute = (content: string) => `<part id="P2">${content}</part>`;

  it("may leave a part out of a bar: it is silent there", async () => {
    const both = clarinet(SECOND) + flute(attributes({ meter: "4/4" }) + SECOND);
    const xml = timewise(clarinet(BAR), both, clarinet(SECOND), flute(SECOND));
    const { reports } = await attempt(xml);
    expect(reports.map(({ part, barCount }) => [part.id, barCount])).toEqual([["P1", 3], ["P2", 4]]); // prettier-ignore
    const rests = reports[1]?.entries.map(({ at, rest: { quarters } }) => [at.barLabel, quarters]);
    expect(rests?.map(([bar, quarters]) => [bar, Number(quarters)])).toEqual([["2", 4], ["4", 4]]); // prettier-ignore
  });

  it.each([
    ["without parts", timewise("", ""), "no-parts"],
    ["with a part twice in a bar", timewise(clarinet(BAR) + clarinet(SECOND)), "not-musicxml"],
  ])("%s is refused", async (_, xml, code) => {
    expect((await refusal(xml)).code).toBe(code);
  });
});

describe("a score with random faults", () => {
  const KINDS = {
    flip: (piece: Buffer, byte: number) => [piece.map((each, k) => (k === 0 ? each ^ (1 << byte % 8) : each))],
    set: (piece: Buffer, byte: number) => [piece.map((each, k) => (k === 0 ? byte : each))],
    delete: () => [],
    repeat: (piece: Buffer) => [piece, piece],
  } satisfies Record<string, (piece: Buffer, byte: number) => readonly Uint8Array[]>; // prettier-ignore
  const fault = fc.record({
    kind: fc.constantFrom<(keyof typeof KINDS)[]>("flip", "set", "delete", "repeat"),
    at: fc.nat(),
    length: fc.integer({ min: 1, max: 60 }),
    byte: fc.nat(255),
  });
  const valid = Buffer.from(scoreXml([{ bars: changeBars(1) }, { bars: [BAR] }]));

  it("is read or refused, and never anything else", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fault, { minLength: 1, maxLength: 4 }), async (faults) => {
        const damaged = faults.reduce((bytes, { kind, at, length, byte }) => {
          const start = at % Math.max(1, bytes.length);
          const [head, tail] = [bytes.subarray(0, start), bytes.subarray(start + length)];
          const piece = bytes.subarray(start, start + length);
          return Buffer.concat([head, ...KINDS[kind](piece, byte), tail]);
        }, valid);
        await attempt(damaged);
      }),
      { seed: 1791, numRuns: 3000 },
    );
  });
});
