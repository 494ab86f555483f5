import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { CheckReport, InputFailure, PartReport } from "../../src/model/report.js";
import { REPORTERS } from "../../src/reporters/index.js";
import { changeBars, linesOf } from "../support/run-muta.js";
import { attributes, B_FLAT, note, rest, scoreXml, timelineOf } from "../support/score-xml.js";

// Fields and their order: design contract, schema muta.check/1. A field that is there today stays.

type Json = Readonly<Record<string, unknown>>;

const FAILURE: InputFailure = {
  file: "bad.xml",
  code: "truncated",
  message: "the file ends inside <note>",
  part: "P2",
  bar: "12",
};

function partOf(bars: readonly string[], names: Partial<PartReport> = {}): PartReport {
  const source = { file: "part.xml", title: "Suite", movement: "1. Aria" };
  return { ...analysePart(timelineOf(scoreXml([{ bars }])), USUAL_PROFILE, source), ...names };
}

function json(report: CheckReport): Json {
  return JSON.parse(REPORTERS.json(report)) as Json;
}

/** Two bars' rest of 2 s each; the fast end is 4/1.06 s, the slow one 4/0.94 s. */
const TIGHT = partOf(changeBars(2));
const SECONDS = { short: 3.773585, likely: 4, long: 4.255319 };

describe("a part", () => {
  const document = json({ parts: [TIGHT], errors: [] });

  it("stands at the top level when it is the only one, with the fields of the contract", () => {
    expect(Object.keys(document)).toEqual([
      "schema",
      "file",
      "title",
      "movement",
      "part",
      "bars",
      "playedBars",
      "durationSeconds",
      "instruments",
      "changes",
      "entries",
      "passages",
      "demands",
      "tempi",
      "notices",
      "errors",
    ]);
    expect(document).toMatchObject({
      schema: "muta.check/1",
      file: "part.xml",
      title: "Suite",
      movement: "1. Aria",
      part: { id: "P1", name: "Clarinet in Bb" },
      bars: 4,
      instruments: ["clarinet-bflat", "clarinet-a"],
      errors: [],
    });
  });

  it("is laid out for readers and ends with a line feed", () => {
    const text = REPORTERS.json({ parts: [TIGHT], errors: [] });
    expect(text).toMatch(/^\{\n {2}"schema": "muta\.check\/1",\n/);
    expect(text.endsWith("}\n")).toBe(true);
  });

  it("has its changes", () => {
    const leaveAt = { likely: 2, short: 1.886792, long: 2.12766 };
    const enterAt = { likely: 6, short: 5.660377, long: 6.382979 };
    expect(document["changes"]).toEqual([
      {
        number: 1,
        from: "clarinet-bflat",
        to: "clarinet-a",
        leave: { barIndex: 0, barLabel: "1", pass: 1, beat: 5, quarters: 4, seconds: leaveAt },
        enter: { barIndex: 3, barLabel: "4", pass: 1, beat: 1, quarters: 12, seconds: enterAt },
        rest: {
          quarters: 8,
          bars: 2,
          beats: 8,
          counted: { bars: 2, beats: 0 },
          seconds: SECONDS,
          tempoSource: "metronome",
          tempoWords: [],
          pauses: [],
        },
        needed: {
          seconds: 3.5,
          steps: [
            { action: "put-down", seconds: 0.7, assumed: true },
            { action: "move-mouthpiece", seconds: 1.5, assumed: true },
            { action: "pick-up", seconds: 0.7, assumed: true },
            { action: "settle", seconds: 0.6, assumed: true },
          ],
        },
        // 0.273585 s at 127.2 quarters a minute are 0.58 quarters, of a bar of four.
        // 3.5 s at quarter = 127.2 are 7.42 quarters, to 1/960: bar 3, beat 4.42.
        ready: {
          barIndex: 2,
          barLabel: "3",
          pass: 1,
          beat: 4.419792,
          quarters: expect.closeTo(11.42, 3) as number,
        },
        lookUp: { seconds: 0.273585, bars: 0.145 },
        verdict: "tight",
        entersIn: {},
        // Never played before: from the beginning to the entry. 600·log2((T + 273.15) / 300.15) cents with
        // T = 20 + 7·exp(-6 / 600) °C after 6 s, and so on.
        lying: {
          since: null,
          seconds: enterAt,
          cents: { short: -0.189575, likely: -0.200894, long: -0.21365 },
          matters: false,
          temperature: {
            hallCelsius: 20,
            playingCelsius: 27,
            coolingSeconds: 600,
            assumed: ["hallCelsius", "playingCelsius", "coolingSeconds"],
          },
        },
        hazards: [
          {
            kind: "late-look-up",
            at: { barIndex: 3, barLabel: "4", pass: 1, beat: 1, quarters: 12 },
            lookUpBars: expect.closeTo(0.145, 6) as number,
            text: expect.any(String) as string,
          },
        ],
        evidence: [
          expect.objectContaining({ kind: "words", barLabel: "2", text: "muta in La" }),
          expect.objectContaining({ kind: "transpose", barLabel: "4" }),
        ],
        disagreements: [],
        advice: [expect.objectContaining({ kind: "ask-for-cue", barLabel: "4" })],
        // A part alone: nobody else to listen to.
        landmarks: [],
        cues: [],
      },
    ]);
  });

  it("has every entry with its rest, changes or not", () => {
    const bars = [attributes({}) + rest(4), ...changeBars(2), rest(2) + note("C5", 2)];
    const { entries } = json({ parts: [partOf(bars)], errors: [] });
    expect(entries).toMatchObject([
      { at: { barLabel: "2" }, leave: null, instrument: "clarinet-bflat", rest: { quarters: 4 } },
      { at: { barLabel: "5" }, leave: { barLabel: "2" }, instrument: "clarinet-a" },
      {
        at: { barLabel: "6", beat: 3 },
        leave: { barLabel: "5" },
        rest: { quarters: 2, bars: 0.5 },
      },
    ]);
  });

  it("has its passages with the choices for each", () => {
    const [first] = document["passages"] as Json[];
    expect(first).toMatchObject({
      number: 1,
      instrument: "clarinet-bflat",
      from: { barLabel: "1", beat: 1 },
      to: { barLabel: "1", beat: 5 },
      notes: 1,
      // No signature on a B-flat clarinet sounds in B-flat.
      sounding: { fifths: -2, major: "B-flat" },
    });
    const [choice] = first?.["choices"] as Json[];
    expect(Object.keys(choice ?? {})).toEqual([
      "instrument",
      "printed",
      "written",
      "accidentals",
      "lowest",
      "highest",
      "outOfRange",
      "tooLow",
      "registers",
      "breakCrossings",
      "difficulty",
      "spots",
      "trills",
    ]);
    expect(choice).toMatchObject({
      instrument: "clarinet-bflat",
      printed: true,
      written: { fifths: 0 },
      accidentals: 0,
      lowest: "C5",
      highest: "C5",
      outOfRange: 0,
      difficulty: { score: 0 },
    });
  });

  it("has its tempi, and says what was assumed", () => {
    expect(document["tempi"]).toMatchObject([
      {
        from: { barLabel: "1", quarters: 0 },
        quartersPerMinute: { slow: 112.8, likely: 120, fast: 127.2 },
        source: "metronome",
        text: "quarter = 120",
      },
    ]);
    expect(document["notices"]).toMatchObject([
      { kind: "profile-assumed" },
      { kind: "listen-with-score" },
    ]);
    const [notice] = document["notices"] as Json[];
    expect(notice?.["text"]).toEqual(expect.any(String));
  });

  it("keeps disagreements", () => {
    const { changes } = json({ parts: [partOf(changeBars(6, B_FLAT))], errors: [] });
    expect(changes).toMatchObject([
      {
        disagreements: [{ wordsBarLabel: "2", wordsMean: "clarinet-a" }],
        advice: [{ kind: "check-print" }],
      },
    ]);
  });
});

describe("several parts", () => {
  it("stand in parts, the errors of the files beside them", () => {
    const document = json({ parts: [TIGHT, TIGHT], errors: [FAILURE] });
    expect(Object.keys(document)).toEqual(["schema", "parts", "errors"]);
    expect(document).toMatchObject({ schema: "muta.check/1", errors: [FAILURE] });
    const single = json({ parts: [TIGHT], errors: [] });
    expect(document["parts"]).toEqual([single, single]);
  });

  it("leave the errors with a single part that could be read", () => {
    expect(json({ parts: [TIGHT], errors: [FAILURE] })["errors"]).toEqual([FAILURE]);
  });

  it("may be none", () => {
    expect(json({ parts: [], errors: [FAILURE] })).toEqual({
      schema: "muta.check/1",
      parts: [],
      errors: [FAILURE],
    });
  });
});

describe("ndjson", () => {
  it("has one line a part, and one for each file that could not be read", () => {
    const report = { parts: [TIGHT, TIGHT], errors: [FAILURE] };
    const lines = linesOf(REPORTERS.ndjson(report)).map((line) => JSON.parse(line) as Json);
    const single = json({ parts: [TIGHT], errors: [] });
    expect(lines).toEqual([
      single,
      single,
      { schema: "muta.check/1", file: "bad.xml", errors: [FAILURE] },
    ]);
  });

  it("is the same for a single part, on one line", () => {
    const text = REPORTERS.ndjson({ parts: [TIGHT], errors: [] });
    expect(linesOf(text)).toHaveLength(1);
    expect(JSON.parse(text)).toEqual(json({ parts: [TIGHT], errors: [] }));
  });
});

describe("texts from a file", () => {
  it.each([
    ["\u001b]0;title\u0007", "an escape sequence"],
    ["\u009b31m", "a C1 control sequence"],
    ["\u007f\u0000\b", "control characters"],
    ["line\u2028paragraph\u2029", "line separators"],
    ["\u202eabc\u202c\u2066x\u2069\u200f\u061c", "marks that turn the direction of writing"],
    ['"quotes" \\ and </script>', "quotes"],
    ["🎼 סוויטה", "emoji and Hebrew"],
    ["\ud800 alone", "half a character"],
  ])("%j stays the same text, and never steers a terminal", (text) => {
    const part = { ...TIGHT.part, id: text, name: text };
    const report = {
      parts: [{ ...TIGHT, file: text, title: text, movement: text, part }],
      errors: [{ ...FAILURE, message: text }],
    };
    const written = REPORTERS.json(report);
    const lines = REPORTERS.ndjson(report);
    for (const output of [written, lines]) {
      expect(output.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]/u);
    }
    expect(linesOf(lines)).toHaveLength(2);
    const document = JSON.parse(written) as Json;
    expect(document).toMatchObject({ file: text, title: text, movement: text });
    expect(document["part"]).toEqual({ id: text, name: text });
    expect(document["errors"]).toMatchObject([{ message: text }]);
  });
});
