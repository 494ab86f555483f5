import type { Finger, Register } from "../model/fingering.js";

/**
 * The score of a passage. For every note there is a strain: the effort of the move to it, the effort
 * of the fingering itself, both times a factor of the speed. The load is the sum of the strains, the
 * score their mean over all notes of the passage.
 *
 *     strain = effort / unitEffort × (notes a second / 8)²
 *
 * 0  nothing to think of: one repeated note, a slow tune
 * 1  the scale of F major over two octaves in sixteenths at quarter = 120 (8 notes a second)
 * 5  the limit of a professional: the same scale at 18 notes a second, or at 8 notes a second a
 *    passage in which every move takes five times the fingers
 *
 * The square is an assumption: twice the speed, four times the strain. The weights are efforts in
 * moves of a strong finger, assumptions set by the checks in tests/fingering: the order of the keys,
 * the trills, and the published choice of clarinet. The order and the choice stay with any of them a
 * tenth more or less. Nothing in them knows of a key or a passage.
 */
export const WEIGHTS = {
  /** What one score point is in effort: the mean over F3 to F5 and back, so that it scores 1. */
  unitEffort: 1.65,
  /** Notes a second at which effort in units is strain. */
  unitSpeed: 8,
  /** How strain grows with speed. */
  speedPower: 2,
  /** Notes a second above which nothing grows: notes without a length. */
  fastest: 24,

  /** A finger that lifts or goes down: strong fingers first, the little finger weakest. */
  finger: {
    LT: 1, LI: 1, LM: 1, LR: 1.2, LL: 1.5,
    RI: 1, RM: 1, RR: 1.2, RL: 1.5,
  } satisfies Record<Finger, number>, // prettier-ignore
  /** On top where a finger reaches aside: to a side key or a sliver key, from nothing or from a hole. */
  reach: 0.5,
  /** Each further finger of the same hand going the same way, as part of its own effort. */
  together: 0.4,
  /** A finger of a hand that lifts while another of that hand goes down. */
  oppositeInHand: 1.5,
  /** The same between the hands. */
  oppositeBetweenHands: 0.8,
  /** A little finger from key to key of its side. */
  slide: 8,
  /** A little finger that works alone while the other one has to hold its key down. */
  otherHolds: 0.4,
  /** A finger that leaves one hole or key for another: left index to the throat keys and the like. */
  roll: 1.8,
  /** Over the break: at all, and for each finger that moves. */
  breakAtAll: 1,
  breakFinger: 0.2,
  /** From so many fingers on a move from chalumeau to clarion is one over the break too. */
  breakFrom: 5,
  /** A break under a slur, as part of the above. */
  breakSlurred: 1.5,
  /** Between chalumeau and clarion, or clarion and altissimo: the voicing changes. */
  registerChange: 0.8,

  /** What a fingering takes by itself: less good in tune or in sound, or hardly known. */
  kind: { standard: 0, alternate: 0.3, "dataset-only": 3, trill: 0.3 },
  /** Fingers put down that the note does not need. */
  handDown: 0.1,
  /** What a note takes by its register. */
  register: {
    chalumeau: 0, throat: 0, clarion: 0, altissimo: 1, extreme: 4,
  } satisfies Record<Register, number>, // prettier-ignore

  /** A note that no fingering is known for (quarter tones, below E3 on long instruments). */
  noFingering: 6,
  /** A note the instrument does not have. */
  outOfRange: 15,

  /** Trills: up to here good, up to there awkward, above poor. In effort of one alternation. */
  trillGood: 2,
  trillAwkward: 5,

  /** Reading: for each sharp or flat of the key on every note, and for each accidental printed. */
  signature: 0.06,
  accidental: 0.5,
} as const;

/** Notes a second for the seconds from one onset to the next; at most `fastest`. */
export function notesPerSecond(seconds: number): number {
  return seconds > 0 ? Math.min(1 / seconds, WEIGHTS.fastest) : WEIGHTS.fastest;
}

/** Strain of an effort in the seconds there are for it: next to nothing when slow, never falling. */
export function strainOf(effort: number, seconds: number): number {
  const { unitEffort, unitSpeed, speedPower } = WEIGHTS;
  return (effort / unitEffort) * (notesPerSecond(seconds) / unitSpeed) ** speedPower;
}
