import { join, resolve } from "node:path";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
} from "../support/score-xml.js";
import { linesOf, partWithChange, runMuta, temporaryFolder } from "../support/run-muta.js";

const DEMO = resolve("fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml");
const E_FLAT = [2, 3] as const;

interface PlanDocument {
  readonly schema: string;
  readonly parts: readonly {
    readonly passages: readonly {
      readonly number: number;
      readonly timesPlayed: number;
      readonly options: readonly {
        readonly instrument: string;
        readonly sight: { text: string };
      }[];
    }[];
    readonly printed: PlanJson;
    readonly best: PlanJson;
    readonly plans: readonly PlanJson[];
    readonly advice: {
      readonly printed: readonly {
        readonly change: { readonly number: number };
        readonly advice: readonly { readonly kind: string; readonly sentence: string }[];
      }[];
    };
  }[];
}

interface PlanJson {
  readonly kind: string;
  readonly instruments: readonly string[];
  readonly cost: number;
  readonly verdicts: Readonly<Record<string, number>>;
  readonly changes: readonly unknown[];
}

async function planOf(args: readonly string[], stdin?: string) {
  const run = await runMuta(["plan", stdin === undefined ? DEMO : "-", "-f", "json", ...args], {
    ...(stdin !== undefined && { stdin }),
  });
  expect({ code: run.code, stderr: run.stderr }).toEqual({ code: 0, stderr: "" });
  const document = JSON.parse(run.stdout) as PlanDocument;
  expect(document.schema).toBe("muta.plan/1");
  const [part] = document.parts;
  if (!part) throw new Error("no part");
  return part;
}

/** Notes for the E-flat clarinet alone. */
const LITTLE = scoreXml([
  {
    name: "Clarinet in Eb",
    bars: [
      attributes({ meter: "4/4", fifths: 0, transpose: E_FLAT }) +
        metronome("quarter", "120") +
        note("C5", 4),
    ],
  },
]);

/** On B-flat, a bar's rest, one bar on A in E major sounding, a bar's rest, on B-flat again. */
const HURRY = scoreXml([
  {
    bars: [
      attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) +
        metronome("quarter", "120") +
        note("C5", 4),
      words("muta in La") + rest(4),
      attributes({ fifths: 1, transpose: A }) + note("G4", 4),
      words("muta in Si♭") + rest(4),
      attributes({ fifths: 0, transpose: B_FLAT }) + note("C5", 4),
    ],
  },
]);

describe("muta plan", () => {
  it("finds the plan of the demo piece without a dangerous change", async () => {
    const { code, stdout, stderr } = await runMuta(["plan", DEMO], { env: { COLUMNS: "100" } });
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    for (const line of [
      "  plan              printed        balanced*  fewest  easiest  safest",
      "  changes           10             4          2       4        4",
      "  impossible        2              0          0       0        0",
      "  tight             2              0          0       0        0",
      "  bars 31–35 on A, each time: read a semitone higher, written key 5♭ (D♭/b♭); difficulty 0.3 instead",
      "  bars 61–67 on A: read a semitone higher, written key 6♭ (G♭/e♭); difficulty 0.3 instead of 0.2",
      "      → a mouthpiece for each instrument saves 1.5 s: 2.0 s for the hands, then workable",
    ]) {
      expect(linesOf(stdout)).toContain(line);
    }
    expect(stdout).toContain("you and your teacher decide");
    expect(stdout).toContain("has one instrument each\n    time. Here: bars 31–35, 46–50.");
  });

  it("keeps every line within a narrow page", async () => {
    const { stdout } = await runMuta(["plan", DEMO], { env: { COLUMNS: "60" } });
    // A path is one word and cannot be wrapped.
    for (const line of linesOf(stdout).filter((each) => !each.includes(DEMO))) {
      expect([...line].length, line).toBeLessThanOrEqual(60);
    }
  });

  it("puts both bass passages and the number of times through in the tables", async () => {
    const { passages, printed, best, plans, advice } = await planOf([]);
    expect(passages.map(({ timesPlayed }) => timesPlayed)).toEqual([
      1, 1, 1, 2, 2, 1, 1, 1, 1, 1, 1,
    ]);
    expect(best.instruments[8]).toBe("bass-clarinet-bflat");
    expect(plans.map(({ kind }) => kind)).toEqual([
      "balanced",
      "fewest-changes",
      "easiest-fingers",
      "safest-changes",
    ]);
    expect(best.cost).toBeLessThan(printed.cost);
    expect(advice.printed.map(({ change }) => change.number)).toEqual([2, 4, 6, 7]);
    for (const { advice: ranked } of advice.printed) {
      expect(ranked[0]?.kind).toMatch(/^change-/);
      expect(ranked.at(-1)?.kind).toBe("ask-for-cue");
    }
  });

  it("reads bars for A on B-flat a semitone lower", async () => {
    const { best, passages } = await planOf([], HURRY);
    expect(best.changes).toEqual([]);
    // G on the A clarinet sounds E, which is F-sharp on the B-flat clarinet.
    const { stdout } = await runMuta(["plan", "-"], { stdin: HURRY, env: { COLUMNS: "100" } });
    expect(stdout).toContain("bar 3 on B♭: read a semitone lower, written key 6♯ (F♯/d♯)");
    expect(passages[1]?.options.map(({ sight }) => sight.text)).toEqual([
      "read as printed",
      "read a semitone lower",
    ]);
  });

  it("follows --keep, --without, --fix and --prefer", async () => {
    const kept = await planOf(["--keep", "clarinet-a"], HURRY);
    expect(kept.best.instruments[1]).toBe("clarinet-a");
    expect(kept.best.changes).toEqual([]); // All of it on the A.
    const both = await planOf(["--keep", "clarinet-a", "--keep", "clarinet-bflat"], HURRY);
    expect(both.best.instruments).toEqual(both.printed.instruments);
    expect(both.best.verdicts["impossible"]).toBe(2);
    const without = await planOf(["--without", "clarinet-bflat"], HURRY);
    expect(new Set(without.best.instruments)).toEqual(new Set(["clarinet-a"]));
    const fixed = await planOf(["--fix", "1=clarinet-a", "--fix", "4-5=clarinet-bflat"], HURRY);
    expect([fixed.best.instruments[0], fixed.best.instruments[2]]).toEqual([
      "clarinet-a",
      "clarinet-bflat",
    ]);
    const fewest = await planOf(["--prefer", "fewest-changes"]);
    expect(fewest.best.changes).toHaveLength(2);
  });

  it("leaves an instrument wanted for its sound, unless the player allows otherwise", async () => {
    const stays = await planOf([], LITTLE);
    expect(stays.passages[0]?.options).toHaveLength(1);
    const allowed = await planOf(["--allow", "clarinet-eflat"], LITTLE);
    expect(
      allowed.passages[0]?.options.map(({ instrument, sight }) => [instrument, sight.text]),
    ).toEqual([
      ["clarinet-eflat", "read as printed"],
      ["clarinet-bflat", "read a fourth higher"],
      ["clarinet-a", "read a diminished fifth higher"],
    ]);
  });

  it("says what is left where the player keeps to the print", async () => {
    const { stdout } = await runMuta(
      ["plan", "-", "--keep", "clarinet-a", "--keep", "clarinet-bflat"],
      { stdin: partWithChange("impossible"), env: { COLUMNS: "100" } },
    );
    expect(stdout).toContain("nothing: the printed plan is the best by these prices");
    expect(stdout).toContain("IMPOSSIBLE, 1.9 s for 3.5 s\n");
    expect(stdout).toContain("still impossible");
  });

  it.each([
    [["--keep", "kazoo"], /--keep knows no instrument "kazoo"; it takes /],
    [["--fix", "clarinet-a"], /--fix takes bars and an instrument/],
    [["--keep", "clarinet-a", "--without", "clarinet-a"], /both name clarinet-a/],
    [["--fix", "999=clarinet-a"], /--fix names bar 999, which is not there/],
    [["--fix", "9-16=clarinet-a"], /--fix names bars in which nothing is played/],
    [["--fix", "91-100=clarinet-a"], /may not stand in for what is printed/],
    [["--without", "bass-clarinet-bflat"], /without the B-flat bass clarinet nothing/],
    [["--prefer", "beauty"], /Allowed choices are balanced/],
  ])("refuses %j", async (args, message) => {
    const { code, stdout, stderr } = await runMuta(["plan", DEMO, ...args]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
    expect(stderr).toMatch(message);
  });

  it("writes a table by the ending of --out: a row for each plan and passage", async () => {
    const folder = temporaryFolder();
    const out = join(folder, "plan.csv");
    expect((await runMuta(["plan", DEMO, "--out", out])).code).toBe(0);
    const rows = readFileSync(out, "utf8").trimEnd().split("\r\n");
    expect(rows).toHaveLength(1 + 5 * 11);
    expect(rows[0]).toMatch(/^file,title,movement,part,plan,preferred,passage,/);
    expect((await runMuta(["plan", DEMO, "--out", out])).code).toBe(2);
  });
});
