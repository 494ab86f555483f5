import { USUAL_TEMPERATURE } from "../instruments/usual-profile.js";
import type { Notice } from "../model/finding.js";
import type { Fraction } from "../model/fraction.js";
import type { ChangeoverProfile, Temperature, UsedTemperature } from "../model/profile.js";
import type { CheckedChange, Lying } from "../model/report.js";
import type { SecondsRange } from "../model/time.js";
import { minFraction, ZERO } from "../theory/fraction.js";
import { sumSeconds } from "../theory/seconds.js";
import { centsBetween, restingCelsius } from "../theory/temperature.js";
import { timed, type AnalysisContext } from "./context.js";
import { breakSeconds, movementBreaks } from "./movement-breaks.js";
import { endMoment, type PlayedStretch } from "./stretches.js";

/**
 * So far off the pitch that it is worth a word, in cents. An assumption: players differ, and with a whole
 * section less can be heard.
 */
const LEAST_CENTS = 5;

/**
 * How long the instrument of an entry has lain, and how far from its warm pitch that leaves it.
 * @param entry the first stretch on it again
 * @param lastEnd where its last note before ended; undefined where it was not played yet
 */
export function lyingBefore(
  context: AnalysisContext,
  entry: PlayedStretch,
  lastEnd: Fraction | undefined,
): Lying {
  const { performance, profile } = context;
  const to = entry.startQuarters;
  // Two players on one staff may overlap.
  const from = lastEnd ? minFraction(lastEnd, to) : ZERO;
  const seconds = secondsLain(context, from, to);
  const temperature = usedTemperature(profile);
  const cents = {
    short: centsAfter(temperature, seconds.short),
    likely: centsAfter(temperature, seconds.likely),
    long: centsAfter(temperature, seconds.long),
  };
  return {
    since: lastEnd ? timed(context, endMoment(performance, from)) : null,
    seconds,
    cents,
    matters: Math.abs(cents.likely) >= LEAST_CENTS,
    temperature,
  };
}

/** Said once where an instrument is so far off that the page has a line of it. */
export function lyingNotices(changes: readonly CheckedChange[]): readonly Notice[] {
  const lying = changes.find((change) => change.lying.matters)?.lying;
  return lying ? [{ kind: "pitch-after-lying", temperature: lying.temperature }] : [];
}

/** By the clock of the report, and the pauses between movements where no recording has them. */
function secondsLain(context: AnalysisContext, from: Fraction, to: Fraction): SecondsRange {
  const seconds = context.clock.secondsBetween(from, to);
  const pause = breakSeconds(
    movementBreaks(context, from, to).filter(
      ({ at }) =>
        // A timing at the break itself is that of the first bar after it.
        !context.recordings.some(
          (recording) =>
            recording.from.compare(at.quarters) < 0 && at.quarters.compare(recording.to) <= 0,
        ),
    ),
  );
  return sumSeconds([seconds, pause]);
}

function centsAfter(temperature: Required<Temperature>, restSeconds: number): number {
  const { hallCelsius: roomCelsius, playingCelsius, coolingSeconds } = temperature;
  const resting = restingCelsius({ roomCelsius, playingCelsius, coolingSeconds, restSeconds });
  return centsBetween(playingCelsius, resting);
}

/** The player's figures, and the usual ones for what the player left out. */
function usedTemperature({ temperature }: ChangeoverProfile): UsedTemperature {
  const figures = Object.keys(USUAL_TEMPERATURE) as (keyof Temperature)[];
  return {
    ...USUAL_TEMPERATURE,
    ...temperature,
    assumed: figures.filter((figure) => temperature[figure] === undefined),
  };
}
