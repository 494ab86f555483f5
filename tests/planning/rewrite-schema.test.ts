import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { InstrumentId } from "../../src/model/instrument.js";
import { openScore } from "../../src/musicxml/document.js";
import { rewriteBars, type BarRange } from "../../src/planning/rewrite.js";
import {
  errorsAdded,
  schemaErrors,
  schemaErrorsAdded,
  schemaErrorsOfAll,
} from "../support/schema.js";
import { attributes, B_FLAT, note, scoreXml } from "../support/score-xml.js";
import { REWRITE_CASES } from "./rewrite-cases.js";
import { fullBars, type FullBars } from "./schema-bars.js";

function rewrite(
  xml: string,
  partId: string,
  ranges: readonly BarRange[],
  instrument: InstrumentId,
): string {
  const bytes = Buffer.from(xml);
  return rewriteBars(bytes, openScore(bytes), { partId, ranges, instrument }).bytes.toString();
}

describe("the schema", () => {
  const start = attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT });
  const documentOf = (bar: string) => scoreXml([{ bars: [bar] }]);

  it("has nothing against a good bar, with directions of every kind that the program may write", async () => {
    const directions = [
      `<direction placement="above"><direction-type><words>to A clarinet</words></direction-type><staff>1</staff></direction>`,
      `<direction placement="above"><direction-type><eyeglasses/></direction-type><offset>-240</offset></direction>`,
    ].join("");
    expect(await schemaErrors(documentOf(start + directions + note("C5", 4)))).toEqual([]);
  });

  it.each([
    [
      "an element in the wrong order",
      start + note("C5", 4, "<accidental>natural</accidental><type>whole</type>"),
      ["Element 'type': This element is not expected."],
    ],
    [
      "an attribute of the bar after the key that goes before it",
      start.replace(/(<divisions>.*<\/divisions>)(<key>.*<\/key>)/, "$2$1") + note("C5", 4),
      ["Element 'divisions': This element is not expected."],
    ],
    [
      "an element that does not exist",
      `${start}<instruction>to A clarinet</instruction>${note("C5", 4)}`,
      ["Element 'instruction': This element is not expected."],
    ],
    [
      "fifths that are no whole number",
      start.replace("<fifths>0<", "<fifths>2.5<") + note("C5", 4),
      ["Element 'fifths': '2.5' is not a valid value of the atomic type 'fifths'."],
    ],
    [
      "a sign that does not exist, over two lines",
      start + note("C5", 4, "<accidental>half\nsharp</accidental>"),
      ["Element 'accidental': [facet 'enumeration'] The value 'half\nsharp' is not an element"],
    ],
    [
      "a pitch without its octave",
      start + note("C5", 4).replace("<octave>5</octave>", ""),
      ["Element 'pitch': Missing child element(s)."],
    ],
    [
      "two faults in two notes",
      start +
        note("C5", 2, "<staff>x</staff>") +
        note("C5", 2).replace("<octave>5</octave>", "<octave>12</octave>"),
      ["Element 'staff': 'x' is not a valid", "Element 'octave': [facet 'maxInclusive']"],
    ],
    ["a tag that is not closed", `${start}<note>`, ["parser error : Opening and ending tag"]],
  ])("finds %s", async (_what, bar, expected) => {
    const good = documentOf(start + note("C5", 4));
    // Beside a good document, whose verdict must stay its own.
    const bad = documentOf(bar);
    const [own = [], errors = [], again = []] = await schemaErrorsOfAll([good, bad, bad]);
    expect(own).toEqual([]);
    expect(errors.slice(0, expected.length)).toEqual(
      expected.map((text) => expect.stringContaining(text) as string),
    );
    expect(errorsAdded(own, errors)).toEqual(errors);
    expect(errorsAdded(errors, again)).toEqual([]);
  });

  it("counts a fault that was there once and is there twice", async () => {
    const bad = note("C5", 2, "<staff>x</staff>");
    const added = await schemaErrorsAdded(documentOf(start + bad), documentOf(start + bad + bad));
    expect(added).toEqual([expect.stringContaining("Element 'staff': 'x'") as string]);
  });
});

describe("what is written, by the schema of MusicXML 3.0", () => {
  it("is valid for every case of the tests", async () => {
    const sources = REWRITE_CASES.map(({ bars }) => scoreXml([{ bars }]));
    const written = REWRITE_CASES.map(({ range: [from, to] }, k) =>
      rewrite(sources[k]!, "P1", [{ from, to }], "clarinet-a"),
    );
    const errors = await schemaErrorsOfAll([...sources, ...written]);
    expect(errors.flat()).toEqual([]);
  });

  it.each([
    ["fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml", "P1"],
    ["fixtures/demo/lanterns-on-the-weir.musicxml", "P4"],
  ])("has nothing against the demo that its source does not have: %s", async (file, partId) => {
    const source = readFileSync(file, "utf8");
    const ranges = [
      { from: "0", to: "20" },
      { from: "46", to: "59" },
    ];
    const written = (["clarinet-a", "clarinet-bflat", "bass-clarinet-bflat"] as const).map(
      (instrument) => rewrite(source, partId, ranges, instrument),
    );
    expect(written).not.toContain(source);
    const [own = [], ...errors] = await schemaErrorsOfAll([source, ...written]);
    // The element for a change of instrument came with MusicXML 4.0.
    for (const error of own) {
      expect(error).toMatch(/^Element 'instrument-change': This element is not expected/);
    }
    for (const each of errors) expect(errorsAdded(own, each)).toEqual([]);
  });

  it("is valid whatever stands in a note, a signature and the rest of a bar", async () => {
    const samples: readonly FullBars[] = fc.sample(fullBars, { numRuns: 100, seed: 30 });
    const sources = samples.map(({ bars }) => scoreXml([{ bars }]));
    const written = samples.flatMap(({ instrument, range }, k) => {
      const there = rewrite(sources[k]!, "P1", [range], instrument);
      return [there, rewrite(there, "P1", [range], "clarinet-bflat")];
    });
    expect(written.filter((xml) => !sources.includes(xml)).length).toBeGreaterThan(100);
    const errors = await schemaErrorsOfAll([...sources, ...written]);
    expect(errors.flat()).toEqual([]);
  });
});
