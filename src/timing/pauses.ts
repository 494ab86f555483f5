import type { PauseKind, PauseSign, TempoSign } from "../model/tempo.js";
import type { SecondsRange } from "../model/time.js";
import { readTempoWords } from "./tempo-words.js";

/**
 * What a sign may add to the notated time, in seconds. Assumptions (common practice, no source); no
 * figure of the report holds them, they stand beside it. Only the verdict on a change counts in the least
 * that the end of a movement gives.
 */
export const PAUSE_SECONDS: Readonly<Record<PauseKind, SecondsRange>> = {
  fermata: { short: 0.5, likely: 2, long: 5 },
  caesura: { short: 0.3, likely: 1, long: 2.5 },
  "breath-mark": { short: 0, likely: 0.2, long: 0.5 },
  "general-pause": { short: 0, likely: 1, long: 3 },
  "movement-end": { short: 5, likely: 15, long: 40 },
  "final-barline": { short: 0, likely: 5, long: 40 },
};

/**
 * Pauses that are printed as words: "G.P.", "lunga". Over a fermata they say how long that is held, and
 * are no second pause.
 */
export function pausesInWords(
  signs: readonly TempoSign[],
  pauses: readonly PauseSign[],
): readonly PauseSign[] {
  const held = new Set(pauses.map(({ at }) => at.barIndex));
  return signs
    .filter(({ at }) => !held.has(at.barIndex))
    .filter(({ words }) =>
      words.some((text) => readTempoWords(text).some(({ kind }) => kind === "pause")),
    )
    .map(({ at, partId }) => ({ at, partId, sign: "general-pause" }));
}
