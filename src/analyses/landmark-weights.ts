import type { LandmarkKind, OrchestraGroup } from "../model/landmark.js";
import { DYNAMICS, type Dynamic } from "../model/score.js";

/**
 * What a landmark is worth:
 *
 *     score = salience × nearness
 *
 * The salience is a sum of points for what is heard: what kind of thing it is, who plays, how loud, how far from
 * all else, after how much silence, with how few others. Nearness is 1 up to four bars before the entry and falls
 * from there; what comes while the hands are busy counts for less, because nobody listens then. About 5 is
 * something nobody misses, about 2 something that helps who waits for it. All figures are assumptions (common
 * practice, no source).
 */
export const LANDMARK_WEIGHTS = {
  kind: {
    tutti: 2.5,
    solo: 2,
    "many-stop": 2,
    "many-start": 1.5,
    "loud-arrival": 1.5,
    cadence: 1.5,
    entrance: 1,
  } satisfies Record<LandmarkKind, number>,
  /** Strings play nearly always, and do not stand out by playing. */
  group: {
    timpani: 1, brass: 0.8, percussion: 0.8, voice: 0.8, "harp-keys": 0.5, woodwind: 0.3, other: 0.3, strings: 0,
  } satisfies Record<OrchestraGroup, number>, // prettier-ignore
  /** For ffff; in equal steps down to nothing for pppp. */
  loudest: 1.5,
  /** An octave away from all else; more for more, up to two octaves. */
  octaveAway: 0.5,
  mostOctavesAway: 2,
  /** So many bars of silence are as good as any: beyond that nobody has the sound in the ear. */
  longSilenceBars: 32,
  longSilence: 2,
  /** For a sound that is alone, down to nothing where all play. */
  alone: 1.5,
  /** Least to be told at all. */
  leastScore: 1,
  nearness: {
    fullBars: 4,
    /** As a share, for what comes while the hands are busy. */
    beforeReady: 0.4,
  },
} as const;

/**
 * What is looked at before an entry; nobody counts on what was longer ago. An entrance after a long silence is
 * remembered further than a change of texture, which is not looked for beyond the fewer bars (reading all of
 * them would take longer than the rest of the job).
 */
export const WINDOW = { bars: 16, barsForAllKinds: 6, seconds: 30 } as const;

/** Later than this before the entry it is no help any more: a breath and the first move of the fingers. */
export const LATEST_SECONDS = 0.7;

/** What counts as what; each is a test on what is printed. */
export const LIMITS = {
  /** Bars of silence that make an entrance; brass, timpani and the like are noticed sooner. */
  entranceBars: 4,
  rareEntranceBars: 2,
  /** Parts that enter together after silences of which the shortest is at least this share of the longest. */
  sharedSilence: 0.5,
  /** Of the other parts that begin or stop at once, but not fewer than three. */
  many: 1 / 3,
  leastMany: 3,
  /** Of the other parts that sound in a tutti. */
  tutti: 2 / 3,
  /** Printed levels between which a loud arrival lies. */
  softUpTo: "mp",
  loudFrom: "f",
  /** Beats of silence that set a beginning or an end apart from detached notes. */
  gapBeats: 2,
  /** A line is alone for a bar at least. */
  soloBars: 1,
  /** Beats in which nobody begins anything after a cadence; parts that arrive, of those that sound. */
  cadenceBeats: 2,
  cadenceParts: 2 / 3,
  cadenceLeast: 3,
} as const;

/** How loud a level is, from 0 to 1. */
export function loudness(dynamic: Dynamic): number {
  return DYNAMICS.indexOf(dynamic) / (DYNAMICS.length - 1);
}

/** What bars of silence are worth, from 0 to 1: the first few are worth most. */
export function novelty(silentBars: number): number {
  const { longSilenceBars } = LANDMARK_WEIGHTS;
  return Math.min(1, Math.log2(1 + silentBars) / Math.log2(1 + longSilenceBars));
}

/** What is left of a landmark so many bars before the entry. */
export function nearness(bars: number, insideLookUp: boolean): number {
  const { fullBars, beforeReady } = LANDMARK_WEIGHTS.nearness;
  return (fullBars / Math.max(fullBars, bars)) * (insideLookUp ? 1 : beforeReady);
}

/** No landmark has more salience than this. */
export const MOST_SALIENCE =
  Math.max(...Object.values(LANDMARK_WEIGHTS.kind)) +
  Math.max(...Object.values(LANDMARK_WEIGHTS.group)) +
  LANDMARK_WEIGHTS.loudest +
  LANDMARK_WEIGHTS.octaveAway * LANDMARK_WEIGHTS.mostOctavesAway +
  LANDMARK_WEIGHTS.longSilence +
  LANDMARK_WEIGHTS.alone;
