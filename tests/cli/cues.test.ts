import { describe, expect, it } from "vitest";
import { A, attributes, metronome, note, rest, scoreXml } from "../support/score-xml.js";
import {
  changeBars,
  linesOf,
  partWithChange,
  runMuta,
  temporaryFolder,
} from "../support/run-muta.js";

const FOUR = attributes({ meter: "4/4" }) + metronome("quarter", "120");
const bars = (restBars: number, entry: string) => [
  FOUR + note("C4", 4),
  ...Array.from({ length: restBars }, () => note("C4", 4)),
  entry,
];

/** Two bars of rest at 120 are tight (see `REST_BARS`); the horn holds a note under the entry. */
const SCORE = scoreXml([
  { name: "Flute", bars: bars(2, rest(4)) },
  { name: "Clarinet 1 in Bb", bars: changeBars(2) },
  {
    name: "Clarinet 2 in Bb",
    bars: changeBars(1).concat([attributes({ transpose: A }) + rest(4)]),
  },
  { name: "Horn in F", bars: bars(2, note("G3", 4)) },
]);

const DEMO = "fixtures/demo/lanterns-on-the-weir.musicxml";

interface CuesDocument {
  readonly schema: string;
  readonly parts: readonly {
    readonly part: { readonly name: string };
    readonly requests: readonly {
      readonly change: number;
      readonly verdict: string;
      readonly text: string;
      readonly lookUp: { readonly seconds: number };
      readonly exposure?: { readonly kind: string; readonly missed: { readonly weight: number } };
    }[];
  }[];
}

async function cues(args: readonly string[], stdin = ""): Promise<CuesDocument> {
  const { code, stdout, stderr } = await runMuta(["cues", ...args, "-f", "json"], { stdin });
  expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
  return JSON.parse(stdout) as CuesDocument;
}

describe("muta cues", () => {
  it("lists what to ask for, with who else plays", async () => {
    const { schema, parts } = await cues(["-"], SCORE);
    expect(schema).toBe("muta.cues/1");
    expect(parts.map(({ part }) => part.name)).toEqual(["Clarinet 1 in Bb", "Clarinet 2 in Bb"]);
    expect(parts[0]!.requests).toMatchObject([
      {
        change: 1,
        verdict: "tight",
        exposure: { kind: "small-group" },
        text: "bar 4: clear cue please; change from B♭ to A is done under ¼ bar before it; exposed: only with Horn in F",
      },
    ]);
    // One bar at the fast end of 120, 1.9 s, for the usual 3.5 s.
    expect(parts[1]!.requests[0]!.text).toMatch(
      /^bar 3: cannot be ready: 1\.9 s for 3\.5 s, change from B♭ to A after bar 1/,
    );
  });

  it("puts the worst of the demo piece first, each with its meters", async () => {
    const [clarinet] = (await cues([DEMO, "--part", "Clarinet 2"])).parts;
    const requests = clarinet!.requests;
    const rank = ["impossible", "tight", "workable", "ample"];
    const keys = requests.map(({ verdict, exposure, lookUp }) => [
      rank.indexOf(verdict),
      -(exposure?.missed.weight ?? 0),
      lookUp.seconds,
    ]);
    const sorted = [...keys].sort((a, b) => a[0]! - b[0]! || a[1]! - b[1]! || a[2]! - b[2]!);
    expect(keys).toEqual(sorted);
    // By hand: the demo piece goes from 3/4 over 5/8 (bar 60) to 2/4 (bar 61).
    expect(requests.find(({ change }) => change === 6)!.text).toContain(
      "the bars before are 3/4, 5/8",
    );
    expect(requests.map(({ change }) => change).sort((a, b) => a - b)).toEqual([2, 4, 6, 7, 8, 9]);
  });

  it("is a page and a table", async () => {
    const page = await runMuta(["cues", "-"], { stdin: SCORE });
    expect(page.stdout).toMatch(/^FOR THE CONDUCTOR/m);
    const cwd = temporaryFolder({ "score.xml": SCORE });
    const table = await runMuta(["cues", "score.xml", "-f", "csv"], { cwd });
    const [header, ...rows] = linesOf(table.stdout);
    expect(header).toMatch(/^file,title,movement,part,bar,pass,cue_for,change,/);
    expect(rows).toHaveLength(2);
  });

  it("says so where there is nothing to ask for, and nothing of others in a part alone", async () => {
    const ample = await runMuta(["cues", "-"], { stdin: partWithChange("ample") });
    expect(ample.stdout).toContain("nothing to ask for");
    const [tight] = (await cues(["-"], partWithChange("tight"))).parts;
    expect(tight!.requests).toHaveLength(1);
    expect(tight!.requests[0]).not.toHaveProperty("exposure");
  });

  it("keeps hostile names from spreadsheets and terminals", async () => {
    const hostile = SCORE.replace("Horn in F", "&#x202e;=Horn&#x9b;");
    const page = await runMuta(["cues", "-"], { stdin: hostile });
    expect(page.stdout).toContain("=Horn");
    expect(page.stdout).not.toMatch(/[\u202e\u009b]/);
    const csv = await runMuta(["cues", "-", "-f", "csv"], { stdin: hostile });
    expect(csv.stdout).not.toMatch(/[\u202e\u009b]/);
  });
});

describe("muta check on a score", () => {
  it("has a line for how each change lies in the orchestra, and the table stays as it is", async () => {
    const { stdout } = await runMuta(["check", "-", "--part", "Clarinet 1*"], { stdin: SCORE });
    expect(stdout).toMatch(/^ {6}exposed: only with Horn in F$/m);
    const csv = await runMuta(["check", "-", "-f", "csv"], { stdin: SCORE });
    expect(csv.stdout).not.toContain("exposed");
  });
});
