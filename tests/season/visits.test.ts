import { expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { FileAudit, Season } from "../../src/model/season.js";
import { visitsOf } from "../../src/season/visits.js";

/** What a file prints: the title, and that of the movement where it prints both. */
type Printed = readonly [title: string, movement: string];

/** What work and movement are called, of one work whose files print this. */
function namesOf(workTitle: string, printed: readonly Printed[]) {
  const movements = printed.map((_, k) => ({
    ...{ title: "", path: `${k + 1}.xml`, file: `${k + 1}.xml`, parts: [], tacet: false },
    ...{ partOf: {}, after: { kind: "usual" as const }, wishes: {} },
  }));
  const season: Season = {
    ...{ name: "", players: [], profile: USUAL_PROFILE },
    programmes: [{ name: "", date: "", works: [{ title: workTitle, movements }] }],
  };
  const audits = printed.map(([title, movement], k): FileAudit => ({
    ...{ file: `${k + 1}.xml`, title, movement, seats: [], durationSeconds: null, errors: [] },
  }));
  return visitsOf(season, audits).map(({ place }) => [place.work, place.movement]);
}

it.each<[string, string, readonly Printed[], readonly (readonly [string, string])[]]>([
  [
    "the titles that the files print both",
    "",
    [
      ["Two Weirs", "Spate"],
      ["Two Weirs", "Drought"],
    ],
    [
      ["Two Weirs", "Spate"],
      ["Two Weirs", "Drought"],
    ],
  ],
  [
    "the one title of each file, where they differ",
    "Two Weirs",
    [
      ["Spate", ""],
      ["Drought", ""],
      ["", ""],
    ],
    [
      ["Two Weirs", "Spate"],
      ["Two Weirs", "Drought"],
      ["Two Weirs", "3"],
    ],
  ],
  [
    "numbers, where every file prints the title of the piece",
    "",
    [
      ["Two Weirs", ""],
      ["Two Weirs", ""],
    ],
    [
      ["Two Weirs", "1"],
      ["Two Weirs", "2"],
    ],
  ],
  ["nothing in a work of one file", "", [["Two Weirs", ""]], [["Two Weirs", ""]]],
])("calls movements by %s", (_, work, printed, names) => {
  expect(namesOf(work, printed)).toEqual(names);
});
