import type { CueRequest, MeterRun } from "../../model/cues.js";
import { clean } from "../util/clean.js";
import { exposureText } from "./exposure.js";
import { hazardText } from "./hazards.js";
import { shortName } from "./instruments.js";
import { barText } from "./places.js";
import { barsLeftText, counted, secondsText } from "./quantities.js";

/** The bars just before the cue are what the player has to count. */
const MOST_RUNS = 5;

/**
 * What the player asks for, in one line: "bar 117: clear cue please; change to A is done 1 bar before; the bars
 * before are 5/8, 3/8, 2/4".
 */
export function cueText(request: CueRequest): string {
  const { change, at, when } = request;
  const { exposure, verdict, enter } = change;
  const isImpossible = verdict === "impossible";
  const entry = when === "look-up" ? `; entry in bar ${barText(enter)}` : "";
  // What the meters say is said with them; of the time left every line tells.
  const hazards = change.hazards.filter(
    ({ kind }) => kind !== "meter-change" && kind !== "late-look-up",
  );
  return [
    isImpossible
      ? `bar ${barText(at)}: cannot be ready: ${readyText(request)}`
      : `bar ${barText(at)}: clear cue please${entry}; ${readyText(request)}`,
    ...metersText(request.metersBefore),
    ...hazards.map(hazardText),
    ...(exposure ? [exposureText(exposure)] : []),
  ].join("; ");
}

function readyText({ change, when }: CueRequest): string {
  const { from, to, leave, lookUp, needed, verdict } = change;
  const what = `change from ${shortName(from)} to ${shortName(to)}`;
  if (verdict === "impossible") {
    const there = Math.max(0, needed.seconds + lookUp.seconds);
    return `${secondsText(there)} for ${secondsText(needed.seconds)}, ${what} after bar ${barText(leave)}`;
  }
  const before = when === "look-up" ? "the entry" : "it";
  return `${what} is done ${barsLeftText(lookUp.bars)} before ${before}`;
}

/** "the bars before are 3 bars of 4/4, 5/8, 2/4"; only the last of many. */
function metersText(runs: readonly MeterRun[]): readonly string[] {
  if (runs.length === 0) return [];
  const shown = runs.slice(-MOST_RUNS).map(({ meter, bars }) => {
    return bars === 1 ? clean(meter) : `${counted(bars, "bar")} of ${clean(meter)}`;
  });
  const [only] = runs;
  if (runs.length === 1 && only?.bars === 1) return [`the bar before is ${shown.join("")}`];
  return [`the bars before are ${shown.join(", ")}`];
}
