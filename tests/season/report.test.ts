import { describe, expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Gap, Season, SeasonMovement, SeasonPlayer } from "../../src/model/season.js";
import { auditScore } from "../../src/season/audit-file.js";
import { chairNames } from "../../src/season/chairs.js";
import { runJobs, seasonJobs } from "../../src/season/jobs.js";
import { seasonReport } from "../../src/season/report.js";
import { A, attributes, B_FLAT, metronome, note, rest, scoreXml } from "../support/score-xml.js";

const bars = (transpose: readonly [number, number], content: string) => [
  attributes({ meter: "4/4", fifths: 0, transpose }) + metronome("quarter", "120") + content,
];
const clarinets = (...on: readonly (readonly [number, number])[]) =>
  scoreXml(
    on.map((transpose, k) => ({ name: `Clarinet ${k + 1}`, bars: bars(transpose, note("C5", 4)) })),
  );

const FILES: Readonly<Record<string, string>> = {
  bflat: clarinets(B_FLAT, B_FLAT),
  a: clarinets(A, A),
  "first-only-a": clarinets(A),
  // 10 bars of 4/4 at 120 for the strings, 20 s.
  strings: scoreXml([
    {
      name: "Violin",
      bars: Array.from({ length: 10 }, (_, k) =>
        k === 0 ? bars([0, 0], note("C5", 4)).join("") : note("C5", 4),
      ),
    },
  ]),
  silent: scoreXml([
    { name: "Clarinet 1", bars: bars(B_FLAT, rest(4)) },
    { name: "Clarinet 2", bars: bars(B_FLAT, rest(4)) },
  ]),
  broken: "<score-partwise>",
};

function movement(file: string, after: Gap = { kind: "usual" }, tacet = false): SeasonMovement {
  return {
    ...{ title: "", path: file, file, parts: [], tacet, partOf: {}, after },
    wishes: {},
  };
}

async function reportOn(
  programmes: Readonly<Record<string, readonly (readonly SeasonMovement[])[]>>,
  players: readonly SeasonPlayer[] = [],
) {
  const season: Season = {
    ...{ name: "S", players, profile: USUAL_PROFILE },
    programmes: Object.entries(programmes).map(([name, works]) => ({
      // Blanks tell apart several without a name.
      name: name.trim(),
      date: "",
      works: works.map((movements, k) => ({ title: `W${k + 1}`, movements })),
    })),
  };
  let read = 0;
  const audits = await runJobs(seasonJobs(season), (job) => {
    read++;
    return Promise.resolve(auditScore(Buffer.from(FILES[job.path] ?? ""), job));
  });
  return { ...seasonReport(season, audits), read };
}

describe("what follows what", () => {
  it("links movements of a work, and works of a programme, but not works without an order", async () => {
    const ordered = await reportOn({
      Gala: [[movement("bflat"), movement("a")], [movement("bflat")]],
    });
    expect(
      ordered.rows.map((row) => row.kind === "change" && [row.player, row.into?.across]),
    ).toEqual([
      ["Clarinet 1", "movements"],
      ["Clarinet 2", "movements"],
      ["Clarinet 1", "works"],
      ["Clarinet 2", "works"],
    ]);
    const loose = await reportOn({ "": [[movement("bflat")], [movement("a")]] });
    expect(loose.rows).toEqual([]);
  });

  it("does not link two programmes, and reads a piece that comes back once", async () => {
    const { rows, read, kits } = await reportOn({
      One: [[movement("bflat")]],
      Two: [[movement("a")], [movement("bflat")]],
    });
    expect(rows).toHaveLength(2);
    expect(read).toBe(2);
    expect(kits.map(({ programme, player, stands }) => [programme, player, stands])).toEqual([
      ["One", "Clarinet 1", 0],
      ["One", "Clarinet 2", 0],
      ["Two", "Clarinet 1", 1],
      ["Two", "Clarinet 2", 1],
    ]);
  });

  it("has one list of what to carry for works in no programme", async () => {
    const { kits } = await reportOn({
      "": [[movement("bflat")]],
      " ": [[movement("first-only-a")]],
    });
    expect(
      kits.map(({ player, instruments }) => [player, instruments.map(({ works }) => works)]),
    ).toEqual([
      ["Clarinet 1", [["W1"], ["W1"]]],
      ["Clarinet 2", [["W1"]]],
    ]);
  });

  it("says nothing across a file that cannot be read", async () => {
    const { rows } = await reportOn({
      "": [[movement("bflat"), movement("broken"), movement("a")]],
    });
    expect(rows).toMatchObject([{ kind: "error", movement: "2", error: { code: "truncated" } }]);
  });

  it("counts a movement in which the player rests, with both pauses", async () => {
    const [tacet] = (
      await reportOn({ "": [[movement("bflat"), movement("silent"), movement("a")]] })
    ).rows;
    // One bar at 120, 2 s, and twice the least pause, 5 s.
    expect(tacet).toMatchObject({
      change: { pause: { seconds: { short: 10 } }, rest: { seconds: { likely: 2 } } },
    });
    const marked = await reportOn({
      "": [[movement("bflat"), movement("strings", { kind: "usual" }, true), movement("a")]],
    });
    expect(marked.rows[0]).toMatchObject({
      kind: "change",
      change: { rest: { seconds: { likely: 20 } } },
    });
    // Not said to be tacet it is a fault, since the part may have been forgotten; the change stands all the same.
    const unmarked = await reportOn({
      "": [[movement("bflat"), movement("strings"), movement("a")]],
    });
    expect(unmarked.rows.map(({ kind }) => kind)).toEqual(["change", "change", "error"]);
  });

  it("lets one player rest while the other goes on", async () => {
    const { rows, parts } = await reportOn({
      "": [[movement("bflat"), movement("first-only-a"), movement("bflat")]],
    });
    expect(rows.map((row) => row.kind === "change" && [row.player, row.change.to])).toEqual([
      ["Clarinet 1", "clarinet-a"],
      ["Clarinet 1", "clarinet-bflat"],
    ]);
    expect(parts).toHaveLength(5);
  });

  it.each([
    [{ kind: "attacca" } as const, null, "impossible"],
    // Less than 1.5 times the 3.5 s of the hands, then less than 3 times, then more.
    [{ kind: "seconds", seconds: 5 } as const, 5, "tight"],
    [{ kind: "seconds", seconds: 8 } as const, 8, "workable"],
    [{ kind: "seconds", seconds: 20 } as const, 20, "ample"],
    [{ kind: "usual" } as const, 5, "tight"],
  ])("takes what the season says of the pause: %o", async (gap, seconds, verdict) => {
    const { rows } = await reportOn({ "": [[movement("bflat", gap), movement("a")]] });
    expect(rows[0]).toMatchObject({ change: { verdict } });
    expect(rows[0]?.kind === "change" && (rows[0].change.pause?.seconds.short ?? null)).toBe(
      seconds,
    );
  });
});

describe("players", () => {
  const player = (name: string, part: string, own = {}): SeasonPlayer => ({
    ...{ name, part },
    profile: { ...USUAL_PROFILE, own },
  });

  it("have their own names and hands, also between movements", async () => {
    const quick = { moveMouthpieceSeconds: 0 };
    const { rows } = await reportOn({ "": [[movement("bflat"), movement("a")]] }, [
      player("Ida", "Clarinet 1", quick),
      player("Bo", "Clarinet 2"),
    ]);
    expect(
      rows.map((row) => row.kind === "change" && [row.player, row.change.neededSeconds]),
    ).toEqual([
      ["Ida", 2],
      ["Bo", 3.5],
    ]);
  });

  it("need not be in every piece, but a pattern for two parts is a fault", async () => {
    const fine = await reportOn({ "": [[movement("first-only-a")]] }, [
      player("Ida", "Clarinet 1"),
      player("Bo", "Clarinet 2"),
    ]);
    expect(fine.rows).toEqual([]);
    const both = await reportOn({ "": [[movement("a")]] }, [player("Ida", "Clarinet*")]);
    expect(both.rows).toMatchObject([
      {
        kind: "error",
        player: "Ida",
        error: { message: '"Clarinet*" matches several parts: Clarinet 1, Clarinet 2' },
      },
    ]);
  });
});

describe("chairs", () => {
  const named = (...names: readonly string[]) =>
    chairNames(names.map((name, k) => ({ id: `P${k + 1}`, name })));

  it.each([
    [
      ["A Clarinet 1", "A Clarinet 2"],
      ["Clarinet 1", "Clarinet 2"],
    ],
    [
      ["1. Klarinette in B", "Bassklarinette"],
      ["Clarinet 1", "Bass clarinet"],
    ],
    [["Clarinet 2 (B♭, A, Bass Clarinet)"], ["Clarinet 2"]],
    // Without numbers they are numbered from the top.
    [
      ["Clarinet in A", "Clarinet in A"],
      ["Clarinet 1", "Clarinet 2"],
    ],
    [
      ["Clarinet 1", "Clarinet", "Clarinet"],
      ["Clarinet 1", "Clarinet 1 (P2)", "Clarinet 2"],
    ],
    [["Reed 2"], ["Reed 2"]],
    [
      ["", "  "],
      ["P1", "P2"],
    ],
  ])("%j are %j", (names, chairs) => {
    expect(named(...names)).toEqual(chairs);
  });
});
