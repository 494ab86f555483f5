import type { PartNote, PartTimeline, Position, SpelledPitch } from "../../src/model/score.js";

/** A note in one line: `C5 2:1/2+1` is C5, half a quarter into bar 2, one quarter long. */
export function showNote(note: PartNote): string {
  const name = note.pitches.map(showPitch).join(" ") || "no pitch";
  const ties = `${note.tiedFromBefore ? "~" : ""}${name}${note.tiedToNext ? "~" : ""}`;
  const place = `${note.barIndex + 1}:${note.offset.toFraction()}+${note.duration.toFraction()}`;
  const kinds = [note.grace && "grace", note.cue && "cue", note.hidden && "hidden"];
  return [ties, place, ...kinds].filter(Boolean).join(" ");
}

/** `B4`, `Bb4`, `F#5`, `Ebb3`. */
function showPitch({ step, alter, octave }: SpelledPitch): string {
  return `${step}${(alter < 0 ? "b" : "#").repeat(Math.abs(alter))}${octave}`;
}

export function showNotes({ notes }: Pick<PartTimeline, "notes">): readonly string[] {
  return notes.map(showNote);
}

/** `2:1/2` is half a quarter into bar 2. */
export function showPosition({ barIndex, offset }: Position): string {
  return `${barIndex + 1}:${offset.toFraction()}`;
}

/** Quarters of each bar, as fractions. */
export function showLengths({ bars }: Pick<PartTimeline, "bars">): string {
  return bars.map(({ lengthQuarters }) => lengthQuarters.toFraction()).join(" ");
}
