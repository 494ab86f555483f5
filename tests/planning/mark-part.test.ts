import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { openScore } from "../../src/musicxml/document.js";
import { changeBars } from "../support/run-muta.js";
import { checked, eyeglassesIn, mark, marksIn, withoutMarks } from "../support/marked.js";
import { A, attributes, B_FLAT, metronome, note, rest, scoreXml } from "../support/score-xml.js";
import { outOfOrder } from "./element-order.js";

const DEMO = readFileSync("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");

function bytesOf(bars: readonly string[]): Buffer {
  return Buffer.from(scoreXml([{ bars: [...bars] }]));
}

/** Rests of so many bars of 4/4, of which the first is printed as one sign for all. */
function multipleRest(bars: number): readonly string[] {
  const sign = `<attributes><measure-style><multiple-rest>${bars}</multiple-rest></measure-style></attributes>`;
  return Array.from({ length: bars }, (_, k) => (k === 0 ? sign : "") + rest(4));
}

const START =
  attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + metronome("quarter", "120");
const ON_A = attributes({ fifths: 0, transpose: A });

describe("marking a part", () => {
  // Hands 3.5 s; at the fast end, quarter = 127.2 (6 %), that is 7.42 quarters: bar 3, beat 4.42.
  it("puts the look-up where the hands are ready, as an offset inside a rest", () => {
    const { bytes } = mark(bytesOf(changeBars(6)));
    expect(marksIn(bytes)).toEqual(["A clarinet: 12.0 s, hands 3.5 s", "look up"]);
    const [glasses] = eyeglassesIn(bytes);
    expect(glasses?.barIndex).toBe(2);
    // 240 divisions a quarter, and never too early.
    expect(glasses!.quarters - 3.42).toBeGreaterThanOrEqual(-1e-9);
    expect(glasses!.quarters - 3.42).toBeLessThan(1 / 240);
    expect(bytes.toString()).toMatch(/<offset>82[12]<\/offset>/);
  });

  it("says which is tight, and asks for the cue", () => {
    const marks = marksIn(mark(bytesOf(changeBars(2))).bytes);
    // Ready 0.58 quarters before bar 4: within the beat of the entry, so that both are one mark.
    expect(marks).toEqual(["A clarinet: 4.0 s, hands 3.5 s, quick!", "look up, cue!"]);
  });

  it("has no look-up where the hands are not ready", () => {
    const { bytes } = mark(bytesOf(changeBars(1)));
    expect(marksIn(bytes)).toEqual(["A clarinet: 2.0 s, hands 3.5 s, no time!", "cue!"]);
    expect(eyeglassesIn(bytes)).toEqual([]);
  });

  it("puts what falls inside a multiple rest at its first bar, and names the place to the beat", () => {
    const { bytes } = mark(
      bytesOf([START + note("C5", 4), ...multipleRest(6), ON_A + note("E5", 4)]),
    );
    expect(marksIn(bytes)).toContain("look up at bar 4");
    expect(eyeglassesIn(bytes)).toMatchObject([{ barIndex: 1, quarters: 0 }]);
  });

  it("says for which time it is where the times differ, and not where they agree", () => {
    const forward = `<barline location="left"><repeat direction="forward"/></barline>`;
    const back = `<barline location="right"><repeat direction="backward"/></barline>`;
    const ofBFlat = attributes({ fifths: 0, transpose: B_FLAT });
    const { bytes } = mark(
      bytesOf([
        forward + START + note("C5", 4),
        ...Array.from({ length: 6 }, () => rest(4)),
        ON_A + note("E5", 2) + rest(2),
        rest(4) + back,
        ofBFlat + rest(4),
        note("C5", 4),
      ]),
    );
    // Back to bar 1 in 6 quarters (3 s); on to bar 11 in 10 (5 s), ready 2.58 quarters before it.
    expect(marksIn(bytes)).toEqual([
      "(2nd time) cue!",
      "A clarinet: 12.0 s, hands 3.5 s",
      "look up",
      "(1st time) B♭ clarinet: 3.0 s, hands 3.5 s, no time!",
      "(2nd time) B♭ clarinet: 5.0 s, hands 3.5 s, quick!",
      "look up",
      "cue!",
    ]);
  });

  it("names what a bar of one tag has no room for", () => {
    // The rest begins in it: three bars in all, of which the file has the first as one empty tag.
    const source = scoreXml([{ bars: changeBars(3) }]).replace(
      /<measure number="2">[^]*?<\/measure>/,
      '<measure number="2"/>',
    );
    const { marks, leftOut } = mark(Buffer.from(source));
    expect(leftOut.map(({ at, content }) => [at.barIndex, content.kind])).toEqual([[1, "change"]]);
    expect(marks.map(({ content }) => content.kind)).toEqual(["look-up"]);
  });

  it("finds room in a bar of blanks, and takes it back", () => {
    const source = scoreXml([{ bars: changeBars(3) }]).replace(
      /<measure number="2">[^]*?<\/measure>/,
      '<measure number="2">\n  </measure>',
    );
    const { bytes, leftOut } = mark(Buffer.from(source));
    expect(leftOut).toEqual([]);
    expect(bytes.toString()).toMatch(
      /<measure number="2"><direction [^]*?<\/direction>\n {2}<\/measure>/,
    );
    expect(mark(bytes).bytes.equals(bytes)).toBe(true);
    expect(withoutMarks(bytes)).toBe(source);
  });

  it("carries the staff, and a player's number on a staff that several read", () => {
    const shared = scoreXml([
      {
        name: "Clarinet 1 2",
        bars: changeBars(6).map((bar) => bar.replace(/(<\/note>)/g, "<staff>1</staff>$1")),
      },
    ]).replace("Clarinet 1 2", "Clarinets 1, 2 in Bb");
    const second = mark(Buffer.from(shared), "P1", 2).bytes;
    expect(marksIn(second)).toEqual(["II: A clarinet: 12.0 s, hands 3.5 s", "II: look up"]);
    expect(second.toString()).toContain("<staff>1</staff></direction>");
    const both = mark(second, "P1", 1).bytes;
    expect(marksIn(both)).toHaveLength(4);
    expect(mark(both, "P1", 1).bytes.equals(both)).toBe(true);
    // Without a player all marks are replaced.
    expect(marksIn(mark(both).bytes)).toHaveLength(2);
  });

  it("knows its marks after another program saved them, however they are escaped", () => {
    const { bytes } = mark(bytesOf(changeBars(6)));
    const saved = Buffer.from(
      bytes
        .toString()
        .replace(
          /<direction placement="above"><direction-type><eyeglasses\/><\/direction-type>/g,
          "<direction>",
        )
        .replace(/<words>» /g, '<words font-family="x" default-y="20">&#187; '),
    );
    expect(checked(saved)).toBe(checked(bytes));
    expect(marksIn(mark(saved).bytes)).toEqual(marksIn(bytes));
    expect(saved.toString()).not.toContain("» ");
    expect(mark(saved).bytes.toString()).not.toContain("&#187;");
  });

  it("escapes what a file puts into its bar numbers", () => {
    const bars = [START + note("C5", 4), ...multipleRest(6), ON_A + note("E5", 4)].map(
      (content, k) => ({ attributes: `number="${k}&lt;/words&gt;"`, content }),
    );
    const source = Buffer.from(scoreXml([{ bars }]));
    const { bytes } = mark(source);
    expect(marksIn(bytes)).toContain("look up at bar 3&lt;/words&gt;");
    expect(checked(bytes)).toBe(checked(source));
  });
});

describe("the demo piece, marked", () => {
  const { bytes } = mark(DEMO);

  it("reads like this on the stand", () => {
    expect(marksIn(bytes)).toEqual([
      "A clarinet: 23.6 s, hands 3.5 s",
      "look up at bar 10, beat 2",
      "B♭ clarinet: 4.6 s, hands 3.5 s, quick!",
      "look up at bar 31",
      "cue!",
      "A clarinet: 15.8 s, hands 3.5 s",
      "look up at bar 38",
      "(1st time) B♭ clarinet: 1.5 s, hands 3.5 s, no time!",
      "B♭ clarinet: 2.1 s, hands 3.5 s, no time! · bar 60 in 5/8, bar 61 in 2/4",
      "cue!",
      "A clarinet: 4.3 s, hands 3.5 s, quick!",
      "look up at bar 71, beat 2",
      "cue!",
      "B♭ bass clarinet: 29.0 s, hands 5.4 s · bar 83 in 7/8",
      "look up at bar 84, beat 2",
      "cue!",
      "B♭ clarinet: 17.0 s, hands 2.8 s · bar 101 in 4/4, new tempo",
      "look up, cue!",
      "A clarinet: 17.0 s + the fermata, hands 3.5 s",
      "look up at bar 115, beat 3",
      "? A or B♭ clarinet",
    ]);
  });

  it("is the same file without its marks, byte for byte, and the same when marked again", () => {
    expect(withoutMarks(bytes)).toBe(DEMO.toString());
    expect(mark(bytes).bytes.equals(bytes)).toBe(true);
  });

  it("is reported on as before", () => {
    expect(checked(bytes)).toBe(checked(DEMO));
  });

  it("has its elements where the schema has them", () => {
    const faults = openScore(bytes)
      .barSlices("P1")
      .flatMap(({ start, end }) => outOfOrder(bytes.toString("utf8", start, end)));
    expect(faults).toEqual([]);
  });
});
