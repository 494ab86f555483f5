import { breakSeconds } from "../analyses/movement-breaks.js";
import type { Hazard } from "../model/finding.js";
import type { CheckedChange, HeldPlace, Rest } from "../model/report.js";
import type { AuditedChange, HeldSign } from "../model/season.js";
import type { Moment, PlaceOnPage } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";

/** A moment without its exact time. */
export function placeOnPage({
  barIndex,
  barLabel,
  movement,
  pass,
  repeated,
  beat,
  atBarEnd,
}: Moment): PlaceOnPage {
  return {
    barIndex,
    barLabel,
    ...(movement !== undefined && { movement }),
    pass,
    repeated,
    beat,
    atBarEnd,
  };
}

/** What makes a rest longer than its seconds, besides the pauses between movements. */
export function heldSigns(pauses: readonly HeldPlace[]): readonly HeldSign[] {
  return pauses.flatMap(({ on, sign }) => (sign === "movement-end" ? [] : [{ on, sign }]));
}

/** A change of one file as plain data: all that a row of the table tells. */
export function plainChange(change: CheckedChange): AuditedChange {
  const { from, to, rest, needed, lookUp, verdict, evidence, disagreements, advice } = change;
  return {
    from,
    to,
    leave: placeOnPage(change.leave),
    enter: placeOnPage(change.enter),
    rest: {
      quarters: toNumber(rest.quarters),
      counted: rest.counted,
      seconds: rest.seconds,
      tempoSource: rest.tempoSource,
      held: heldSigns(rest.pauses),
    },
    pause: pauseInside(rest),
    neededSeconds: needed.seconds,
    lookUp,
    verdict,
    hazards: change.hazards.map(plainHazard),
    evidence,
    disagreements,
    advice,
  };
}

/** A recording has the pause in its seconds. */
function pauseInside({ pauses, recordings }: Rest): AuditedChange["pause"] {
  const ends = pauses.some(({ sign }) => sign === "movement-end");
  if (!ends || recordings.length > 0) return null;
  return { seconds: breakSeconds(pauses), assumed: true };
}

function plainHazard(hazard: Hazard): Hazard<PlaceOnPage> {
  return { ...hazard, at: placeOnPage(hazard.at) };
}
