import { SAME_PLACE_QUARTERS, type PlacedSpan } from "../musicxml/placed-spans.js";
import { childSpan, spanText, type Span } from "../musicxml/spans.js";
import type { Segment } from "./segments.js";

/** The `<attributes>` that stand before any music of the bar. */
export function leadingAttributes(spans: readonly Span[]): Span | undefined {
  const music = spans.findIndex(({ name }) => /^(?:note|backup|forward)$/.test(name));
  return spans.slice(0, music < 0 ? spans.length : music).find(({ name }) => name === "attributes");
}

/**
 * Where the signs of a segment go that begins inside a bar: with the signs of the page that stand there already,
 * else before the first rest or note of it, if there is one in the voice that is written first.
 */
export function placeOfSigns(
  placed: readonly PlacedSpan[],
  { from, signsBy }: Segment,
): PlacedSpan | undefined {
  const within = placed.filter(
    ({ at, isChord }) =>
      !isChord && at >= from.at - SAME_PLACE_QUARTERS && at <= signsBy.at + SAME_PLACE_QUARTERS,
  );
  const notes = within.filter(({ span }) => span.name === "note");
  const inVoice = notes.filter(({ isFirstVoice }) => isFirstVoice);
  const [note] = (inVoice.length > 0 ? inVoice : notes).sort((a, b) => a.at - b.at);
  const attributes = within.filter(
    ({ span, isFirstVoice }) => span.name === "attributes" && isFirstVoice,
  );
  const own =
    attributes.findLast(hasSigns) ??
    attributes.findLast(({ at }) => at <= (note?.at ?? 0) + SAME_PLACE_QUARTERS);
  return own ?? note;
}

/**
 * The last signs of the page before the notes of the segment that a bar begins in: signs before those would be
 * taken back at once.
 */
export function signsUpTo(
  text: string,
  placed: readonly PlacedSpan[],
  { barIndex, first }: { readonly barIndex: number; readonly first: Segment | undefined },
): Span | undefined {
  const isEntry = first?.signsBy.barIndex === barIndex && stavesOf(text, placed).size <= 1;
  const limit = isEntry ? first.signsBy.at : 0;
  return placed.findLast(
    (each) => each.isFirstVoice && each.at <= limit + SAME_PLACE_QUARTERS && hasSigns(each),
  )?.span;
}

/** Whether it prints what depends on the instrument. */
function hasSigns({ span }: PlacedSpan): boolean {
  const isSign = ({ name }: Span) => name === "key" || name === "transpose";
  return span.name === "attributes" && span.children.some(isSign);
}

/** The numbers of the staves that have notes in the bar. */
export function stavesOf(text: string, placed: readonly PlacedSpan[]): ReadonlySet<string> {
  return new Set(
    placed
      .filter(({ span }) => span.name === "note")
      .map(({ span }) => spanText(text, childSpan(span, "staff")) || "1"),
  );
}
