import { analyseCount } from "../../src/analyses/count-report.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { CountedRest, CountReport } from "../../src/model/count.js";
import { toNumber } from "../../src/theory/fraction.js";
import { countMarkText, countSpan, groupText } from "../../src/reporters/wording/counting.js";
import { scoreXml, timelineOf, type BarXml, type PartXml } from "../support/score-xml.js";

export function countOf(
  bars: readonly BarXml[],
  fromBars = 0,
  part: Partial<PartXml> = {},
): CountReport {
  const source = { file: "test.musicxml", title: "", movement: "" };
  const timeline = timelineOf(scoreXml([{ ...part, bars }]));
  return analyseCount(timeline, USUAL_PROFILE, source, { fromBars });
}

export function onlyRest(bars: readonly BarXml[], fromBars = 0): CountedRest {
  const { rests } = countOf(bars, fromBars);
  if (rests.length !== 1) throw new Error(`${rests.length} rests`);
  return rests[0]!;
}

/** A line for each group, such as `2–3 [1–2] 2 × 4/4: [A]; double bar`, with all marks. */
export function groupsOf({ groups }: Pick<CountedRest, "groups">): readonly string[] {
  return groups.map((group) => {
    const { from, lastBar, marks } = group;
    const bars =
      from.visitIndex === lastBar.visitIndex
        ? from.barLabel
        : `${from.barLabel}–${lastBar.barLabel}`;
    const met = marks.map((mark) => `${mark.kind} ${countMarkText(mark, from)}`);
    return `${bars} [${countSpan(group)}] ${groupText(group)}${met.length > 0 ? `: ${met.join("; ")}` : ""}`;
  });
}

/** The groups summed up again: what must be the rest. */
export function sumsOf({ groups }: Pick<CountedRest, "groups">) {
  const numbers = new Set<string>();
  let movement = 0;
  for (const { count, marks } of groups) {
    if (marks.some(({ kind }) => kind === "movement")) movement++;
    if (!count) continue;
    for (let k = count.from; k <= count.to; k++) numbers.add(`${movement} ${k}`);
  }
  const sum = (values: readonly number[]) => values.reduce((total, each) => total + each, 0);
  const exact = groups.reduce<(typeof groups)[number]["quarters"] | undefined>(
    (total, { quarters }) => total?.add(quarters) ?? quarters,
    undefined,
  );
  return {
    quarters: exact,
    bars: sum(groups.map(({ bars }) => toNumber(bars))),
    barsSoFar: toNumber(groups.at(-1)!.barsSoFar),
    beats: sum(groups.map(({ beats }) => toNumber(beats))),
    counted: numbers.size,
    partBeats: sum(groups.filter(({ count }) => !count).map(({ beats }) => toNumber(beats))),
    seconds: sum(groups.map(({ seconds }) => seconds.likely)),
  };
}
