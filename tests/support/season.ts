import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import type { Verdict } from "../../src/model/finding.js";
import { changeBars, REST_BARS, temporaryFolder } from "./run-muta.js";
import { A, attributes, B_FLAT, metronome, note, scoreXml } from "./score-xml.js";

/** A change that a generated season has. */
export interface ExpectedChange {
  readonly work: string;
  readonly movement: string;
  readonly kind: "change" | "between-movements";
  readonly from: "clarinet-bflat" | "clarinet-a";
  readonly to: "clarinet-bflat" | "clarinet-a";
  readonly verdict: Verdict;
}

export interface GeneratedSeason {
  readonly folder: string;
  readonly changes: readonly ExpectedChange[];
  /** Those that cannot be read, relative to the folder. */
  readonly broken: readonly string[];
}

const VERDICT_CYCLE: readonly (Verdict | "plain-bflat" | "plain-a")[] = [
  "ample",
  "plain-a",
  "tight",
  "plain-bflat",
  "impossible",
  "workable",
  "plain-a",
];

/** What a file may be instead of a score. */
const BROKEN = ["", "%PDF-1.7", "<score-partwise><part-list>"];

/**
 * Folders of works with four movements each. What changes in them is known from how they are made: inside a
 * movement by `REST_BARS`; between two of them, which end and begin with a full bar, the pause of which 5 s count
 * is all there is, and the usual hands need 3.5 s: less than 1.5 times that, so it is tight.
 * @param broken how many files are no scores, from 0 to 3
 */
export function generateSeason(movements: number, broken: number): GeneratedSeason {
  const folder = temporaryFolder();
  const changes: ExpectedChange[] = [];
  const brokenFiles: string[] = [];
  let before: { work: string; movement: string; on: ExpectedChange["to"] } | undefined;
  for (let k = 0; k < movements; k++) {
    const work = `Work ${Math.floor(k / 4) + 1}`;
    const movement = String((k % 4) + 1);
    const file = `${work}/${movement}.musicxml`;
    if (before?.work !== work) before = undefined;
    const brokenIndex = [5, 18, 30].slice(0, broken).indexOf(k);
    if (brokenIndex >= 0) {
      writeNested(folder, file, BROKEN[brokenIndex] ?? "");
      brokenFiles.push(file);
      before = undefined;
      continue;
    }
    const kind = VERDICT_CYCLE[k % VERDICT_CYCLE.length] ?? "plain-a";
    const opens = kind === "plain-a" ? "clarinet-a" : "clarinet-bflat";
    if (before && before.on !== opens) {
      const { work: left, movement: from } = before;
      changes.push({
        ...{ work: left, movement: from, kind: "between-movements", verdict: "tight" },
        ...{ from: before.on, to: opens },
      });
    }
    if (kind === "plain-a" || kind === "plain-bflat") {
      writeNested(folder, file, plainMovement(kind === "plain-a" ? A : B_FLAT));
      before = { work, movement, on: opens };
    } else {
      writeNested(folder, file, scoreXml([{ bars: changeBars(REST_BARS[kind]) }]));
      changes.push({
        ...{ work, movement, kind: "change", from: "clarinet-bflat", to: "clarinet-a" },
        verdict: kind,
      });
      before = { work, movement, on: "clarinet-a" };
    }
  }
  return { folder, changes, broken: brokenFiles };
}

/** Two bars without a change, 4/4 at quarter = 120. */
export function plainMovement(transpose: readonly [number, number], title = ""): string {
  const first = attributes({ meter: "4/4", fifths: 0, transpose }) + metronome("quarter", "120");
  const header = title === "" ? "" : `<work><work-title>${title}</work-title></work>`;
  return scoreXml([{ bars: [first + note("C5", 4), note("E5", 4)] }], header);
}

/** Writes a file and the folders it is in. */
export function writeNested(folder: string, file: string, content: string): void {
  mkdirSync(dirname(join(folder, file)), { recursive: true });
  writeFileSync(join(folder, file), content);
}
