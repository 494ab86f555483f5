import { expect, it } from "vitest";
import { join } from "node:path";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Season } from "../../src/model/season.js";
import { auditFile } from "../../src/season/audit-file.js";
import { runJobs, seasonJobs } from "../../src/season/jobs.js";
import { seasonReport } from "../../src/season/report.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";

describeCorpus("the four movements of the symphony as a work of a season", () => {
  it("has the changes between the second and third, and the third and fourth movement", async () => {
    // By the part list of the scores (../shared/corpus): clarinets in A, A, B-flat, A; none changes inside one.
    const season: Season = {
      ...{ name: "", players: [], profile: USUAL_PROFILE },
      programmes: [
        {
          ...{ name: "", date: "" },
          works: [
            {
              title: "Symphony",
              movements: [1, 2, 3, 4].map((number) => ({
                ...{ title: "", parts: [], tacet: false, partOf: {}, wishes: {} },
                path: join(CORPUS_ROOT, `corpus/brahms-op98-${number}/score.mxl`),
                file: `${number}`,
                after: { kind: "usual" as const },
              })),
            },
          ],
        },
      ],
    };
    const report = seasonReport(season, await runJobs(seasonJobs(season), auditFile));
    expect(
      report.rows.map(
        (row) =>
          row.kind === "change" && [
            row.player,
            row.file,
            row.into?.file,
            row.change.from,
            row.change.to,
          ],
      ),
    ).toEqual([
      ["Clarinet 1", "2", "3", "clarinet-a", "clarinet-bflat"],
      ["Clarinet 2", "2", "3", "clarinet-a", "clarinet-bflat"],
      ["Clarinet 1", "3", "4", "clarinet-bflat", "clarinet-a"],
      ["Clarinet 2", "3", "4", "clarinet-bflat", "clarinet-a"],
    ]);
    expect(report.kits.map(({ player, stands }) => [player, stands])).toEqual([
      ["Clarinet 1", 1],
      ["Clarinet 2", 1],
    ]);
  });
});
