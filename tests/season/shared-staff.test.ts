import { expect, it } from "vitest";
import { runMuta, temporaryFolder } from "../support/run-muta.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
} from "../support/score-xml.js";

const LATER = [
  words("1.") + note("E5", 4),
  note("F5", 4),
  words("a 2") + words("muta in La") + rest(4),
  attributes({ fifths: 0, transpose: A }) + note("E5", 4),
];

/** One staff of two: the first plays on by himself, then both take the A clarinet. */
const STAFF = scoreXml([
  {
    name: "Clarinets in B♭",
    bars: [
      attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) +
        metronome("quarter", "60") +
        words("a 2") +
        note("C5", 4),
      ...LATER,
    ],
  },
]);

const SEASON = `players:
  - { name: Ida Quill, part: "Clarinets*", player: 1 }
  - { name: Bo Tarn, part: "Clarinets*", player: 2 }
works:
  - dusk.musicxml
`;

it("gives each reader of a shared staff the rests of that reader", async () => {
  const cwd = temporaryFolder({ "dusk.musicxml": STAFF, "season.yaml": SEASON });
  const columns = "player,from,to,leave_bar,enter_bar,rest_quarters,rest_seconds_likely";
  const args = ["audit", "season.yaml", "--format", "csv", "--columns", columns];
  const { stdout, stderr } = await runMuta(args, { cwd, env: { MUTA_CACHE: `${cwd}/cache` } });
  expect(stderr).toBe("");
  // A bar of four quarters lasts 4 s at 60 a minute: one bar for the first, three for the second.
  expect(stdout.trim().split(/\r?\n/)).toEqual([
    columns,
    "Ida Quill,clarinet-bflat,clarinet-a,3,5,4,4",
    "Bo Tarn,clarinet-bflat,clarinet-a,1,5,12,12",
  ]);
});
