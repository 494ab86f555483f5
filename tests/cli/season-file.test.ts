import { describe, expect, it } from "vitest";
import { parseSeason, readSeason } from "../../src/cli/season-file.js";
import { readPause } from "../../src/cli/season-draft.js";
import { runMuta, temporaryFolder } from "../support/run-muta.js";
import { plainMovement } from "../support/season.js";
import { A } from "../support/score-xml.js";

const lines = (...text: readonly string[]) => text.join("\n");

describe("a season file", () => {
  it("is the same as YAML and as a table", async () => {
    const yaml = await readSeason("fixtures/season/season.yaml", undefined);
    const table = await readSeason("fixtures/season/season.csv", undefined);
    const shape = (works: (typeof yaml)["season"]["programmes"][number]["works"] = []) =>
      works.map(({ movements }) => movements.map(({ file, after }) => [file, after]));
    expect(shape(table.season.programmes[0]?.works)).toEqual(
      shape(yaml.season.programmes[0]?.works),
    );
    expect(table.season.programmes[0]).toMatchObject({ name: "Opening night", date: "2027-04-10" });
  });

  it("has its paths from where it stands, and names what it was read from", async () => {
    const { season, inputs } = await readSeason("fixtures/season/season.yaml", undefined);
    const [opening, hall] = season.programmes;
    expect(opening?.works[1]?.movements[0]?.path).toBe(
      "fixtures/demo/lanterns-on-the-weir.musicxml",
    );
    expect(hall?.works[0]?.movements.map(({ path }) => path)).toEqual([
      "fixtures/season/three-tide-pools/1-ebb.musicxml",
      "fixtures/season/three-tide-pools/2-slack-water.musicxml",
      "fixtures/season/three-tide-pools/3-flood.musicxml",
    ]);
    expect(hall?.works[1]?.movements[0]?.wishes.tempoSheet).toHaveLength(3);
    expect(season.players.map(({ name, profile }) => [name, profile.name])).toEqual([
      ["Ida Quill", "Ida Quill"],
      ["Bo Tarn", "usual figures"],
    ]);
    expect(inputs).toEqual([
      "fixtures/season/season.yaml",
      "fixtures/season/ida.yaml",
      "fixtures/demo/tempi-of-the-season.yaml",
    ]);
  });

  it("may be short", () => {
    const draft = parseSeason("works:\n  - a.mxl\n  - suite\n", ".yaml");
    expect(draft.programmes).toMatchObject([
      { name: "", works: [{ movements: [{ file: "a.mxl" }] }, { folder: "suite", movements: [] }] },
    ]);
  });

  it("gives the part of a work to its movements, for all or for each player", () => {
    const text = lines(
      "works:",
      "  - title: W",
      "    part: { Ida: Clarinet 3 }",
      "    movements:",
      "      - 1.xml",
      "      - { file: 2.xml, part: solo }",
      "      - { file: 3.xml, tacet: true }",
    );
    expect(parseSeason(text, ".yaml").programmes[0]?.works[0]?.movements).toMatchObject([
      { part: [], partOf: { Ida: "Clarinet 3" } },
      { part: ["solo"], partOf: {} },
      { tacet: true },
    ]);
  });
});

describe("a date", () => {
  it.each(["10.4.2027", "2027-4-10", "2027-02-30", "2027-13-01", "someday"])(
    "%j is refused with its line, in both kinds of file",
    (date) => {
      const yaml = lines("programmes:", `  - { name: P, date: "${date}", works: [a.xml] }`);
      expect(() => parseSeason(yaml, ".yaml")).toThrow(/line 2: .*date: must be a day/);
      const table = lines("programme,date,file", `P,${date},a.xml`);
      expect(() => parseSeason(table, ".csv")).toThrow(/line 2: date: must be a day/);
    },
  );

  it("may be left out, or be the last of February", () => {
    const text = lines("programmes:", '  - { name: P, date: "2028-02-29", works: [a.xml] }');
    expect(parseSeason(text, ".yaml").programmes[0]?.date).toBe("2028-02-29");
    const table = lines("programme,date,file", "P,,a.xml");
    expect(parseSeason(table, ".csv").programmes[0]?.date).toBe("");
  });
});

describe("what follows a movement", () => {
  it.each([
    ["attacca", { kind: "attacca" }],
    ["Attacca ", { kind: "attacca" }],
    ["20", { kind: "seconds", seconds: 20 }],
    ["20 s", { kind: "seconds", seconds: 20 }],
    ["2 min", { kind: "seconds", seconds: 120 }],
    ["1,5 min", { kind: "seconds", seconds: 90 }],
    ["1:30", { kind: "seconds", seconds: 90 }],
    ["long", undefined],
    ["-5", undefined],
    ["99999", undefined],
  ])("%s", (text, gap) => {
    expect(readPause(text)).toEqual(gap);
  });
});

describe("a season file with a fault", () => {
  it.each([
    ["nothing", "", /there are no works in it/],
    ["no list", "works: 3", /^line 1: works: must be a list/],
    ["both lists", "works: [a.xml]\nprogrammes: []", /^line 1: works: stands beside programmes/],
    [
      "a field that is none",
      "works:\n  - file: a.xml\n    tittle: X",
      /^line 3: work 1, tittle: is not a field of a work; the fields are title, file/,
    ],
    [
      "a work of nothing",
      "works:\n  - title: X",
      /^line 2: work 1: must have one of file, folder and movements/,
    ],
    [
      "a movement without file",
      "works:\n  - movements:\n      - a.xml\n      - title: X",
      /^line 4: work 1, movement 2, file: is missing/,
    ],
    [
      "a pause",
      "works:\n  - file: a.xml\n    pause: soon",
      /^line 3: work 1, pause: must be attacca, or how long/,
    ],
    [
      "a movement that is a list",
      "works:\n  - movements: [[]]",
      /^line 2: work 1, movement 1: must be a movement with the fields/,
    ],
    [
      "a programme without name",
      "programmes:\n  - works: [a.xml]",
      /^line 2: programme 1, name: is missing/,
    ],
    [
      "a tempo of a folder",
      "works:\n  - folder: f\n    tempo: t.yaml",
      /^line 3: work 1, tempo: belongs to a movement/,
    ],
    ["a player", "players:\n  - part: x\nworks: [a.xml]", /^line 2: player 1, name: is missing/],
    ["no YAML", "works: [", /not readable as YAML/],
  ])("says where: %s", (_, text, message) => {
    expect(() => parseSeason(text, ".yaml")).toThrow(message);
  });

  it.each([
    ["nothing", "", /there are no works/],
    ["no file column", "work\nx\n", /^line 1: the header row must name file/],
    ["another column", "file,wurst\n", /no works|not a column/],
    ["no file", "work,file\nX,\n", /^line 2: file: is missing/],
    ["a pause", "file,pause\na.xml,soon\n", /^line 2: pause: must be attacca/],
  ])("in a table: %s", (_, text, message) => {
    expect(() => parseSeason(text, ".csv")).toThrow(message);
  });

  it("stops the command with one line", async () => {
    const folder = temporaryFolder({
      "a.xml": plainMovement(A),
      "twice.yaml": "players: [{ name: Ida }, { name: Ida }]\nworks: [a.xml]",
      "stranger.yaml": "works:\n  - file: a.xml\n    part: { Bo: x }",
      "folder.yaml": "works:\n  - folder: none",
      "profile.yaml": "profile: hands.yaml\nworks: [a.xml]",
    });
    for (const [file, message] of [
      ["twice.yaml", "twice.yaml: line 1: there are two players called Ida"],
      ["stranger.yaml", "stranger.yaml: line 2: part: Bo is none of the players"],
      ["folder.yaml", "folder.yaml: line 2: folder: there is no folder none"],
      ["profile.yaml", "hands.yaml: there is no such file"],
    ]) {
      const { code, stdout, stderr } = await runMuta(["audit", file ?? ""], { cwd: folder });
      expect({ code, stdout, stderr }).toEqual({
        code: 2,
        stdout: "",
        stderr: `muta: ${message}\n`,
      });
    }
  });
});
