import type { Verdict } from "../../model/finding.js";
import type {
  ColleagueRest,
  ColleagueTakesBars,
  MovedPassage,
  PlanAdvice,
  PlanPreference,
  SightTransposition,
} from "../../model/plan.js";
import type { InstrumentChange } from "../../model/report.js";
import type { Moment } from "../../model/time.js";
import { isPositive } from "../../theory/fraction.js";
import { clean } from "../util/clean.js";
import { adviceText } from "./advice.js";
import { keyText, shortName } from "./instruments.js";
import { partName } from "./parts.js";
import { barsText, placeText } from "./places.js";
import { counted, restLengthText, secondsText } from "./quantities.js";

/** Column heads for the plans. */
export const PLAN_NAMES: Readonly<Record<PlanPreference | "printed", string>> = {
  printed: "printed",
  balanced: "balanced",
  "fewest-changes": "fewest",
  "easiest-fingers": "easiest",
  "safest-changes": "safest",
};

/** Steps and semitones, within the octave, as players say them. */
const INTERVALS: Readonly<Record<string, string>> = {
  "0 1": "a semitone",
  "1 0": "a letter",
  "1 1": "a semitone",
  "1 2": "a tone",
  "1 3": "an augmented second",
  "2 2": "a diminished third",
  "2 3": "a minor third",
  "2 4": "a major third",
  "3 4": "a diminished fourth",
  "3 5": "a fourth",
  "3 6": "an augmented fourth",
  "4 6": "a diminished fifth",
  "4 7": "a fifth",
};

/** "read a semitone lower", "read as printed": how the printed notes are played on the other instrument. */
export function sightText({ diatonic, chromatic }: SightTransposition): string {
  if (diatonic === 0 && chromatic === 0) return "read as printed";
  const direction = chromatic === 0 ? Math.sign(diatonic) : Math.sign(chromatic);
  const [steps, semitones] = [diatonic * direction, chromatic * direction];
  const octaves = Math.max(0, Math.floor(steps / 7));
  const inside = `${steps - 7 * octaves} ${semitones - 12 * octaves}`;
  const simple = INTERVALS[inside] ?? `${semitones - 12 * octaves} semitones`;
  const span = [
    ...(octaves > 0 ? [octaves === 1 ? "an octave" : `${octaves} octaves`] : []),
    ...(inside === "0 0" ? [] : [simple]),
  ].join(" and ");
  const way = direction < 0 ? "lower" : "higher";
  // D-flat for C-sharp: another line of the staff for the same key.
  if (chromatic === 0) return `read ${span} ${way} at the same pitch`;
  if (Math.abs(steps) === 0) return `read ${span} ${way} on the same lines`;
  return `read ${span} ${way}`;
}

/** "written key 6♯ (F♯/d♯)"; a passage without a traditional key has its own signature. */
export function writtenKeyText(fifths: number | null): string {
  return fifths === null ? "own signature" : `written key ${keyText(fifths)}`;
}

/** "A → B♭, bar 28, beat 3 → bar 31". */
export function changeText({ from, to, leave, enter }: InstrumentChange): string {
  const left = leave.atBarEnd ? placeText(leave) : `bar ${placeText(leave)}`;
  return `${shortName(from)} → ${shortName(to)}, ${left} → bar ${placeText(enter)}`;
}

/** "4.4 s for 3.5 s": what the short rest has, with the pause that is counted, and what the hands need. */
export function timeText({ lookUp, needed }: InstrumentChange): string {
  const rest = Math.max(0, lookUp.seconds + needed.seconds);
  return `${secondsText(rest)} for ${secondsText(needed.seconds)}`;
}

const THEN: Readonly<Record<Verdict, string>> = {
  impossible: "still impossible",
  tight: "still tight",
  workable: "then workable",
  ample: "then ample",
};

/** One piece of advice as a sentence without its full stop. */
export function planAdviceText(advice: PlanAdvice, now: Verdict): string {
  switch (advice.kind) {
    case "change-earlier":
    case "change-later": {
      const { passages, then, unsafe } = advice;
      const when = advice.kind === "change-earlier" ? "earlier" : "later";
      const read = passages.map(movedText).join("; ");
      return `change ${when}: ${read}; tight or impossible changes of the part: ${unsafe.after} instead of ${unsafe.before}; ${newPlaceText(then)}`;
    }
    case "leave-out": {
      const { which, notes, gainedSeconds } = advice;
      const what = notes === 1 ? `the ${which} note` : `the ${which} ${notes} notes`;
      const where =
        which === "last" ? `from bar ${placeText(advice.from)}` : `to ${endText(advice.to)}`;
      return `leave out ${what} ${where}: ${secondsText(gainedSeconds)} more, ${thenText(advice.verdict, now)}`;
    }
    case "second-mouthpiece":
      return `a mouthpiece for each instrument saves ${secondsText(advice.savedSeconds)}: ${secondsText(advice.neededSeconds)} for the hands, ${thenText(advice.verdict, now)}`;
    case "second-stand":
      return `a second stand at the knee saves perhaps ${secondsText(advice.savedSeconds)}: ${secondsText(advice.neededSeconds)} for the hands, ${thenText(advice.verdict, now)}`;
    case "colleague":
      return colleagueText(advice, now);
    case "ask-for-cue":
      return adviceText(advice);
  }
}

/** "you then change in the rest before bar 68 (4 bars): 9.2 s for 3.5 s". */
function newPlaceText(then: InstrumentChange | null): string {
  if (!then) return NO_CHANGE_LEFT;
  const before = `before bar ${placeText(then.enter)}`;
  if (!isPositive(then.rest.quarters)) return `you then change ${before}, where there is no rest`;
  return `you then change in the rest ${before} (${restLengthText(then.rest)}): ${timeText(then)}`;
}

/** "let Clarinet 1, who rests there, take bars 41–42 on A (your last 12 notes before the rest): ...". */
function colleagueText(advice: ColleagueTakesBars, now: Verdict): string {
  const { which, notes, gained, part, way, instrument, sight } = advice;
  const name = clean(partName(part));
  const many = counted(notes, "note");
  const yours =
    gained === null
      ? `all ${many} of the passage`
      : `your ${which} ${notes === 1 ? "note" : many} ${which === "last" ? "before" : "after"} the rest`;
  const then =
    gained === null
      ? NO_CHANGE_LEFT
      : `${secondsText(gained.seconds)} more, ${thenText(gained.verdict, now)}`;
  if (way === "unison") {
    return `leave ${barsText(advice)} (${yours}) to ${name}, who plays the same notes there: ${then}`;
  }
  const on = shortName(instrument);
  const how = [
    ...(way === "takes-up" ? [] : [`with the ${on} in hand`]),
    ...(way === "by-sight" ? [sightText(sight)] : []),
    besideText(advice.before, "before"),
    besideText(advice.after, "after"),
  ].join(", ");
  return `let ${name}, who rests there, take ${barsText(advice)} on ${on} (${yours}): ${how}; ${then}`;
}

const NO_CHANGE_LEFT = "you then need no change there";

function besideText(rest: ColleagueRest | null, side: "before" | "after"): string {
  if (!rest) return `nothing to play ${side}`;
  const { seconds, change } = rest;
  if (!change) return `${secondsText(seconds)} free ${side}`;
  return `${secondsText(seconds)} ${side} to take up the ${shortName(change.to)} (${secondsText(change.neededSeconds)} needed)`;
}

function movedText({ passage, option, harder }: MovedPassage): string {
  const read = option.printed
    ? "as printed"
    : `${sightText(option.sight)}, ${writtenKeyText(option.writtenFifths)}`;
  const points =
    Math.abs(harder) < 0.05
      ? "as easy"
      : `${Math.abs(harder).toFixed(1)} points a note ${harder > 0 ? "harder" : "easier"}`;
  return `${barsText(passage)} (${counted(passage.noteCount, "note")}) on ${shortName(option.instrument)}, ${read}, ${points}`;
}

function endText(place: Moment): string {
  return place.atBarEnd ? `the ${placeText(place)}` : `bar ${placeText(place)}`;
}

/** From impossible to tight is a gain. */
function thenText(then: Verdict, now: Verdict): string {
  return then === "tight" && now === "impossible" ? "then tight" : THEN[then];
}
