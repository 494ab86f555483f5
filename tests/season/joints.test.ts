import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Season } from "../../src/model/season.js";
import { openScore } from "../../src/musicxml/document.js";
import { hazardText } from "../../src/reporters/wording/hazards.js";
import { auditScore } from "../../src/season/audit-file.js";
import { seasonJobs } from "../../src/season/jobs.js";
import { seasonReport } from "../../src/season/report.js";
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

const FINAL = '<barline location="right"><bar-style>light-heavy</bar-style></barline>';
const GRACE = '<note><grace slash="yes"/><pitch><step>D</step><octave>5</octave></pitch></note>';

interface Case {
  readonly name: string;
  /** Bars of the first movement; on B-flat, 4/4 at 120. */
  readonly first: readonly string[];
  /** Whether a ramp crosses the bar in which the hands are ready: there the bar is shared out evenly. */
  readonly onRamp?: true;
  /** Bars of the second, which sets its own meter, tempo and transposition. */
  readonly second: readonly string[];
}

const open =
  attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + metronome("quarter", "120");
const onA = (meter: string, beat = "quarter", perMinute = "90") =>
  attributes({ meter, fifths: 0, transpose: A }) + metronome(beat, perMinute);

const CASES: readonly Case[] = [
  { name: "no rest", first: [open + note("C5", 4)], second: [onA("4/4") + note("E5", 4)] },
  {
    name: "rests on both sides",
    first: [open + note("C5", 4), note("C5", 2) + rest(2), rest(4)],
    second: [onA("3/4") + rest(3), rest(3), rest(1) + note("E5", 2)],
  },
  {
    name: "attacca, too short",
    first: [open + note("C5", 4), words("attacca") + note("C5", 3) + rest(1)],
    second: [onA("3/4") + rest(1) + note("E5", 2)],
  },
  {
    name: "attacca, ready in the rest of the first movement",
    first: [open + note("C5", 4), rest(4), rest(4), rest(4), words("attacca") + rest(4)],
    second: [onA("3/4") + rest(3), note("E5", 3)],
  },
  {
    name: "attacca, ready in a bar of the second, in another meter and tempo",
    first: [open + note("C5", 4), words("attacca") + rest(4)],
    second: [onA("6/8", "eighth", "240") + rest(3), rest(3), rest(3), note("E5", 3)],
  },
  {
    name: "attacca, grace notes before the entry",
    first: [open + note("C5", 4), words("attacca") + rest(4)],
    second: [onA("2/4") + rest(2), rest(2), rest(2), GRACE + GRACE + note("E5", 2)],
  },
  {
    name: "a new tempo within a bar of the rest",
    first: [
      open + note("C5", 4),
      words("attacca") + rest(2) + metronome("quarter", "60") + rest(2),
    ],
    second: [onA("4/4") + rest(4), note("E5", 4)],
  },
  {
    name: "a tempo that begins to slow down in the rest",
    onRamp: true,
    first: [open + note("C5", 4), rest(2) + words("rit.") + rest(2), words("attacca") + rest(4)],
    second: [onA("4/4") + rest(4), note("E5", 4)],
  },
  {
    name: "attacca, ready among bars of one meter after a short one and one of another",
    first: [open + note("C5", 4), words("attacca") + rest(4)],
    second: [
      onA("4/4") + rest(1.5),
      rest(4),
      attributes({ meter: "3/8" }) + rest(1.5),
      attributes({ meter: "4/4" }) + rest(4),
      rest(4),
      note("E5", 4),
    ],
  },
  {
    name: "a new tempo under the last note",
    first: [open + note("C5", 4), metronome("quarter", "60") + words("attacca") + note("C5", 4)],
    second: [onA("2/4", "quarter", "60") + rest(2), rest(2), rest(2), note("E5", 2)],
  },
  {
    name: "a fermata in the rest before an attacca",
    first: [open + note("C5", 4), words("attacca") + rest(4, "<notations><fermata/></notations>")],
    second: [onA("4/4") + rest(4), note("E5", 4)],
  },
];

const HEAD = "<work><work-title>Two Weirs</work-title></work>";

/** The two movements in one file, as `muta check` has them. */
function together({ first, second }: Case): string {
  const numbered = (bars: readonly string[], isLast: boolean) =>
    bars.map((bar, k) => ({
      attributes: `number="${k + 1}"`,
      content: bar + (!isLast && k === bars.length - 1 ? FINAL : ""),
    }));
  return scoreXml([{ bars: [...numbered(first, false), ...numbered(second, true)] }], HEAD);
}

/** The same in two files, as a work of a season. */
function apart({ first, second }: Case) {
  const movement = (file: string) => ({
    ...{ title: "", path: file, file, parts: [], tacet: false, partOf: {} },
    after: { kind: "usual" as const },
    wishes: {},
  });
  const season: Season = {
    ...{ name: "", players: [], profile: USUAL_PROFILE },
    programmes: [
      { name: "", date: "", works: [{ title: "", movements: [movement("1"), movement("2")] }] },
    ],
  };
  const xml = [first, second].map((bars) => Buffer.from(scoreXml([{ bars }], HEAD)));
  const audits = seasonJobs(season).map((job, k) => {
    const audit = auditScore(xml[k]!, job);
    // What a worker hands back, or a cache: nothing may depend on more than the plain data.
    return JSON.parse(JSON.stringify(audit)) as typeof audit;
  });
  return seasonReport(season, audits);
}

describe("a change between two files", () => {
  // The oracle is the change between two movements of one file, which other tests hold against hand counts.
  it.each(CASES)("is the change it would be in one file: $name", (each) => {
    const score = openScore(Buffer.from(together(each)));
    const source = { file: "", title: "", movement: "" };
    const { changes } = analysePart(score.timeline("P1"), USUAL_PROFILE, source);
    expect(changes).toHaveLength(1);
    const [inside] = changes;
    const { rows } = apart(each);
    expect(rows).toHaveLength(1);
    const [row] = rows;
    if (row?.kind !== "change" || !inside) throw new Error("no change");
    const { change } = row;
    expect(change.rest.seconds.short).toBeCloseTo(inside.rest.seconds.short, 6);
    expect(change.rest.seconds.long).toBeCloseTo(inside.rest.seconds.long, 6);
    expect(change.neededSeconds).toBe(inside.needed.seconds);
    expect(change.lookUp.seconds).toBeCloseTo(inside.lookUp.seconds, 6);
    expect(change.lookUp.bars).toBeCloseTo(inside.lookUp.bars, each.onRamp ? 1 : 6);
    expect(change.verdict).toBe(inside.verdict);
    expect(change.hazards.map(hazardText)).toEqual(
      // What one file has to tell apart by its movement.
      inside.hazards.map((hazard) => hazardText(hazard).replace(/ \((?:1st|2nd) mvt\)/g, "")),
    );
    expect(change.leave.barLabel).toBe(inside.leave.barLabel);
    expect(change.enter.beat).toBe(inside.enter.beat);
  });
});

describe("words at the end of a movement", () => {
  const second = [onA("4/4") + note("E5", 4)];
  it("are the evidence of the change, and a misprint where they ask for another instrument", () => {
    const right = apart({
      name: "",
      first: [open + note("C5", 4), words("muta in La") + rest(4)],
      second,
    });
    const wrong = apart({
      name: "",
      first: [open + note("C5", 4), words("muta in Mi♭") + rest(4)],
      second,
    });
    expect(right.rows[0]).toMatchObject({
      change: {
        evidence: [
          { kind: "words", text: "muta in La", barLabel: "2" },
          { kind: "part-name-display" },
          { kind: "transpose" },
        ],
        disagreements: [],
      },
    });
    expect(wrong.rows[0]).toMatchObject({
      change: {
        disagreements: [{ kind: "words-against-transposition", wordsMean: "clarinet-eflat" }],
      },
    });
  });

  it("are told of where the instrument stays, too", () => {
    const report = apart({
      name: "",
      first: [open + note("C5", 4), words("muta in La") + rest(4)],
      second: [open + note("E5", 4)],
    });
    expect(report.rows).toEqual([]);
    expect(report.parts[0]?.faults).toMatchObject([{ wordsMean: "clarinet-a" }]);
  });
});
