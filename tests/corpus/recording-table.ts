import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { CORPUS_ROOT } from "../support/corpus.js";

/** A moment of a real performance, as timed by others: see the corpus's own README. */
export interface HeardMoment {
  /** Quarters from the start, in the order of performance. */
  readonly quarters: number;
  readonly bar: string;
  /** In the beats of the meter, from 1, rounded to four places. */
  readonly beat: number;
  readonly seconds: number;
}

const pathOf = (folder: string) => join(CORPUS_ROOT, "corpus", folder, "recording.csv");

export function hasRecording(folder: string): boolean {
  return existsSync(pathOf(folder));
}

export function heardMoments(folder: string): readonly HeardMoment[] {
  const rows: readonly Record<string, string>[] = parse(readFileSync(pathOf(folder), "utf8"), {
    columns: true,
  });
  return rows.map((row) => {
    const seconds = Object.entries(row).find(([name]) => name.endsWith("_tstamp"))?.[1];
    return {
      quarters: Number(row["qstamp"]),
      bar: row["measure"] ?? "",
      beat: Number(row["beat"]),
      seconds: Number(seconds),
    };
  });
}

/** The second at which a place was heard: straight between the moments around it. */
export function heardAt(moments: readonly HeardMoment[], quarters: number): number {
  const after = moments.findIndex((moment) => moment.quarters >= quarters);
  const [a, b] =
    after === 0
      ? [moments[0], moments[1]]
      : after < 0
        ? [moments.at(-2), moments.at(-1)]
        : [moments[after - 1], moments[after]];
  if (!a || !b) throw new Error("a recording has at least two moments");
  return (
    a.seconds + ((quarters - a.quarters) * (b.seconds - a.seconds)) / (b.quarters - a.quarters)
  );
}
