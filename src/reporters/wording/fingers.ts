import type { Finger, MoveCause, Register } from "../../model/fingering.js";
import type { Demand, HardSpot, RatedTrill } from "../../model/report.js";
import type { SpelledPitch } from "../../model/score.js";
import { movePitch } from "../../theory/pitch.js";
import { shortName } from "./instruments.js";
import { barsText, placeText } from "./places.js";
import { secondsText } from "./quantities.js";

const FINGER_NAMES: Readonly<Record<Finger, string>> = {
  LT: "left thumb",
  LI: "left index finger",
  LM: "left middle finger",
  LR: "left ring finger",
  LL: "left little finger",
  RI: "right index finger",
  RM: "right middle finger",
  RR: "right ring finger",
  RL: "right little finger",
};

export const REGISTER_NAMES: Readonly<Record<Register, string>> = {
  chalumeau: "chalumeau",
  throat: "throat",
  clarion: "clarion",
  altissimo: "altissimo",
  extreme: "above G6",
};

/** "C♯5": written, as a player would say it. */
export function pitchText({ step, alter, octave }: SpelledPitch): string {
  const signs: Readonly<Record<string, string>> = {
    "-2": "♭♭",
    "-1": "♭",
    "0": "",
    "1": "♯",
    "2": "𝄪",
  };
  return `${step}${signs[String(alter)] ?? `(${alter > 0 ? "+" : ""}${alter})`}${octave}`;
}

/** What a move asks of the hands. */
export function causeText(cause: MoveCause): string {
  switch (cause.kind) {
    case "slide":
      return `the ${FINGER_NAMES[cause.finger]} slides`;
    case "roll":
      return `the ${FINGER_NAMES[cause.finger]} changes keys`;
    case "other-holds":
      return `the ${FINGER_NAMES[cause.finger]} works while the other holds`;
    case "break":
      return `over the break with ${cause.fingers} fingers`;
    case "opposite":
      return "fingers against each other";
    case "fingers":
      return cause.fingers === 1 ? "one finger" : `${cause.fingers} fingers at once`;
    case "hand-down":
      return "the right hand goes down for the break";
    case "reach":
      return "a reach for a side key";
    case "register-change":
      return "a change of register";
    case "fingering":
      return "no plain fingering";
    case "high-note":
      return "a high note";
    case "no-fingering":
      return "no fingering known here";
  }
}

/** The same key of the piano without double accidentals: nobody would print E double flat. */
function plainPitch(pitch: SpelledPitch): SpelledPitch {
  return Math.abs(pitch.alter) < 2 ? pitch : movePitch(pitch, Math.sign(pitch.alter), 0);
}

/** Another instrument is worth naming where the same notes take half as much or less. */
const LIGHTER = 0.5;

/** "bar 41: C♯5 to E♭5 at 11 notes a second, the right little finger slides; on A: F5 to G5, lighter". */
export function spotText(spot: HardSpot): string {
  const { at, from, to, notesPerSecond, strain, cause, elsewhere } = spot;
  const move = (start: SpelledPitch | null, end: SpelledPitch) =>
    start ? `${pitchText(start)} to ${pitchText(end)}` : pitchText(end);
  const others = elsewhere
    .filter((other) => other.strain <= LIGHTER * strain)
    .map(({ instrument, from: start, to: end }) => {
      const there = move(start && plainPitch(start), plainPitch(end));
      return `; on ${shortName(instrument)} ${there}, lighter`;
    });
  return `bar ${placeText(at)}: ${move(from, to)} at ${speedText(notesPerSecond)}, ${causeText(cause)}${others.join("")}`;
}

/** "bar 12: trill E♭4–F4 lies well". */
export function trillText({ at, kind, lower, upper, verdict, cause }: RatedTrill): string {
  const why = verdict !== "good" && cause ? `, ${causeText(cause)}` : "";
  return `bar ${placeText(at)}: ${kind} ${pitchText(lower)}–${pitchText(upper)} lies ${verdict === "good" ? "well" : verdict === "awkward" ? "awkwardly" : "badly"}${why}`;
}

export function speedText(notesPerSecond: number): string {
  return `${notesPerSecond < 10 ? Math.round(notesPerSecond * 10) / 10 : Math.round(notesPerSecond)} notes a second`;
}

/** What a place asks of tongue, breath or lip, with the limit it is held against. */
export function demandText(demand: Demand): string {
  const { limit } = demand;
  const place = barsText(demand);
  const yours = limit.assumed ? "usual limit" : "your limit";
  switch (demand.kind) {
    case "fast-tonguing":
      return `${place}: ${demand.strokes} tongued notes at ${demand.strokesPerSecond.toFixed(1)} a second (${yours} ${limit.value})`;
    case "long-phrase":
      return `${place}: ${secondsText(demand.seconds)} without a rest to breathe in (${yours} ${limit.value} s)`;
    case "soft-high-note":
      return `${place}: ${pitchText(demand.pitch)} ${demand.dynamic} for ${secondsText(demand.seconds)} (${yours} ${limit.value} s)`;
  }
}
