import { childSpan, spanText, type Span } from "./spans.js";

/** Two places of a bar are one when they lie no further apart: divisions are whole numbers. */
export const SAME_PLACE_QUARTERS = 1e-6;

/** An element of a bar with its place in time. */
export interface PlacedSpan {
  readonly span: Span;
  /** Quarters from the start of the bar; a note of a chord has that of the chord. */
  readonly at: number;
  /** A note that begins where the one before does. */
  readonly isChord: boolean;
  /** Whether it stands before the first `<backup>`. */
  readonly isFirstVoice: boolean;
  /** Of a quarter, where it stands. */
  readonly divisions: number;
}

/**
 * Gives the elements of a bar their places, in the order of the document.
 * @param divisions of a quarter, as they are at the start of the bar
 * @returns the elements, and the divisions at the end of the bar
 */
export function placeSpans(
  text: string,
  spans: readonly Span[],
  divisions: number,
): { readonly placed: readonly PlacedSpan[]; readonly divisions: number } {
  let inForce = divisions;
  let at = 0;
  let chordAt = 0;
  let isFirstVoice = true;
  const quarters = (span: Span) => {
    if (childSpan(span, "grace")) return 0;
    const duration = Number(spanText(text, childSpan(span, "duration")));
    return (Number.isFinite(duration) ? duration : 0) / inForce;
  };
  const placed = spans.map((span): PlacedSpan => {
    const isChord = span.name === "note" && childSpan(span, "chord") !== undefined;
    const here = { span, at: isChord ? chordAt : at, isChord, isFirstVoice, divisions: inForce };
    if (span.name === "attributes") {
      const given = Number(spanText(text, childSpan(span, "divisions")));
      if (given > 0) inForce = given;
    } else if (span.name === "backup") {
      isFirstVoice = false;
      at -= quarters(span);
    } else if (span.name === "forward") {
      at += quarters(span);
    } else if (span.name === "note" && !isChord) {
      chordAt = at;
      at += quarters(span);
    }
    return here;
  });
  return { placed, divisions: inForce };
}
