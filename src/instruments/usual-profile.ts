import type { InstrumentId } from "../model/instrument.js";
import type {
  ChangeoverProfile,
  HandlingSeconds,
  PlayerLimits,
  Temperature,
} from "../model/profile.js";

/**
 * The profile used when the player gives none. All figures are assumptions (common practice, no source),
 * laid out so that the verdicts agree with what players have written down: a B-flat/A change with the
 * mouthpiece moved across comes to 3.5 s, so that under 5.25 s is tight and over 10.5 s ample
 * ("below 5 s risky, 8-10 s or more safer", a woodwind teacher's web article on the time required for
 * instrument switches; "about 2 s" for the quickest B-flat/A change, a web note of 2007).
 */
export const USUAL_HAND_TIMES: {
  readonly usual: HandlingSeconds;
  readonly instruments: Readonly<Partial<Record<InstrumentId, Partial<HandlingSeconds>>>>;
  readonly moveMouthpieceSeconds: number;
  readonly pageTurnSeconds: number;
} = {
  usual: { putDownSeconds: 1, pickUpSeconds: 1, settleSeconds: 1 },
  instruments: {
    "clarinet-bflat": { putDownSeconds: 0.7, pickUpSeconds: 0.7, settleSeconds: 0.6 },
    "clarinet-a": { putDownSeconds: 0.7, pickUpSeconds: 0.7, settleSeconds: 0.6 },
    "clarinet-c": { putDownSeconds: 0.7, pickUpSeconds: 0.7, settleSeconds: 0.6 },
    "clarinet-d": { putDownSeconds: 0.7, pickUpSeconds: 0.7 },
    "clarinet-eflat": { putDownSeconds: 0.7, pickUpSeconds: 0.7 },
    "bass-clarinet-bflat": { putDownSeconds: 1.5, pickUpSeconds: 2, settleSeconds: 1.2 },
    "bass-clarinet-a": { putDownSeconds: 1.5, pickUpSeconds: 2, settleSeconds: 1.2 },
    "contra-alto-clarinet-eflat": { putDownSeconds: 2, pickUpSeconds: 2.5, settleSeconds: 1.2 },
    "contrabass-clarinet-bflat": { putDownSeconds: 2, pickUpSeconds: 2.5, settleSeconds: 1.2 },
    bassoon: { putDownSeconds: 2, pickUpSeconds: 2.5 },
    contrabassoon: { putDownSeconds: 2.5, pickUpSeconds: 3 },
    "saxophone-baritone": { putDownSeconds: 2, pickUpSeconds: 2 },
  },
  moveMouthpieceSeconds: 1.5,
  pageTurnSeconds: 1.5,
};

/**
 * Limits taken where the player gives none; all assumptions. Tonguing: working limits derived from practitioners'
 * claims (comfortable 7.5, fast 9.3, extreme 10.7 strokes a second; no measurement was found). Breath: 12 to 25 s
 * loud, up to 40 s soft (from memory, consistent with the flow range of the University of New South Wales pages).
 * Soft high notes: from memory.
 */
export const USUAL_LIMITS: Required<PlayerLimits> = {
  tonguingPerSecond: 7.5,
  phraseSeconds: 18,
  softPhraseSeconds: 25,
  softHighSeconds: 4,
};

/**
 * Temperatures taken where the player gives none; all assumptions (no source; measurements of how a clarinet
 * cools were not found). The warm bore and the cooling are those that the reference list
 * "pitch_temperature.md" works out its resting model for, of its two coolings (300 s, 600 s) the slower:
 * a wooden body follows the air slowly.
 */
export const USUAL_TEMPERATURE: Required<Temperature> = {
  hallCelsius: 20,
  playingCelsius: 27,
  coolingSeconds: 600,
};

/** The profile used when the player gives none. One mouthpiece for B-flat and A is common practice. */
export const USUAL_PROFILE: ChangeoverProfile = {
  name: "usual figures",
  own: {},
  limits: {},
  temperature: {},
  sharedMouthpiece: [["clarinet-bflat", "clarinet-a"]],
  carries: ["clarinet-bflat", "clarinet-a"],
};
