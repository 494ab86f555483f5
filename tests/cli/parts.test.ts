import { describe, expect, it } from "vitest";
import { linesOf, runMuta, temporaryFolder } from "../support/run-muta.js";
import { A, attributes, B_FLAT, BASS, note, scoreXml, type PartXml } from "../support/score-xml.js";

function part(id: string, name: string, transpose?: readonly [number, number, number?]): PartXml {
  const first = attributes({ meter: "4/4", ...(transpose && { transpose }) });
  return { id, name, bars: [first + note("C5", 4), note("D5", 4)] };
}

const FLUTE = part("P1", "Flute");
const OBOE = part("P2", "Oboe");
const FIRST = part("P3", "Clarinet 1 in B♭", B_FLAT);
const SECOND = part("P4", "Clarinet 2 in A", A);
const LOW = part("P5", "Bass Clarinet", BASS);
const VIOLIN = part("P6", "Violin");
const ORCHESTRA = scoreXml([FLUTE, OBOE, FIRST, SECOND, LOW, VIOLIN]);

/** The ids of the parts reported on, in the order of the report. */
async function chosen(score: string, ...patterns: readonly string[]): Promise<readonly string[]> {
  const options = patterns.flatMap((pattern) => ["--part", pattern]);
  const args = ["check", "-", "--format", "ndjson", ...options];
  const { code, stdout, stderr } = await runMuta(args, { stdin: score });
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  return linesOf(stdout).map((line) => (JSON.parse(line) as { part: { id: string } }).part.id);
}

describe("--part", () => {
  it.each([
    ["an id", ["P4"], ["P4"]],
    ["an id in lower case", ["p4"], ["P4"]],
    ["a name", ["Bass Clarinet"], ["P5"]],
    ["a name in other writing", ["clarinet 1 in bb"], ["P3"]],
    ["a piece of a name", ["clarinet"], ["P3", "P4", "P5"]],
    ["a pattern", ["clarinet*"], ["P3", "P4"]],
    ["a pattern in the middle", ["*net 2*"], ["P4"]],
    ["everything but the strings", ["*t*"], ["P1", "P3", "P4", "P5"]],
    ["several, in the order of the score", ["P5", "oboe", "P5"], ["P2", "P5"]],
  ])("takes %s", async (_, patterns, ids) => {
    expect(await chosen(ORCHESTRA, ...patterns)).toEqual(ids);
  });

  it.each([["trombone"], ["P9"], ["clarinet*z"]])(
    "that fits no part lists those there are: %s",
    async (pattern) => {
      const args = ["check", "-", "--part", "oboe", "--part", pattern];
      const { code, stdout, stderr } = await runMuta(args, { stdin: ORCHESTRA });
      expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
      expect(linesOf(stderr)).toHaveLength(1);
      expect(stderr).toContain(`no part matches "${pattern}"`);
      expect(stderr).toContain("P1 Flute, P2 Oboe, P3 Clarinet 1 in B♭, P4 Clarinet 2 in A");
    },
  );

  it("names a part that is for no woodwind, and reports the rest", async () => {
    const args = ["check", "-", "--part", "violin", "--part", "flute"];
    const { code, stdout, stderr } = await runMuta(args, { stdin: ORCHESTRA });
    expect(code).toBe(2);
    expect(stderr).toMatch(/^muta: standard input: part P6: "Violin" names no woodwind [^\n]+\n$/);
    expect(stdout).toMatch(/^Flute\n/);
  });
});

describe("without --part", () => {
  it.each([
    ["every clarinet is taken", [FLUTE, FIRST, VIOLIN, LOW], ["P3", "P5"]],
    ["else every player who may double", [VIOLIN, FLUTE, OBOE], ["P1", "P2"]],
    [
      "a clarinet is known by its standard sound, too",
      [
        VIOLIN,
        {
          ...part("P7", "Player 2", B_FLAT),
          extra:
            '<score-instrument id="P7-I1"><instrument-name>x</instrument-name><instrument-sound>wind.reed.clarinet.bflat</instrument-sound></score-instrument>',
        },
      ],
      ["P7"],
    ],
  ])("%s", async (_, parts, ids) => {
    expect(await chosen(scoreXml(parts))).toEqual(ids);
  });

  it("and without a woodwind the parts are listed", async () => {
    const { code, stdout, stderr } = await runMuta(["check", "-"], { stdin: scoreXml([VIOLIN]) });
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toMatch(/no part is for a woodwind player; there are: P6 Violin\n$/);
  });

  it("parts are chosen in each file for itself", async () => {
    const cwd = temporaryFolder({ "a.xml": scoreXml([FLUTE]), "b.xml": scoreXml([LOW, VIOLIN]) });
    const { code, stdout } = await runMuta(["check", "a.xml", "b.xml", "-f", "json"], { cwd });
    const { parts } = JSON.parse(stdout) as { parts: { file: string; part: { id: string } }[] };
    expect(code).toBe(0);
    expect(parts.map(({ file, part: { id } }) => [file, id])).toEqual([
      ["a.xml", "P1"],
      ["b.xml", "P5"],
    ]);
  });
});

describe("muta parts", () => {
  it("lists parts with bars and transpositions", async () => {
    const cwd = temporaryFolder({ "score.xml": ORCHESTRA });
    const { code, stdout, stderr } = await runMuta(["parts", "score.xml"], { cwd });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toMatchInlineSnapshot(`
      "score.xml
        id  name              instruments          transposition
        P1  Flute                          2 bars  as written
        P2  Oboe                           2 bars  as written
        P3  Clarinet 1 in B♭               2 bars  −2 semitones (as B♭)
        P4  Clarinet 2 in A                2 bars  −3 semitones (as A)
        P5  Bass Clarinet                  2 bars  −14 semitones (as bass)
        P6  Violin                         2 bars  as written
      "
    `);
  });

  it("gives the same as JSON", async () => {
    const { stdout } = await runMuta(["parts", "-", "--format", "json"], { stdin: ORCHESTRA });
    const listing = JSON.parse(stdout) as { files: { parts: unknown[] }[] };
    expect(listing).toMatchObject({ schema: "muta.parts/1", files: [{ file: "-" }], errors: [] });
    expect(listing.files[0]?.parts).toHaveLength(6);
    expect(listing.files[0]?.parts[4]).toEqual({
      id: "P5",
      name: "Bass Clarinet",
      instruments: [],
      bars: 2,
      transpositions: [
        { diatonic: -1, chromatic: -2, octaveChange: -1, semitones: -14, fromBar: "1" },
      ],
    });
  });

  it("goes on after a file that cannot be read, and exits with 2", async () => {
    const cwd = temporaryFolder({ "bad.xml": "<x/>", "good.xml": scoreXml([FLUTE]) });
    const args = ["parts", "bad.xml", "missing.xml", "good.xml"];
    const { code, stdout, stderr } = await runMuta(args, { cwd });
    expect(code).toBe(2);
    expect(linesOf(stderr)).toEqual([
      "muta: bad.xml: the root element is <x>, not a MusicXML score",
      "muta: missing.xml: no such file",
    ]);
    expect(stdout).toMatch(/^good\.xml\n/);
  });

  it("strips what could steer a terminal", async () => {
    // Both are characters that XML allows: a C1 control sequence introducer and a right-to-left override.
    const stdin = scoreXml([part("P1", "Flute &#x9b;31m&#x202e;")]);
    for (const format of ["text", "json"]) {
      const { stdout } = await runMuta(["parts", "-", "--format", format], { stdin });
      expect(stdout).toContain("Flute");
      expect(stdout).not.toMatch(/[\u0080-\u009f\u202e]/);
    }
  });
});
