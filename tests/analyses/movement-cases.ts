import { analysePart, analysisContext } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PartReport } from "../../src/model/report.js";
import { scoreXml, timelineOf, type BarXml, type PartXml } from "../support/score-xml.js";

export const FINAL = '<barline location="right"><bar-style>light-heavy</bar-style></barline>';
export const REPEATED = '<barline location="right"><repeat direction="backward"/></barline>';
export const FINE = "<direction><direction-type><words>Fine</words></direction-type></direction>";
export const DA_CAPO =
  "<direction><direction-type><words>D.C. al Fine</words></direction-type></direction>";

/** Bars of several movements, each counted from 1; a movement may begin with another number. */
export function movements(
  ...each: readonly (readonly string[] | { readonly from: number; readonly bars: string[] })[]
): readonly BarXml[] {
  return each.flatMap((movement) => {
    const { from, bars } = "from" in movement ? movement : { from: 1, bars: movement };
    return bars.map((content, k) => ({ attributes: `number="${from + k}"`, content }));
  });
}

/** The bars of a later movement that begins with an upbeat. */
export const withUpbeat = (...bars: string[]) => ({ from: 0, bars });
/** Bars counted on, after a final barline that ends no movement. */
export const goingOn = (from: number, ...bars: string[]) => ({ from, bars });

export function reportOf(
  bars: readonly BarXml[],
  part: Partial<PartXml> = {},
  others: readonly PartXml[] = [],
): PartReport {
  const source = { file: "test.musicxml", title: "", movement: "" };
  const xml = scoreXml([...others, { id: "CL", ...part, bars }]);
  return analysePart(timelineOf(xml, "CL"), USUAL_PROFILE, source);
}

/** Lines such as `1 > 1: clarinet-bflat > clarinet-a (words in 2)`, from bar to bar. */
export function changesAcross(
  bars: readonly BarXml[],
  part: Partial<PartXml> = {},
): readonly string[] {
  return reportOf(bars, part).changes.map(({ leave, enter, from, to, evidence }) => {
    const why = evidence.map(({ kind, barLabel }) => `${kind} in ${barLabel}`).join(", ");
    return `${leave.barLabel} > ${enter.barLabel}: ${from} > ${to} (${why})`;
  });
}

/** Bars in the order of performance, by their places in the file. */
export function orderOf(bars: readonly BarXml[]): readonly number[] {
  const timeline = timelineOf(scoreXml([{ bars }]));
  const { performance } = analysisContext(timeline, USUAL_PROFILE).context;
  return performance.visits.map(({ barIndex }) => barIndex);
}
