import { existsSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

const season = (part: string) =>
  JSON.stringify({
    players: [
      { name: "Ida Quill", part: "*" },
      { name: "Bo Tarn", part },
    ],
    works: ["a.musicxml", "b.musicxml"],
  });

it("tells of a player whose part is in no piece, and of no other", async () => {
  const files = { "a.musicxml": partWithChange("tight"), "b.musicxml": partWithChange("ample") };
  const cwd = temporaryFolder({
    ...files,
    "slip.json": season("Clarinett 2*"),
    "right.json": season("*"),
  });
  const slip = await runMuta(["audit", "slip.json"], { cwd });
  expect(slip.stderr).toBe(
    'muta: Bo Tarn has a part in no piece that was read: none is called "Clarinett 2*"\n',
  );
  expect(slip.code).toBe(0);
  expect((await runMuta(["audit", "right.json"], { cwd })).stderr).toBe("");
});

it("says in the list of what to carry that a file was not read", async () => {
  const cwd = temporaryFolder({
    "a.musicxml": partWithChange("tight"),
    "b.musicxml": "<score-partwise",
    "season.json": season("*"),
  });
  const { stdout, code } = await runMuta(["audit", "season.json"], {
    cwd,
    env: { COLUMNS: "200" },
  });
  expect(code).toBe(2);
  const carried = stdout
    .split("TO CARRY")[1]
    ?.split("\n")
    .filter((line) => line.includes(":"));
  expect(carried?.slice(0, 2)).toEqual([
    expect.stringMatching(/Ida Quill: .*; 1 file not read: what it needs is not known$/),
    expect.stringMatching(/Bo Tarn: .*; 1 file not read: what it needs is not known$/),
  ]);
});

it.each(["season.ods", "season.PDF", "season.html"])(
  "writes no page of text under the name of something else: %s",
  async (name) => {
    const cwd = temporaryFolder({ "a.musicxml": partWithChange("tight") });
    const { stderr, code } = await runMuta(["audit", "a.musicxml", "--out", name], { cwd });
    expect(code).toBe(2);
    expect(stderr).toContain("muta cannot write .");
    expect(existsSync(join(cwd, name))).toBe(false);
  },
);
