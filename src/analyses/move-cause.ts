import type { Reason } from "../fingering/transition.js";
import type { MoveCause } from "../model/fingering.js";

/** What makes a move hard above all: its heaviest reason, as far as it can be told to a player. */
export function moveCause(reasons: readonly Reason[]): MoveCause | undefined {
  // Whatever else there is, a player meets the break.
  const overBreak = reasons.find(({ kind }) => kind === "break");
  const [heaviest] = overBreak ? [overBreak] : [...reasons].sort((a, b) => b.effort - a.effort);
  if (!heaviest) return undefined;
  const goesDown = reasons.some(({ kind }) => kind === "hand-down");
  if (goesDown && heaviest.kind === "fingers") return { kind: "hand-down" };
  switch (heaviest.kind) {
    case "slide":
    case "roll":
    case "other-holds":
      return { kind: heaviest.kind, finger: heaviest.finger };
    case "break":
      return { kind: "break", fingers: heaviest.fingers };
    case "opposite":
      return { kind: "opposite" };
    case "fingers":
      return { kind: "fingers", fingers: heaviest.lifted.length + heaviest.pressed.length };
    case "reach":
    case "register-change":
    case "fingering":
    case "high-note":
    case "no-fingering":
      return { kind: heaviest.kind };
    // Said elsewhere: notes out of range are counted.
    case "hand-down":
    case "out-of-range":
      return undefined;
  }
}
