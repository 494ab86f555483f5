import type { Fraction } from "../model/fraction.js";
import { ONE } from "../theory/fraction.js";
import { KeptWith } from "../theory/kept-with.js";
import { readBarContent, type BarContent, type NotationState } from "./bar-content.js";
import type { BarSlice } from "./bar-slices.js";
import type { PartSlices } from "./document-index.js";
import { positiveNumber } from "./durations.js";
import { parseContent } from "./elements.js";
import type { Notify } from "./notices.js";
import { COMMON_TIME } from "./meter.js";

/** The elements of a bar. @throws InputError naming the part and bar */
export function barElements(bytes: Buffer, slice: BarSlice, part: string) {
  if (slice.end <= slice.start) return [];
  return parseContent(bytes.toString("utf8", slice.start, slice.end), { part, bar: slice.label });
}

/**
 * A bar of a part that is not reported on.
 * @param notify is told what is odd in it; left out where that is not this player's concern
 * @throws InputError naming the part and bar
 */
export function readOtherBar(
  bytes: Buffer,
  other: PartSlices,
  barIndex: number,
  notify: Notify = () => undefined,
): BarContent {
  const slice = other.bars.bar(barIndex) ?? { label: "", start: 0, end: 0 };
  const state: NotationState = { divisions: divisionsBefore(other, barIndex), meter: COMMON_TIME };
  return readBarContent(barElements(bytes, slice, other.id), barIndex, state, notify);
}

const sharedBars = new KeptWith<PartSlices, Map<number, BarContent>>();

/** A bar with marks for all players: read once for all parts of a document that are asked for. */
export function readSharedBar(bytes: Buffer, other: PartSlices, barIndex: number): BarContent {
  const bars = sharedBars.of(other, () => new Map<number, BarContent>());
  let content = bars.get(barIndex);
  if (!content) bars.set(barIndex, (content = readOtherBar(bytes, other, barIndex)));
  return content;
}

function divisionsBefore(part: PartSlices, barIndex: number): Fraction {
  const mark = part.divisions.findLast((each) => each.barIndex < barIndex);
  return (mark && positiveNumber(mark.divisions)) ?? ONE;
}
