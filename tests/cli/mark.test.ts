import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { changeBars, partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";
import { attributes, B_FLAT, note, scoreXml } from "../support/score-xml.js";
import { container, zip } from "../support/zip.js";

const DEMO = resolve("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
const PART = partWithChange("ample");
const CHANGE = "<words>» A clarinet: 12.0 s, hands 3.5 s</words>";

const markPiped = (args: readonly string[], stdin: string | Uint8Array = PART) =>
  runMuta(["mark", "-", ...args], { stdin });

describe("muta mark", () => {
  it("writes the document with its marks to standard output", async () => {
    const { code, stdout, stderr } = await markPiped([]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    expect(stdout).toContain(CHANGE);
    expect(stdout).toContain("<eyeglasses/>");
  });

  it("takes a compressed file, and UTF-16", async () => {
    const archive = zip([container('full-path="score.xml"'), { name: "score.xml", data: PART }]);
    const plain = (await markPiped([])).stdout;
    expect((await markPiped([], archive)).stdout).toBe(plain);
    const wide = Buffer.from(`\ufeff${PART.replace('"UTF-8"', '"UTF-16"')}`, "utf16le");
    expect((await markPiped([], wide)).stdout).toContain(CHANGE);
    expect((await markPiped([], wide)).stdout).toContain('encoding="UTF-8"');
  });

  it("goes by the player's tempo sheet", async () => {
    const cwd = temporaryFolder({
      "tempo.csv": "bar,tempo\n1,60\n",
      "part.xml": PART,
    });
    const run = await runMuta(["mark", "part.xml", "--tempo", "tempo.csv"], { cwd });
    expect(run.stderr).toBe("");
    // Twice as slow as the print.
    expect(run.stdout).toContain("» A clarinet: 24.0 s, hands 3.5 s");
  });

  it("chooses a part of a score, and leaves the others as they are", async () => {
    const oboe = { name: "Oboe", bars: [attributes({ meter: "4/4" }) + note("C5", 4)] };
    const score = scoreXml([oboe, { bars: changeBars(6) }, { bars: changeBars(6) }]);
    const refused = await markPiped([], score);
    expect(refused.code).toBe(2);
    expect(refused.stderr).toContain("one part is marked at a time; choose with --part from P2");
    const { stdout } = await markPiped(["--part", "P3"], score);
    expect(stdout.slice(0, stdout.indexOf('<part id="P3">'))).toBe(
      score.slice(0, score.indexOf('<part id="P3">')),
    );
    expect(stdout).toContain(CHANGE);
  });

  it("reads a timewise score", async () => {
    const bars = changeBars(6).map(
      (bar, k) => `<measure number="${k + 1}"><part id="P1">${bar}</part></measure>`,
    );
    const timewise = `<score-timewise version="4.0"><part-list><score-part id="P1"><part-name>Clarinet in Bb</part-name></score-part></part-list>${bars.join("\n")}</score-timewise>`;
    const { stdout } = await markPiped([], timewise);
    expect(stdout).toContain(CHANGE);
    expect(stdout.replace(/<direction placement="above">[^]*?<\/direction>/g, "")).toBe(timewise);
  });

  it("says that a staff is read by several players", async () => {
    const shared = PART.replace("Clarinet in Bb", "Clarinets 1 2 in Bb");
    expect((await markPiped([], shared)).stderr).toContain("several players read this staff");
    expect((await markPiped(["--player", "2"], shared)).stderr).toBe("");
  });

  it("says so where there is nothing to mark", async () => {
    const plain = scoreXml([
      { bars: [attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + note("C5", 4)] },
    ]);
    const { code, stdout, stderr } = await markPiped([], plain);
    expect({ code, stderr }).toEqual({
      code: 0,
      stderr: "muta: nothing to mark: no change of instrument was found\n",
    });
    expect(stdout).toBe(plain);
  });

  it("never writes to its input, nor over a file unless --force is given, nor as .mxl", async () => {
    const cwd = temporaryFolder({ "part.xml": PART, "old.xml": "old" });
    const run = (out: string, ...more: string[]) =>
      runMuta(["mark", "part.xml", "--out", out, ...more], { cwd });
    expect((await run("part.xml", "--force")).code).toBe(2);
    expect((await run("old.xml")).code).toBe(2);
    expect((await run("new.mxl")).stderr).toContain("the result is not compressed");
    expect(readFileSync(join(cwd, "part.xml"), "utf8")).toBe(PART);
    expect((await run("old.xml", "--force")).code).toBe(0);
    expect(readFileSync(join(cwd, "old.xml"), "utf8")).toContain(CHANGE);
  });

  it("makes a file of the demo that check reports on as before", async () => {
    const cwd = temporaryFolder({ "demo.musicxml": readFileSync(DEMO) });
    expect((await runMuta(["mark", "demo.musicxml", "--out", "m.musicxml"], { cwd })).code).toBe(0);
    const [before, after] = await Promise.all(
      ["demo.musicxml", "m.musicxml"].map(async (file) => {
        const { stdout } = await runMuta(["check", file], { cwd });
        return stdout.replaceAll(file, "FILE");
      }),
    );
    expect(after).toBe(before);
  });
});
