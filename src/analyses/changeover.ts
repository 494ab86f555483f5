import type { Verdict } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile, HandlingSeconds } from "../model/profile.js";
import type { ChangeoverStep, ChangeoverTime } from "../model/report.js";

/**
 * Seconds the hands need from the end of the last note until they could play on the other instrument:
 * put down + pick up + move the mouthpiece (where one is shared) + settle (+ page turn).
 * A pair that the player has timed as a whole replaces all but the page turn.
 */
export function changeoverTime(
  profile: ChangeoverProfile,
  from: InstrumentId,
  to: InstrumentId,
  pageTurns: number,
): ChangeoverTime {
  const steps: ChangeoverStep[] = [];
  const timed = profile.pairSeconds[pairKey(from, to)];
  if (timed !== undefined) steps.push({ action: "whole-change", seconds: timed });
  else {
    steps.push({ action: "put-down", seconds: handling(profile, from).putDownSeconds });
    if (sharesMouthpiece(profile, from, to)) {
      steps.push({ action: "move-mouthpiece", seconds: profile.moveMouthpieceSeconds });
    }
    steps.push({ action: "pick-up", seconds: handling(profile, to).pickUpSeconds });
    steps.push({ action: "settle", seconds: handling(profile, to).settleSeconds });
  }
  if (pageTurns > 0)
    steps.push({ action: "page-turn", seconds: pageTurns * profile.pageTurnSeconds });
  const sum = steps.reduce((total, step) => total + step.seconds, 0);
  // Tenths of seconds do not add up exactly in binary: 0.7 + 1.5 + 0.7 + 0.6 must be 3.5.
  return { seconds: Math.round(sum * 1e6) / 1e6, steps };
}

/** The key of a pair in a profile: `clarinet-bflat>clarinet-a`. */
export function pairKey(from: InstrumentId, to: InstrumentId): string {
  return `${from}>${to}`;
}

function handling(profile: ChangeoverProfile, instrument: InstrumentId): HandlingSeconds {
  return { ...profile.usual, ...profile.instruments[instrument] };
}

function sharesMouthpiece(
  profile: ChangeoverProfile,
  from: InstrumentId,
  to: InstrumentId,
): boolean {
  return profile.sharedMouthpiece.some((group) => group.includes(from) && group.includes(to));
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
