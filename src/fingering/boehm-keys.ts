import type { Finger } from "../model/fingering.js";

export type Hand = "left" | "right";

/** What a finger works: a hole of the tube it covers, or a key. */
interface KeyRow {
  readonly finger: Finger;
  readonly kind: "hole" | "key";
  /** What players call it, by the written notes it stands for. */
  readonly description: string;
}

/**
 * The holes and keys of the standard Boehm clarinet: 17 keys and 6 rings, and the thumb hole.
 * Some charts number the side keys from the top; here S1 is the lowest.
 * Source: the project's reference list of Boehm fingerings, which took the names from the key
 * description of the Woodwind Fingering Guide (wfg.woodwind.org).
 */
export const KEYS = {
  T: { finger: "LT", kind: "hole", description: "thumb hole" },
  R: { finger: "LT", kind: "key", description: "register key" },
  L1: { finger: "LI", kind: "hole", description: "left index hole" },
  A: { finger: "LI", kind: "key", description: "throat A key" },
  Gs: { finger: "LI", kind: "key", description: "throat G-sharp key" },
  L2: { finger: "LM", kind: "hole", description: "left middle hole" },
  L3: { finger: "LR", kind: "hole", description: "left ring-finger hole" },
  LS: { finger: "LR", kind: "key", description: "left sliver key (E-flat 4, B-flat 5)" },
  Cs: { finger: "LL", kind: "key", description: "C-sharp 4, G-sharp 5" },
  LE: { finger: "LL", kind: "key", description: "E3, B4" },
  LF: { finger: "LL", kind: "key", description: "F3, C5" },
  LFs: { finger: "LL", kind: "key", description: "F-sharp 3, C-sharp 5" },
  S1: { finger: "RI", kind: "key", description: "lowest side key (E-flat 4, B-flat 5)" },
  S2: { finger: "RI", kind: "key", description: "second side key (F-sharp 4 with the lowest)" },
  S3: { finger: "RI", kind: "key", description: "third side key (side B-flat)" },
  S4: { finger: "RI", kind: "key", description: "top side key (trills)" },
  R1: { finger: "RI", kind: "hole", description: "right index hole" },
  R2: { finger: "RM", kind: "hole", description: "right middle hole" },
  R3: { finger: "RR", kind: "hole", description: "right ring-finger hole" },
  RS: { finger: "RR", kind: "key", description: "right sliver key (B3, F-sharp 5)" },
  RE: { finger: "RL", kind: "key", description: "E3, B4" },
  RF: { finger: "RL", kind: "key", description: "F3, C5" },
  RFs: { finger: "RL", kind: "key", description: "F-sharp 3, C-sharp 5" },
  RGs: { finger: "RL", kind: "key", description: "G-sharp 3, E-flat 5; vent of high notes" },
} as const satisfies Record<string, KeyRow>;
export type KeyId = keyof typeof KEYS;

/** The nine fingers, the left hand first, in the order reasons are given. */
export const FINGERS: readonly Finger[] = ["LT", "LI", "LM", "LR", "LL", "RI", "RM", "RR", "RL"];

/** Keys that do the same from either side: the little fingers may take turns on them. */
export const LINKED_PAIRS: readonly (readonly [left: KeyId, right: KeyId])[] = [
  ["LE", "RE"],
  ["LF", "RF"],
  ["LFs", "RFs"],
];

export function handOf(finger: Finger): Hand {
  return finger.startsWith("L") ? "left" : "right";
}

export function isLittleFinger(finger: Finger): boolean {
  return finger === "LL" || finger === "RL";
}

function isKeyId(text: string): text is KeyId {
  return Object.hasOwn(KEYS, text);
}

/** Reads keys as the tables write them, "T L1 L2"; for tables in the source, so it throws. */
export function parseKeys(text: string): readonly KeyId[] {
  return text
    .split(" ")
    .filter((part) => part !== "")
    .map((part) => {
      if (!isKeyId(part)) throw new Error(`not a key of the clarinet: ${part}`);
      return part;
    });
}
