import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { Bar, PartInfo, PartTimeline } from "../model/score.js";
import { fraction, isPositive, maxFraction, ONE, toNumber, ZERO } from "../theory/fraction.js";
import { readBarContent, type BarContent, type NotationState } from "./bar-content.js";
import { COMMON_TIME } from "./meter.js";
import { NoticeCollector } from "./notices.js";
import type { BarSlice } from "./bar-slices.js";
import type { DocumentIndex, PartSlices } from "./document-index.js";
import { fillMeasureRepeat, type MeasureRepeatState } from "./measure-repeat.js";
import { barElements, readOtherBar, readSharedBar } from "./other-bars.js";
import { PageSigns } from "./page-signs.js";
import { readScoreKeys } from "./score-keys.js";

/** More bars than the longest opera holds. */
const MOST_BARS = 100_000;

interface ReadBar {
  readonly slice: BarSlice;
  readonly content: BarContent;
}

/**
 * Reads one part, and from every other part the marks that concern all players:
 * tempi, pauses, repeats, endings, jumps and rehearsal marks.
 *
 * @param bytes the document as UTF-8
 * @throws InputError naming the part and bar when a bar cannot be read
 */
export function readTimeline(
  bytes: Buffer,
  index: DocumentIndex,
  part: PartInfo,
  concertScore: boolean,
): PartTimeline {
  const slices = index.parts.find((each) => each.id === part.id);
  if (!slices) throw new InputError("no-matching-part", `no part "${part.id}" in the document`);
  if (slices.bars.length === 0) {
    throw new InputError("no-parts", "the part has no bars", { part: part.id });
  }
  if (slices.bars.length > MOST_BARS) {
    throw new InputError("too-large", `more than ${MOST_BARS} bars`, { part: part.id });
  }
  const notices = new NoticeCollector();
  const signs = new PageSigns(slices.bars.length);
  const readBars = readPart(bytes, slices, signs, notices);
  const otherParts = index.parts.filter((each) => each !== slices);
  otherParts.forEach((other) => {
    readSharedMarks(bytes, other, other === index.parts[0], slices, signs, notices);
  });
  signs.finish((barIndex) => notices.at(slices.bars.label(barIndex), slices.id));
  const lengths = barLengths(readBars, otherParts, bytes, signs, notices);
  const bars = assembleBars(readBars, lengths, signs);
  return {
    part,
    bars,
    notes: readBars.flatMap(({ content }) => content.notes),
    rests: readBars.flatMap(({ content }) => content.rests),
    ...signs.placed(bars, notices),
    ...readScoreKeys(bytes, otherParts, notices),
    pagesArePlayers: index.parts.length === 1,
    concertScore,
    notices: notices.all(),
  };
}

function readPart(
  bytes: Buffer,
  slices: PartSlices,
  signs: PageSigns,
  notices: NoticeCollector,
): readonly ReadBar[] {
  const state: NotationState = { divisions: ONE, meter: COMMON_TIME };
  const repeatState: MeasureRepeatState = { bars: 0 };
  const read: ReadBar[] = [];
  const contents: BarContent[] = [];
  for (const [barIndex, slice] of slices.bars.toArray().entries()) {
    const notify = notices.at(slice.label, slices.id);
    const elements = barElements(bytes, slice, slices.id);
    const plain = readBarContent(elements, barIndex, state, notify);
    const content = fillMeasureRepeat(plain, barIndex, repeatState, contents, notify);
    signs.addOwn(content, barIndex, slices.id, notify);
    read.push({ slice, content });
    contents.push(content);
  }
  return read;
}

function readSharedMarks(
  bytes: Buffer,
  other: PartSlices,
  isTop: boolean,
  own: PartSlices,
  signs: PageSigns,
  notices: NoticeCollector,
): void {
  for (const barIndex of other.sharedMarks) {
    if (barIndex >= Math.min(other.bars.length, own.bars.length)) continue;
    const notify = notices.at(other.bars.label(barIndex), other.id);
    const content = readSharedBar(bytes, other, barIndex);
    signs.addShared(
      content,
      barIndex,
      { partId: other.id, isOwn: false, isTempoPart: isTop },
      notify,
    );
  }
}

/**
 * A bar lasts as long as what stands in it. Where that is less than the meter says, the other parts
 * are asked: it may be a pick-up or half of a divided bar, or one part left incomplete.
 */
function barLengths(
  bars: readonly ReadBar[],
  others: readonly PartSlices[],
  bytes: Buffer,
  signs: PageSigns,
  notices: NoticeCollector,
): readonly Fraction[] {
  const lengths: Fraction[] = [];
  for (const [barIndex, bar] of bars.entries()) {
    lengths.push(barLength(bar.content, barIndex, others, bytes));
  }
  for (const [barIndex, { slice, content }] of bars.entries()) {
    const length = lengths[barIndex] ?? ZERO;
    const { meter } = content;
    if (meter.unmetered || length.equals(meter.barQuarters)) continue;
    const closesRepeat = signs.bar(barIndex).flow.repeatEnd !== undefined;
    if (isDividedBar(lengths, barIndex, meter.barQuarters, closesRepeat)) continue;
    notices.at(slice.label)({
      kind: "bar-length",
      quarters: toNumber(length),
      meterQuarters: toNumber(meter.barQuarters),
      meter: meter.label,
    });
  }
  return lengths;
}

function barLength(
  { filled, meter }: BarContent,
  barIndex: number,
  others: readonly PartSlices[],
  bytes: Buffer,
): Fraction {
  if (!meter.unmetered && filled.compare(meter.barQuarters) >= 0) return filled;
  let longest = filled;
  for (const other of others) {
    longest = maxFraction(longest, readOtherBar(bytes, other, barIndex).filled);
  }
  return isPositive(longest) ? longest : meter.barQuarters;
}

/** A pick-up, the bar that makes up for it at the end or at a repeat, or a bar split in two by a double bar. */
function isDividedBar(
  lengths: readonly Fraction[],
  barIndex: number,
  full: Fraction,
  closesRepeat: boolean,
): boolean {
  const length = lengths[barIndex] ?? ZERO;
  if (length.compare(full) > 0) return false;
  if (barIndex === 0) return true;
  const neighbours = [lengths[barIndex - 1], lengths[barIndex + 1]];
  if (closesRepeat || barIndex === lengths.length - 1) neighbours.push(lengths[0]);
  return neighbours.some((other) => other?.add(length).equals(full));
}

function assembleBars(
  read: readonly ReadBar[],
  lengths: readonly Fraction[],
  signs: PageSigns,
): readonly Bar[] {
  let writtenQuarters = fraction(0);
  const bars: Bar[] = [];
  for (const [barIndex, { slice, content }] of read.entries()) {
    const lengthQuarters = lengths[barIndex] ?? ZERO;
    const { flow, newPage, rehearsal } = signs.bar(barIndex);
    bars.push({
      barIndex,
      barLabel: slice.label === "" ? String(barIndex + 1) : slice.label,
      writtenQuarters,
      lengthQuarters,
      meter: content.meter,
      ...flow,
      newPage,
      ...(rehearsal !== undefined && { rehearsal }),
    });
    writtenQuarters = writtenQuarters.add(lengthQuarters);
  }
  return bars;
}
