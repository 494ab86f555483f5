import type { TrillVerdict } from "../model/fingering.js";
import { fingeringsOf, TRILLS, type Fingering, type TrillFingering } from "./fingerings.js";
import { ownEffort, transition, type Reason } from "./transition.js";
import { WEIGHTS } from "./weights.js";

export interface TrillJudgement {
  /**
   * Good: little effort, as a rule one finger, or fingers of one hand together. Awkward: more than that,
   * fingers against each other, a finger that changes its key, the break. Poor: a slide, much effort, or no
   * fingering.
   */
  readonly verdict: TrillVerdict;
  /** Why the alternation takes what it takes; their efforts add up to `effort`. */
  readonly reasons: readonly Reason[];
  /** Of one move between the two notes, in moves of a strong finger. */
  readonly effort: number;
  /** The best pair; null where one of the notes has no fingering. */
  readonly fingering: TrillFingering | null;
  /** Whether it is a fingering for trills only. */
  readonly special: boolean;
}

/**
 * How well two notes alternate quickly under one slur: a trill, or a tremolo where they are further
 * apart. Of all pairs of fingerings, those for trills included, the one that takes least.
 * @param lowerMidi written MIDI number; the order of the two does not matter
 */
export function judgeTrill(lowerMidi: number, upperMidi: number): TrillJudgement {
  const [low, high] = [Math.min(lowerMidi, upperMidi), Math.max(lowerMidi, upperMidi)];
  let best: TrillJudgement = {
    verdict: "poor",
    reasons: [{ kind: "no-fingering", effort: WEIGHTS.noFingering }],
    effort: WEIGHTS.noFingering,
    fingering: null,
    special: false,
  };
  for (const pair of pairs(low, high)) {
    const judged = judgePair(pair);
    if (best.fingering === null || judged.effort < best.effort) best = judged;
  }
  return best;
}

function pairs(low: number, high: number): readonly TrillFingering[] {
  const plain = usable(low).flatMap((lower) => usable(high).map((upper) => ({ lower, upper })));
  const special = TRILLS.filter(({ lower, upper }) => lower.midi === low && upper.midi === high);
  return [...plain, ...special];
}

/** A trill is no place to try a fingering that only one data set has. */
function usable(midi: number): readonly Fingering[] {
  return fingeringsOf(midi).filter(({ kind }) => kind !== "dataset-only");
}

function judgePair(fingering: TrillFingering): TrillJudgement {
  const { lower, upper } = fingering;
  const move = transition(lower, upper, true);
  const special = lower.kind === "trill";
  // The two notes of a trill fingering stand for each other: the price of it is counted once.
  const own = [ownEffort(upper), ...(special ? [] : [ownEffort(lower)])].flatMap(
    // High notes are high whether they are trilled or not.
    ({ reasons }) => reasons.filter(({ kind }) => kind !== "high-note"),
  );
  const reasons = [...move.reasons, ...own];
  const effort = reasons.reduce((sum, reason) => sum + reason.effort, 0);
  return { verdict: verdictOf(effort, move.reasons), reasons, effort, fingering, special };
}

/** A finger that changes its key, or fingers against each other, are never good however light. */
const NEVER_GOOD: readonly Reason["kind"][] = ["roll", "opposite", "break"];

function verdictOf(effort: number, reasons: readonly Reason[]): TrillVerdict {
  const slides = reasons.some(({ kind }) => kind === "slide");
  if (slides || effort > WEIGHTS.trillAwkward) return "poor";
  const clumsy = reasons.some(({ kind }) => NEVER_GOOD.includes(kind));
  return effort <= WEIGHTS.trillGood && !clumsy ? "good" : "awkward";
}
