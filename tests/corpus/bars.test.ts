import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { CORPUS_ROOT, corpusScores, describeCorpus } from "../support/corpus.js";
import { clarinetParts } from "./sounding-table.js";

/** A bar of `bars.json`: the file lists a bar where its description is not that of the one before. */
interface ListedBar {
  readonly count: number;
  readonly qstamp: number;
  readonly name: string;
  readonly time_signature: string;
  readonly actual_length: number;
  readonly start_repeat: boolean;
  readonly end_repeat: boolean;
}

const withMaps = corpusScores().filter(({ path }) =>
  existsSync(path.replace("score.mxl", "bars.json")),
);

// Source: measure maps of the OpenScore Orchestra corpus (MarkGotham/Hauptstimme), made by other software.
describeCorpus("bars.json of the corpus", () => {
  it.each(withMaps)(
    "$name: numbers, places, meters, lengths and repeats of every bar",
    async ({ name }) => {
      const listed = JSON.parse(
        readFileSync(join(CORPUS_ROOT, "corpus", name, "bars.json"), "utf8"),
      ) as readonly ListedBar[];
      const { score, parts } = await clarinetParts(name);
      for (const part of parts) {
        const { bars } = score.timeline(part.id);
        expect(bars).toHaveLength(listed.at(-1)?.count ?? 0);
        listed.forEach((entry, k) => {
          const bar = bars[entry.count - 1];
          expect(bar?.writtenQuarters.valueOf()).toBe(entry.qstamp);
          expect(bar?.lengthQuarters.valueOf()).toBe(entry.actual_length);
          expect(bar?.meter.label).toBe(entry.time_signature);
          expect(bar?.repeatStart).toBe(entry.start_repeat);
          expect(bar?.repeatEnd !== undefined).toBe(entry.end_repeat);
          // Letters mark endings there (54a, 57b); the printed numbers are without them.
          expect(bar?.barLabel).toBe(entry.name.replace(/[a-z]$/, ""));
          // The bars up to the next listed one are like this one, except after an incomplete bar.
          const alike = bars.slice(entry.count, (listed[k + 1]?.count ?? 1) - 1);
          expect(alike.filter(({ meter }) => meter.label !== entry.time_signature)).toEqual([]);
          expect(
            alike.filter(({ lengthQuarters, meter }) => !lengthQuarters.equals(meter.barQuarters)),
          ).toEqual([]);
        });
      }
    },
  );
});
