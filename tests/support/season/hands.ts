import Fraction from "fraction.js";
import type { Instrument } from "./music.js";
import type { HandPlan } from "./plan.js";

// Hand times and verdicts as README.md has them ("HANDS, in seconds", the table of verdicts).

/** Seconds; where README.md shows none the figures are those of the shipped profile (common practice, no source). */
const USUAL: Readonly<Record<Instrument, Readonly<Record<string, string>>>> = {
  "clarinet-bflat": { putDownSeconds: "0.7", pickUpSeconds: "0.7", settleSeconds: "0.6" },
  "clarinet-a": { putDownSeconds: "0.7", pickUpSeconds: "0.7", settleSeconds: "0.6" },
  "clarinet-eflat": { putDownSeconds: "0.7", pickUpSeconds: "0.7", settleSeconds: "1" },
  "bass-clarinet-bflat": { putDownSeconds: "1.5", pickUpSeconds: "2", settleSeconds: "1.2" },
};
const USUAL_MOUTHPIECE_SECONDS = "1.5";
/** One mouthpiece for these two. */
const SHARED: readonly Instrument[] = ["clarinet-bflat", "clarinet-a"];

/** What the hands need from one instrument to the other. */
export function neededSeconds(hands: HandPlan, from: Instrument, to: Instrument): Fraction {
  const figure = (instrument: Instrument, action: string) =>
    hands.instruments?.[instrument]?.[action] ?? USUAL[instrument][action] ?? "";
  const moved = SHARED.includes(from) && SHARED.includes(to);
  const steps = [
    figure(from, "putDownSeconds"),
    moved ? (hands.moveMouthpieceSeconds ?? USUAL_MOUTHPIECE_SECONDS) : "0",
    figure(to, "pickUpSeconds"),
    figure(to, "settleSeconds"),
  ];
  return steps.reduce((sum, seconds) => sum.add(seconds), new Fraction(0));
}

/** Nearer to a limit than this a verdict would hang on the last binary digit. */
const TOO_NEAR = new Fraction(1, 1_000_000);

/**
 * @param restSeconds the least, pauses among them
 * @param lookUpBars undefined where a pause lasts until the hands are ready
 * @throws where the plan lies on a limit: another seed must be taken
 */
export function verdictOf(
  restSeconds: Fraction,
  needed: Fraction,
  lookUpBars: Fraction | undefined,
): string {
  const limits = [needed, needed.mul("1.5"), needed.mul(3)];
  const isNear = (a: Fraction, b: Fraction) => a.sub(b).abs().compare(TOO_NEAR) < 0;
  const onLimit = limits.some((limit) => isNear(restSeconds, limit));
  if (onLimit || (lookUpBars && isNear(lookUpBars, new Fraction(1)))) {
    throw new Error("the plan has a rest on the limit of two verdicts");
  }
  if (restSeconds.compare(needed) < 0) return "impossible";
  if (lookUpBars && lookUpBars.compare(1) < 0) return "tight";
  if (restSeconds.compare(limits[1]!) < 0) return "tight";
  return restSeconds.compare(limits[2]!) < 0 ? "workable" : "ample";
}
