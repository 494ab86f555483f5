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
  | { readonly kind: "reach" | "register-change" | "fingering" | "high-note" | "no-fingering" };

/** How a trill or tremolo lies: one finger, fingers against each other, or hardly at all. */
export type TrillVerdict = "good" | "awkward" | "poor";
