import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { analysePart } from "../src/analyses/index.js";
import { USUAL_PROFILE } from "../src/instruments/usual-profile.js";
import { selectParts } from "../src/instruments/select-parts.js";
import { openScore } from "../src/musicxml/document.js";
import { readScoreFile } from "../src/musicxml/source.js";

/** Worked out by hand in the header of scripts/demo-piece/write.js, from the printed meters and tempi. */
const CHANGES = [
  ["clarinet-bflat", "clarinet-a", "8 1 4", "17 1 1", 33, 23.571, "ample"],
  ["clarinet-a", "clarinet-bflat", "28 1 3", "31 1 2", 8.5, 4.639, "tight"],
  ["clarinet-bflat", "clarinet-a", "35 1 2", "46 1 1", 31.5, 15.75, "ample"],
  ["clarinet-a", "clarinet-bflat", "50 1 2", "31 2 2", 3, 1.5, "impossible"],
  ["clarinet-bflat", "clarinet-a", "35 2 2", "46 2 1", 31.5, 15.75, "ample"],
  ["clarinet-a", "clarinet-bflat", "59 1 3", "61 1 2", 4.5, 2.143, "impossible"],
  ["clarinet-bflat", "clarinet-a", "67 1 2", "72 1 1", 9, 4.286, "tight"],
  ["clarinet-a", "bass-clarinet-bflat", "81 1 3", "91 1 1", 29, 29, "ample"],
  ["bass-clarinet-bflat", "clarinet-bflat", "100 1 3", "109 1 1", 33, 17, "ample"],
  ["clarinet-bflat", "clarinet-a", "113 1 3", "122 1 1", 34, 17, "ample"],
] as const;

async function report(file: string) {
  const { bytes, name } = await readScoreFile(file);
  const score = openScore(bytes);
  const [part] = selectParts(score.parts, ["clarinet 2"]);
  return analysePart(score.timeline(part?.id ?? ""), USUAL_PROFILE, { ...score, file: name });
}

describe.each([
  "fixtures/demo/lanterns-on-the-weir.musicxml",
  "fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml",
])("the demo piece, %s", (file) => {
  it("has the changes of its table", async () => {
    const { changes } = await report(file);
    const place = (each: { barLabel: string; pass: number; beat: number }) =>
      `${each.barLabel} ${each.pass} ${each.beat}`;
    expect(
      changes.map(({ from, to, leave, enter, rest, verdict }) => [
        from,
        to,
        place(leave),
        place(enter),
        rest.quarters.valueOf(),
        Number(rest.seconds.likely.toFixed(3)),
        verdict,
      ]),
    ).toEqual(CHANGES);
  });

  it("shows the change that the repeat makes, and the misprint", async () => {
    const { changes } = await report(file);
    expect(changes[3]?.evidence.map(({ kind }) => kind)).toEqual(["repeat"]);
    expect(
      changes.flatMap(({ disagreements, number }) => (disagreements.length > 0 ? [number] : [])),
    ).toEqual([10]);
  });

  it("turns a page inside a rest only in the player's own part", async () => {
    const { changes } = await report(file);
    const turns = changes.filter(({ needed }) =>
      needed.steps.some(({ action }) => action === "page-turn"),
    );
    expect(turns.map(({ number }) => number)).toEqual(file.includes("clarinet-2") ? [8] : []);
  });
});

it("is what the script in the repository writes", () => {
  const folder = mkdtempSync(join(tmpdir(), "muta-demo-"));
  try {
    cpSync("scripts/demo-piece", join(folder, "scripts/demo-piece"), { recursive: true });
    cpSync("package.json", join(folder, "package.json"));
    symlinkSync(resolve("node_modules"), join(folder, "node_modules"));
    const run = spawnSync(process.execPath, ["scripts/demo-piece/write.js"], {
      cwd: folder,
      encoding: "utf8",
    });
    expect(run.stderr).toBe("");
    const written = readdirSync(join(folder, "fixtures/demo"));
    // Beside the music stand a tempo sheet and a recording's timings, written by hand.
    const music = readdirSync("fixtures/demo").filter((name) => name.endsWith(".musicxml"));
    expect(written.sort()).toEqual(music.sort());
    for (const name of written) {
      expect(readFileSync(join(folder, "fixtures/demo", name), "utf8")).toBe(
        readFileSync(join("fixtures/demo", name), "utf8"),
      );
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
});
