import type { SpelledPitch } from "../model/score.js";
import { soundingPitch } from "../theory/pitch.js";
import type { InstrumentsInHand } from "./instruments-in-hand.js";

/** How a written note of the player's own sounds; bass-clef notes that the file has an octave too low are mended. */
export function ownSoundingPitch(
  { transpositionOf, isOctaveLow }: Pick<InstrumentsInHand, "transpositionOf" | "isOctaveLow">,
  written: SpelledPitch,
  noteIndex: number,
): SpelledPitch {
  const by = transpositionOf(noteIndex);
  const octaves = isOctaveLow(noteIndex) ? 1 : 0;
  return soundingPitch(written, { ...by, octaveChange: by.octaveChange + octaves });
}
