/** A finger: L or R for the hand; T thumb, I index, M middle, R ring, L little. */
export type Finger = "LT" | "LI" | "LM" | "LR" | "LL" | "RI" | "RM" | "RR" | "RL";

/** Written registers of the clarinet: the throat has no partner a twelfth higher. */
export const REGISTERS = ["chalumeau", "throat", "clarion", "altissimo", "extreme"] as const;
export type Register = (typeof REGISTERS)[number];

/** What makes a move of the fingers hard; the heaviest reason of the move. */
export type MoveCause =
  | { readonly kind: "slide" | "roll"; readonly finger: Finger }
  | { readonly kind: "break"; readonly fingers: number }
  | { readonly kind: "opposite" }
  | { readonly kind: "fingers"; readonly fingers: number }
  | { readonly kind: "other-holds"; readonly finger: Finger }
  /** The right hand goes down early, for the break that comes. */
  | { readonly kind: "hand-down" }
  | { readonly kind: "reach" | "register-change" | "fingering" | "high-note" | "no-fingering" };

/** A passage with a note that the instrument does not have is so much harder than anything else (assumption). */
export const OUT_OF_RANGE_POINTS = 10;

/** How a trill or tremolo lies: one finger, fingers against each other, or hardly at all. */
export type TrillVerdict = "good" | "awkward" | "poor";
