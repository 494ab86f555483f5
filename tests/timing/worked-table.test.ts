import { describe, expect, it } from "vitest";
import { attributes, metronome, rest } from "../support/score-xml.js";
import type { WorkedRow } from "./marks.js";
import { performFirst } from "./times.js";
import { RAMPS } from "./worked-ramp-cases.js";
import { RELATIONS } from "./worked-relation-cases.js";
import { SHEETS } from "./worked-sheet-cases.js";
import { STEADY } from "./worked-steady-cases.js";

const TABLES: Readonly<Record<string, readonly WorkedRow[]>> = {
  "steady tempi": STEADY,
  "relations between tempi": RELATIONS,
  "gradual changes": RAMPS,
  "the player's sheet": SHEETS,
};

describe.each(Object.entries(TABLES))("seconds worked by hand: %s", (_, rows) => {
  const cases = rows.map(([name, bars, likely, wishes]) => ({ name, bars, likely, wishes }));
  it.each(cases)("$name", ({ bars, likely, wishes }) => {
    const { seconds } = performFirst([{ bars }], wishes);
    expect(seconds.likely).toBeCloseTo(likely, 9);
  });
});

describe("a beat at 60 lasts a second", () => {
  // Quarters in each note value, by what the values are to each other.
  it.each([
    ["maxima", 32],
    ["long", 16],
    ["breve", 8],
    ["whole", 4],
    ["half", 2],
    ["quarter", 1],
    ["eighth", 1 / 2],
    ["16th", 1 / 4],
    ["32nd", 1 / 8],
    ["64th", 1 / 16],
    ["128th", 1 / 32],
    ["256th", 1 / 64],
    ["512th", 1 / 128],
    ["1024th", 1 / 256],
  ])("%s, with up to three dots", (unit, quarters) => {
    // A dot adds half of the value, the next one half of that, and so on.
    for (const [dots, length] of [1, 1.5, 1.75, 1.875].entries()) {
      const content = metronome(unit, "60", dots) + rest(quarters * length);
      const { seconds } = performFirst([{ bars: [attributes({ meter: "4/4" }) + content] }]);
      expect(seconds.likely, `${dots} dots`).toBeCloseTo(1, 9);
    }
  });
});
