import type { Finger, Register } from "../model/fingering.js";
import { FINGERS, handOf, isLittleFinger, type KeyId } from "./boehm-keys.js";
import { keysOf, registerOf, type Fingering } from "./fingerings.js";
import { WEIGHTS } from "./weights.js";

/** Why a move takes effort. The efforts of all reasons add up to that of the move. */
export type Reason = { readonly effort: number } & (
  | { readonly kind: "fingers"; readonly lifted: readonly Finger[]; readonly pressed: readonly Finger[] }
  /** A finger that reaches aside for a side key or a sliver key, or comes back from it. */
  | { readonly kind: "reach"; readonly keys: readonly KeyId[] }
  | { readonly kind: "opposite"; readonly inHand: number; readonly betweenHands: number }
  /** A little finger from key to key of its side, or another finger from hole or key to another. */
  | { readonly kind: "slide" | "roll"; readonly finger: Finger; readonly from: KeyId; readonly to: KeyId }
  /** A little finger works while the other one holds. */
  | { readonly kind: "other-holds"; readonly finger: Finger; readonly holding: KeyId }
  /** Open tube to closed with the register key, or back: throat to clarion as a rule. How many fingers move at once. */
  | { readonly kind: "break"; readonly fingers: number; readonly slurred: boolean }
  | { readonly kind: "register-change" }
  /** An alternate fingering, an uncertain one, a high note: what the fingering takes by itself. */
  | { readonly kind: "fingering"; readonly use: Fingering["kind"] }
  | { readonly kind: "high-note" }
  | { readonly kind: "hand-down" }
  | { readonly kind: "no-fingering" }
  | { readonly kind: "out-of-range" }
); // prettier-ignore

export interface Transition {
  readonly effort: number;
  readonly reasons: readonly Reason[];
}

type Change =
  | { readonly kind: "lift" | "press"; readonly finger: Finger }
  | { readonly kind: "shift"; readonly finger: Finger; readonly from: KeyId; readonly to: KeyId };

/** What each finger does that does something. One that keeps its keys is not there. */
function changes(from: Fingering, to: Fingering): readonly Change[] {
  return FINGERS.flatMap((finger, k): Change[] => {
    const before = from.hands[k] ?? [];
    const after = to.hands[k] ?? [];
    const left = before.filter((key) => !after.includes(key));
    const taken = after.filter((key) => !before.includes(key));
    const [lost] = left;
    const [gained] = taken;
    if (lost && gained) return [{ kind: "shift", finger, from: lost, to: gained }];
    if (lost) return [{ kind: "lift", finger }];
    return gained ? [{ kind: "press", finger }] : [];
  });
}

/**
 * Effort of going from one fingering to another in one move, and why. The same both ways.
 * @param slurred without a tongue between the two: the break is harder then
 */
export function transition(from: Fingering, to: Fingering, slurred: boolean): Transition {
  const moved = changes(from, to);
  const inDirection = (kind: "lift" | "press") =>
    moved.filter((change) => change.kind === kind).map(({ finger }) => finger);
  const lifted = inDirection("lift");
  const pressed = inDirection("press");
  const reasons: Reason[] = [];
  if (lifted.length + pressed.length > 0) {
    reasons.push({
      kind: "fingers",
      lifted,
      pressed,
      effort: groupEffort(lifted) + groupEffort(pressed),
    });
  }
  reasons.push(...oppositeMotion(lifted, pressed));
  for (const change of moved) {
    if (change.kind !== "shift") continue;
    const { finger, from: left, to: taken } = change;
    const kind = isLittleFinger(finger) ? "slide" : "roll";
    reasons.push({ kind, finger, from: left, to: taken, effort: WEIGHTS[kind] });
  }
  reasons.push(...otherHolds(from, to, moved));
  const aside = ASIDE.filter((key) => from.keys.includes(key) !== to.keys.includes(key));
  if (aside.length > 0) {
    reasons.push({ kind: "reach", keys: aside, effort: WEIGHTS.reach });
  }
  reasons.push(...registerEffort(from, to, moved.length, slurred));
  return { effort: reasons.reduce((sum, { effort }) => sum + effort, 0), reasons };
}

/** Keys beside the holes that a finger otherwise busy with a hole has to reach for. */
const ASIDE: readonly KeyId[] = ["LS", "S1", "S2", "S3", "S4", "RS"];

/** Fingers of one hand that go the same way help each other: the weakest counts in full. */
function groupEffort(fingers: readonly Finger[]): number {
  let sum = 0;
  for (const hand of ["left", "right"] as const) {
    const weights = fingers
      .filter((finger) => handOf(finger) === hand)
      .map((finger) => WEIGHTS.finger[finger]);
    const heaviest = Math.max(0, ...weights);
    const total = weights.reduce((a, b) => a + b, 0);
    sum += heaviest + WEIGHTS.together * (total - heaviest);
  }
  return sum;
}

/** Pairs of fingers of which one lifts while the other goes down, first within the hands. */
function oppositeMotion(lifted: readonly Finger[], pressed: readonly Finger[]): readonly Reason[] {
  const inLeft = (fingers: readonly Finger[]) =>
    fingers.filter((finger) => handOf(finger) === "left").length;
  const [up, down] = [inLeft(lifted), inLeft(pressed)];
  const [rightUp, rightDown] = [lifted.length - up, pressed.length - down];
  const left = Math.min(up, down);
  const right = Math.min(rightUp, rightDown);
  const inHand = left + right;
  const betweenHands =
    Math.min(up - left, rightDown - right) + Math.min(down - left, rightUp - right);
  if (inHand + betweenHands === 0) return [];
  const effort = inHand * WEIGHTS.oppositeInHand + betweenHands * WEIGHTS.oppositeBetweenHands;
  return [{ kind: "opposite", inHand, betweenHands, effort }];
}

/** A little finger that works alone while the other one must not follow. */
function otherHolds(from: Fingering, to: Fingering, moved: readonly Change[]): readonly Reason[] {
  const [only, ...others] = moved;
  if (!only || others.length > 0 || !isLittleFinger(only.finger)) return [];
  const other = only.finger === "LL" ? "RL" : "LL";
  const [holding] = keysOf(from, other).filter((key) => keysOf(to, other).includes(key));
  if (!holding) return [];
  return [{ kind: "other-holds", finger: only.finger, holding, effort: WEIGHTS.otherHolds }];
}

/** The register a fingering is in: B4 and C5 by the side keys are throat notes to the fingers. */
function registerPlayed({ midi, keys, kind }: Fingering): Register {
  return kind === "trill" && !keys.includes("T") ? "throat" : registerOf(midi);
}

function registerEffort(
  from: Fingering,
  to: Fingering,
  fingers: number,
  slurred: boolean,
): readonly Reason[] {
  const [low, high] = [from, to].sort((a, b) => a.midi - b.midi).map(registerPlayed);
  if (low === high) return [];
  const above = high === "clarion" || high === "altissimo" || high === "extreme";
  const opens = low === "throat" || (low === "chalumeau" && fingers >= WEIGHTS.breakFrom);
  if (opens && above) {
    const plain = WEIGHTS.breakAtAll + WEIGHTS.breakFinger * fingers;
    const effort = slurred ? plain * WEIGHTS.breakSlurred : plain;
    return [{ kind: "break", fingers, slurred, effort }];
  }
  // Chalumeau to throat is one register of the tube, and so is all above C6.
  if (!above || low === "altissimo") return [];
  return [{ kind: "register-change", effort: WEIGHTS.registerChange }];
}

/** What a fingering takes by itself, whatever stood before. */
export function ownEffort({ midi, kind, handDown }: Fingering): Transition {
  const reasons: Reason[] = [];
  const byKind = WEIGHTS.kind[kind];
  if (byKind > 0) reasons.push({ kind: "fingering", use: kind, effort: byKind });
  const byRegister = WEIGHTS.register[registerOf(midi)];
  if (byRegister > 0) reasons.push({ kind: "high-note", effort: byRegister });
  if (handDown) reasons.push({ kind: "hand-down", effort: WEIGHTS.handDown });
  return { effort: reasons.reduce((sum, { effort }) => sum + effort, 0), reasons };
}
