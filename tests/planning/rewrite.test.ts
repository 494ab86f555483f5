import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { InstrumentId } from "../../src/model/instrument.js";
import { openScore } from "../../src/musicxml/document.js";
import { rewriteBars, type BarRange } from "../../src/planning/rewrite.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import { A, attributes, B_FLAT, note, rest, scoreXml } from "../support/score-xml.js";
import { outOfOrder } from "./element-order.js";
import { REWRITE_CASES } from "./rewrite-cases.js";

function rewrite(xml: string, ranges: readonly BarRange[], instrument: InstrumentId) {
  const bytes = Buffer.from(xml);
  const result = rewriteBars(bytes, openScore(bytes), { partId: "P1", ranges, instrument });
  return { xml: result.bytes.toString(), warnings: result.warnings };
}

const BARS: readonly BarRange[] = [{ from: "2", to: "2" }];

describe("rewriting bars", () => {
  it.each(REWRITE_CASES)("$what", ({ bars, range: [from, to], expected }) => {
    const { xml } = rewrite(scoreXml([{ bars }]), [{ from, to }], "clarinet-a");
    const wanted = bars.map((bar, k) => expected[String(k + 1)] ?? bar);
    expect(xml.split("\n")).toEqual(scoreXml([{ bars: wanted }]).split("\n"));
  });

  it.each([-6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6])(
    "goes there and back to the same bytes in a key of %i",
    (fifths) => {
      const pitches = ["C5", "C#5", "Db5", "F#4", "Bb4", "B4", "E5", "Eb5"];
      for (const [there, back, transpose] of [
        ["clarinet-a", "clarinet-bflat", B_FLAT],
        ["clarinet-bflat", "clarinet-a", A],
      ] as const) {
        const bars = [
          attributes({ meter: "4/4", fifths, transpose }) + note("C5", 4),
          // Signs that are there already, so that none has to be put in.
          pitches.map((pitch) => note(pitch, 0.5, "<accidental>natural</accidental>")).join(""),
          rest(4),
          note("C5", 4),
        ].map((bar) =>
          bar.replace(
            /<pitch><step>(.)<\/step>(?:<alter>(.*?)<\/alter>)?([^]*?)<accidental>natural/g,
            (_all, step: string, alter: string | undefined, between: string) =>
              `<pitch><step>${step}</step>${alter === undefined ? "" : `<alter>${alter}</alter>`}${between}<accidental>${{ "1": "sharp", "-1": "flat" }[alter ?? ""] ?? "natural"}`,
          ),
        );
        const source = scoreXml([{ bars }]);
        const written = rewrite(source, BARS, there);
        expect(sounding(written.xml)).toEqual(sounding(source));
        expect(written.xml).not.toBe(source);
        expect(rewrite(written.xml, BARS, back).xml).toBe(source);
      }
    },
  );

  it("leaves bars for the instrument as they are, and says so", () => {
    const source = scoreXml([{ bars: part() }]);
    const { xml, warnings } = rewrite(source, BARS, "clarinet-bflat");
    expect(xml).toBe(source);
    expect(warnings).toEqual([{ kind: "already-so" }]);
  });

  it("takes several ranges, and one number of several bars as one", () => {
    const bars = part().map((content, k) => ({
      attributes: `number="${["1", "2", "2", "3"][k]}"`,
      content,
    }));
    const { xml } = rewrite(scoreXml([{ bars }]), [BARS[0]!, { from: "3", to: "3" }], "clarinet-a");
    expect(xml.match(/<fifths>-5/g)).toHaveLength(1);
    expect(xml.match(/<step>D<\/step><alter>-1/g)).toHaveLength(3);
  });

  it("keeps the other parts byte for byte", () => {
    const source = scoreXml([{ bars: part() }, { name: "Oboe", bars: part() }]);
    const { xml } = rewrite(source, BARS, "clarinet-a");
    const oboe = (text: string) => text.slice(text.indexOf('<part id="P2">'));
    expect(oboe(xml)).toBe(oboe(source));
  });

  it("warns of notes out of range and of ties from before", () => {
    const tied = part('<tie type="start"/>', '<tie type="stop"/>');
    expect(rewrite(scoreXml([{ bars: tied }]), BARS, "clarinet-a").warnings).toEqual([
      { kind: "tied-in", bars: ["2"] },
    ]);
    const low = [part()[0]!, note("E3", 4)];
    expect(rewrite(scoreXml([{ bars: low }]), BARS, "clarinet-c").warnings).toEqual([
      { kind: "out-of-range", bars: ["2"] },
    ]);
  });

  it("refuses bars that are not there, and keys that are no usual ones", () => {
    const source = scoreXml([{ bars: part() }]);
    const of = (from: string, to: string) => () => rewrite(source, [{ from, to }], "clarinet-a");
    expect(of("2", "9")).toThrow("bar 9 is not there; the bars are 1–4");
    expect(of("3", "2")).toThrow("bar 2 comes before the bar the range begins with");
    const odd = source.replace(
      "<fifths>0</fifths>",
      "<key-step>F</key-step><key-alter>1</key-alter>",
    );
    expect(() => rewrite(odd, BARS, "clarinet-a")).toThrow("not a traditional one");
  });

  it("puts elements where the schema has them", () => {
    const bytes = readFileSync("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
    const ranges = [
      { from: "0", to: "20" },
      { from: "46", to: "59" },
    ];
    const score = openScore(bytes);
    for (const instrument of ["clarinet-a", "clarinet-bflat", "bass-clarinet-bflat"] as const) {
      const result = rewriteBars(bytes, score, { partId: "P1", ranges, instrument }).bytes;
      const bars = openScore(result).barSlices("P1");
      const faults = bars.flatMap(({ start, end }) =>
        outOfOrder(result.toString("utf8", start, end)),
      );
      expect(faults).toEqual([]);
    }
  });

  it("says UTF-8 where the file said otherwise", () => {
    const source = scoreXml([{ bars: part() }]).replace('"UTF-8"', '"ISO-8859-1"');
    expect(rewrite(source, BARS, "clarinet-a").xml).toContain('encoding="UTF-8"');
  });
});

/** Four bars of C5 on B-flat; `start` is inside the first, `stop` in the second. */
function part(start = "", stop = ""): readonly string[] {
  return [
    attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + note("C5", 4, start),
    note("C5", 4, stop),
    note("C5", 4),
    note("C5", 4),
  ];
}

function sounding(xml: string): readonly number[] {
  const { notes, transpositions } = openScore(Buffer.from(xml)).timeline("P1");
  return notes.flatMap(({ barIndex, pitches }) => {
    const by = transpositions.findLast(({ at }) => at.barIndex <= barIndex)!.value;
    return pitches.map((pitch) => midiNumber(soundingPitch(pitch, by)));
  });
}
