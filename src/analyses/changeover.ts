import { USUAL_HAND_TIMES } from "../instruments/usual-profile.js";
import type { Verdict } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile, HandlingSeconds, HandTimes } from "../model/profile.js";
import type { ChangeoverStep, ChangeoverTime } from "../model/report.js";

/**
 * Seconds the hands need from the end of the last note until they could play on the other instrument:
 * put down + pick up + move the mouthpiece (where one is shared) + settle (+ page turn).
 * A pair that the player has timed as a whole replaces all but the page turn.
 * Every step says whether its figure is the player's own or the usual one.
 */
export function changeoverTime(
  profile: ChangeoverProfile,
  from: InstrumentId,
  to: InstrumentId,
  pageTurns: number,
): ChangeoverTime {
  const { own, sharedMouthpiece } = profile;
  const steps: ChangeoverStep[] = [];
  const wholePair = own.pairSeconds?.[pairKey(from, to)];
  if (wholePair !== undefined) {
    steps.push({ action: "whole-change", seconds: wholePair, assumed: false });
  } else {
    steps.push({ action: "put-down", ...handling(own, from, "putDownSeconds") });
    if (sharedMouthpiece.some((group) => group.includes(from) && group.includes(to))) {
      const moved = ownOrUsual(own.moveMouthpieceSeconds, USUAL_HAND_TIMES.moveMouthpieceSeconds);
      steps.push({ action: "move-mouthpiece", ...moved });
    }
    steps.push({ action: "pick-up", ...handling(own, to, "pickUpSeconds") });
    steps.push({ action: "settle", ...handling(own, to, "settleSeconds") });
  }
  if (pageTurns > 0) {
    const turn = ownOrUsual(own.pageTurnSeconds, USUAL_HAND_TIMES.pageTurnSeconds);
    steps.push({ action: "page-turn", ...turn, seconds: pageTurns * turn.seconds });
  }
  const sum = steps.reduce((total, step) => total + step.seconds, 0);
  // Tenths of seconds do not add up exactly in binary: 0.7 + 1.5 + 0.7 + 0.6 must be 3.5.
  return { seconds: Math.round(sum * 1e6) / 1e6, steps };
}

/** The key of a pair in a profile: `clarinet-bflat>clarinet-a`. */
export function pairKey(from: InstrumentId, to: InstrumentId): string {
  return `${from}>${to}`;
}

/** The player's figure for the instrument, else the player's for any; then the usual ones likewise. */
function handling(own: HandTimes, instrument: InstrumentId, action: keyof HandlingSeconds) {
  const { usual, instruments } = USUAL_HAND_TIMES;
  return ownOrUsual(
    own.instruments?.[instrument]?.[action] ?? own.usual?.[action],
    instruments[instrument]?.[action] ?? usual[action],
  );
}

function ownOrUsual(own: number | undefined, usual: number) {
  return { seconds: own ?? usual, assumed: own === undefined };
}

/** Below this many times the needed seconds a rest is tight; below the second, workable. */
const TIGHT_BELOW = 1.5;
const WORKABLE_BELOW = 3;
/** The player wants at least this much of the rest to find the beat and the conductor. */
const LOOK_UP_BARS = 1;

/**
 * How a change stands, on the seconds of the rest at the fast tempo.
 * The limits are assumptions (common practice, no source).
 * @param restSeconds the short seconds of the rest
 * @param lookUpBars what is left after the changeover, in the bars before the entry
 */
export function changeVerdict(
  restSeconds: number,
  neededSeconds: number,
  lookUpBars: number,
): Verdict {
  if (neededSeconds > restSeconds) return "impossible";
  if (lookUpBars < LOOK_UP_BARS || restSeconds < TIGHT_BELOW * neededSeconds) return "tight";
  return restSeconds < WORKABLE_BELOW * neededSeconds ? "workable" : "ample";
}
