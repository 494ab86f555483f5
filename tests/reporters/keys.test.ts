import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { InstrumentChoice, PartReport } from "../../src/model/report.js";
import { PLAIN } from "../../src/reporters/index.js";
import { KEYS_REPORTERS, type KeysFormat } from "../../src/reporters/keys.js";
import { bestChoice, wholePart } from "../../src/reporters/util/choices.js";
import { note, rest } from "../support/score-xml.js";
import { dynamics, opening, ornament, reportOf, run } from "../analyses/difficulty-cases.js";

/** D major for the B-flat clarinet at 11 notes a second; then a trill, and a long rest. */
const PART = reportOf([
  opening(165, { fifths: 2 }) + run("D#5 C5 B4 D#5", 0.25) + rest(3),
  note("B4", 2, ornament("<trill-mark/>")) + note("D5", 2, ornament("<trill-mark/>")),
]);

function show(format: KeysFormat, part: PartReport, width = 100): string {
  const options = { width, style: PLAIN, entries: false, bom: false };
  return KEYS_REPORTERS[format]({ parts: [part], errors: [] }, options);
}

const section = (page: string, name: string) =>
  (page.split("\n\n").find((each) => each.startsWith(name)) ?? "").split("\n").slice(1);

describe("the best choice", () => {
  const choices = (...scores: readonly number[]) =>
    scores.map((score, k) => ({
      instrument: k === 0 ? "clarinet-bflat" : "clarinet-a",
      printed: k === 0,
      outOfRange: 0,
      difficulty: { score },
    })) as unknown as readonly InstrumentChoice[];
  // Plainly easier: by 0.2 points and by 15 % of the printed score.
  it.each([
    ["the printed one of two alike", [1, 1], "clarinet-bflat"],
    ["the printed one when it is easier", [1, 2], "clarinet-bflat"],
    ["not for 0.19 points", [0.5, 0.31], "clarinet-bflat"],
    ["for 0.25 points of a half", [0.5, 0.25], "clarinet-a"],
    ["not for 0.25 points of 2", [2, 1.75], "clarinet-bflat"],
    ["for 0.5 points of 2", [2, 1.5], "clarinet-a"],
  ] as const)("%s", (_, scores, expected: InstrumentId) => {
    expect(bestChoice({ choices: choices(...scores) })?.instrument).toBe(expected);
  });

  it("of the whole part weighs passages by their notes, and is none without notes", () => {
    const passages = [
      { noteCount: 30, choices: choices(1, 2) },
      { noteCount: 10, choices: choices(3, 1) },
    ] as unknown as PartReport["passages"];
    // (30 x 1 + 10 x 3) / 40, (30 x 1 + 10 x 1) / 40, (30 x 2 + 10 x 1) / 40
    expect(wholePart({ passages })).toEqual({
      printed: 1.5,
      best: 1,
      onOne: [
        { instrument: "clarinet-bflat", score: 1.5 },
        { instrument: "clarinet-a", score: 1.75 },
      ],
    });
    expect(wholePart({ passages: [] })).toBeUndefined();
  });
});

describe("the page", () => {
  it("has a row for each passage with every instrument", () => {
    const [header, row] = section(show("text", PART), "PASSAGES");
    expect(header).toMatch(/^ {2}bars +notes +per s +B♭ +A +lies best on$/);
    expect(row).toMatch(/^ {2}1–2 +6 +[\d.]+ +2♯ \+2 [\d.]+\* +3♭ \+2 [\d.]+ +(A|as printed)$/);
  });

  it("says the hard place with what it is on the other clarinet", () => {
    expect(section(show("text", PART, 200), "HARDEST").join("\n")).toMatch(
      /bar 1.* at 11 notes a second, the right little finger slides; on A .*, lighter/,
    );
  });

  it("says a trill that lies badly, where it lies well, and counts the others", () => {
    expect(section(show("text", PART, 200), "TRILLS")).toEqual([
      expect.stringMatching(/^ {2}bar 2: trill B4–C♯5 lies awkwardly, .*; well on A$/),
      "  1 more lie well",
    ]);
  });

  it("says what is out of reach instead of a figure", () => {
    const low = reportOf([opening() + run("D3 E3 C4 C4", 1)]);
    expect(section(show("text", low), "PASSAGES")[1]).toMatch(/ 1 too low\* /);
  });

  it("says the limits and the usual caution with tongue, breath and lip", () => {
    const soft = reportOf([opening(40) + dynamics("p") + note("C6", 4)]);
    const lines = section(show("text", soft, 200), "TONGUE");
    expect(lines[0]).toBe("  bar 1: C6 p for 6.0 s (usual limit 4 s)");
    expect(lines[1]).toMatch(/your teacher/);
    expect(show("text", PART)).not.toContain("TONGUE");
  });

  it("says how an instrument without fingerings was rated", () => {
    const flute = reportOf([opening(60, { transpose: [0, 0] }) + run("C5 D5 E5 F5", 1)], {
      name: "Flute",
    });
    const page = show("text", flute);
    expect(page).toContain("flute: rated by key, range and speed, no table of fingerings here");
    expect(page).not.toContain("over the break");
  });

  it("of an empty part, and of one note", () => {
    expect(show("text", reportOf([opening() + rest(4)]))).toContain("nothing is played");
    const one = section(show("text", reportOf([opening() + note("C5", 4)])), "PASSAGES");
    expect(one[1]).toMatch(/^ {2}1 +1 +0 0\.0\* +5♭ 0\.0 +as printed$/);
  });

  it.each([40, 60, 80])("keeps within %i columns", (width) => {
    const lines = show("text", PART, width).split("\n");
    expect(lines.filter((each) => [...each].length > width)).toEqual([]);
  });
});

describe("the table", () => {
  it("has a row for each instrument of each passage", () => {
    const rows: readonly Record<string, string>[] = parse(show("csv", PART), { columns: true });
    expect(rows.map(({ passage, instrument, printed, written_fifths }) => [passage, instrument, printed, written_fifths])).toEqual([
      ["1", "clarinet-bflat", "yes", "2"],
      ["1", "clarinet-a", "no", "-3"],
    ]); // prettier-ignore
    expect(rows.filter(({ best }) => best === "yes")).toHaveLength(1);
  });

  it.each(["=1+1", "+1", "-1", "@x", "\t=1"])("keeps %j from being a formula", (title) => {
    const [row]: readonly Record<string, string>[] = parse(
      show("csv", { ...PART, title, movement: title }),
      {
        columns: true,
      },
    );
    expect(row).toMatchObject({ title: `'${title}`, movement: `'${title}` });
  });

  it("is its header alone for an empty part", () => {
    expect(
      show("csv", reportOf([opening() + rest(4)]))
        .trimEnd()
        .split("\r\n"),
    ).toHaveLength(1);
  });
});

describe("the document", () => {
  interface Document {
    readonly schema: string;
    readonly parts: readonly {
      readonly part: Readonly<Record<string, unknown>>;
      readonly title: string;
      readonly whole?: unknown;
      readonly passages: readonly { readonly best: string; readonly choices: readonly unknown[] }[];
    }[];
  }
  const read = (part: PartReport) => JSON.parse(show("json", part)) as Document;

  it("names the best of each passage", () => {
    const { schema, parts } = read(PART);
    expect(schema).toBe("muta.keys/1");
    expect(parts[0]!.passages[0]!.best).toBe(bestChoice(PART.passages[0]!)?.instrument);
  });

  it("has the whole part", () => {
    expect(read(PART).parts[0]).toHaveProperty("whole");
  });

  it("says whose part it is on a shared staff", () => {
    const part = { ...PART, part: { ...PART.part, player: 2 } };
    expect(read(part).parts[0]!.part).toMatchObject({ player: 2 });
  });

  it("lets nothing through that steers a terminal, and parses to the same", () => {
    const title = "\u001b[31mSuite\u009b\u202e";
    const text = show("json", { ...PART, title });
    expect(text).not.toMatch(/[\u001b\u009b\u202e]/);
    expect(read({ ...PART, title }).parts[0]!.title).toBe(title);
    expect(show("text", { ...PART, title })).not.toMatch(/[\u001b\u009b\u202e]/);
  });
});
