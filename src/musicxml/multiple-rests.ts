import type { BarSlice } from "./bar-slices.js";
import { positiveNumber } from "./durations.js";
import { readSpans, spanText, type Span } from "./spans.js";
import { ONE, toNumber } from "../theory/fraction.js";

/** Bars that are printed as one sign with a number; positions in the file, both included. */
export interface MultipleRest {
  readonly first: number;
  readonly last: number;
}

/** The multiple rests of a part (`<measure-style>`, `<multiple-rest>`) in the order of the page. */
export function multipleRests(bytes: Buffer, slices: readonly BarSlice[]): readonly MultipleRest[] {
  const found: MultipleRest[] = [];
  slices.forEach(({ start, end }, first) => {
    if (!bytes.subarray(start, end).includes("<multiple-rest")) return;
    const text = bytes.toString("utf8", start, end);
    const counts = descendants(readSpans(text), "multiple-rest").map((span) =>
      toNumber(positiveNumber(spanText(text, span)) ?? ONE),
    );
    const count = Math.min(Math.floor(Math.max(...counts)), slices.length - first);
    if (count > 1) found.push({ first, last: first + count - 1 });
  });
  return found;
}

function descendants(spans: readonly Span[], name: string): readonly Span[] {
  return spans.flatMap((span) => (span.name === name ? [span] : descendants(span.children, name)));
}
