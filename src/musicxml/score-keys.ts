import { InputError } from "../model/input-error.js";
import type { FromHere, PartTimeline, Position } from "../model/score.js";
import { KeptWith } from "../theory/kept-with.js";
import { transpositionFifths } from "../theory/pitch.js";
import { readTransposition } from "./bar-content.js";
import type { PartSlices } from "./document-index.js";
import { child, children, childText, type XmlElement } from "./elements.js";
import type { NoticeCollector } from "./notices.js";
import { readOtherBar } from "./other-bars.js";
import { comparePositions } from "./placing.js";

/** What a part's signatures say from a bar on. */
interface Signature {
  readonly at: Position;
  /** Written key in fifths; null where it is not a traditional one. */
  readonly written?: number | null;
  /** Fifths from written to sounding. */
  readonly transposition?: number;
}

/** Of the parts that print a key signature, so many must have the same one. */
const MAJORITY = 2 / 3;

/**
 * The key that the other players are in, and whether they are notated for transposing instruments.
 *
 * Only parts that sound as written, but for octaves, are asked: strings, flutes, oboes, bassoons. Horns,
 * trumpets and timpani are often printed without signatures (common practice, no source); so is a part left
 * out that never has one while others do.
 */
export function readScoreKeys(
  bytes: Buffer,
  others: readonly PartSlices[],
  notices: NoticeCollector,
): Pick<PartTimeline, "scoreKeys" | "otherParts"> {
  const parts: (readonly Signature[])[] = [];
  for (const part of others) parts.push(readSignatures(bytes, part, notices));
  const inC = parts.filter((signatures) => !transposes(signatures));
  const someHave = inC.some(hasSignature);
  const voters = inC.filter(
    (signatures) =>
      signatures.some(({ written }) => written !== undefined) &&
      (!someHave || hasSignature(signatures)),
  );
  return {
    scoreKeys: agreedKeys(voters),
    otherParts: others.length === 0 ? "none" : parts.some(transposes) ? "transposed" : "as-written",
  };
}

function transposes(signatures: readonly Signature[]): boolean {
  return signatures.some(({ transposition }) => transposition !== undefined && transposition !== 0);
}

function hasSignature(signatures: readonly Signature[]): boolean {
  return signatures.some(({ written }) => written !== undefined && written !== 0);
}

function agreedKeys(voters: readonly (readonly Signature[])[]): readonly FromHere<number | null>[] {
  const signs = voters
    .flatMap((signatures, voter) => signatures.map((signature) => ({ ...signature, voter })))
    .sort((a, b) => comparePositions(a.at, b.at));
  const current: (number | null | undefined)[] = voters.map(() => undefined);
  const agreed: FromHere<number | null>[] = [];
  signs.forEach(({ at, voter, written }, k) => {
    if (written !== undefined) current[voter] = written;
    // All that stands at one place is weighed together.
    const next = signs[k + 1];
    if (next && comparePositions(next.at, at) === 0) return;
    const value = mostCommon(current.filter((key) => key !== undefined));
    if (agreed.length === 0 || agreed.at(-1)?.value !== value) agreed.push({ at, value });
  });
  return agreed;
}

function mostCommon(keys: readonly (number | null)[]): number | null {
  const counts = new Map<number | null, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  const [first] = [...counts].sort((a, b) => b[1] - a[1]);
  return first && first[1] >= MAJORITY * keys.length ? first[0] : null;
}

interface PartSignatures {
  readonly signatures: readonly Signature[];
  /** Bars that could not be read. */
  readonly unreadable: readonly number[];
}

const partSignatures = new KeptWith<PartSlices, PartSignatures>();

/** Read once for each part of a document, however many parts are asked for. */
function readSignatures(bytes: Buffer, part: PartSlices, notices: NoticeCollector) {
  const read = partSignatures.of(part, () => readAllSignatures(bytes, part));
  for (const barIndex of read.unreadable) {
    notices.at(part.bars.label(barIndex), part.id)({ kind: "other-part-unreadable" });
  }
  return read.signatures;
}

function readAllSignatures(bytes: Buffer, part: PartSlices): PartSignatures {
  const bars = [...new Set([...part.keyBars, ...part.transposeBars])].sort((a, b) => a - b);
  const found = bars.map((barIndex) => ({
    barIndex,
    signatures: signaturesOf(bytes, part, barIndex),
  }));
  return {
    signatures: found.flatMap(({ signatures }) => signatures ?? []),
    unreadable: found.flatMap(({ barIndex, signatures }) => (signatures ? [] : [barIndex])),
  };
}

/** Undefined where the bar is not well-formed: the player's own part can be read all the same. */
function signaturesOf(
  bytes: Buffer,
  part: PartSlices,
  barIndex: number,
): readonly Signature[] | undefined {
  try {
    const { signs } = readOtherBar(bytes, part, barIndex);
    return signs
      .filter(({ value }) => value.name === "attributes")
      .map(({ offset, value }) => ({ ...readAttributes(value), at: { barIndex, offset } }));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return undefined;
  }
}

function readAttributes(attributes: XmlElement): Omit<Signature, "at"> {
  const [key] = children(attributes, "key");
  const transpose = child(attributes, "transpose");
  const by = transpose && readTransposition(transpose);
  return {
    ...(key && { written: readFifths(key) ?? null }),
    ...(by && { transposition: transpositionFifths(by) }),
  };
}

/** Seven sharps made double: no signature goes further. */
const MOST_FIFTHS = 14;

/** The fifths of a `<key>`; undefined where it is not a traditional one. */
export function readFifths(key: XmlElement): number | undefined {
  const fifths = Number(childText(key, "fifths") ?? "x");
  return Number.isInteger(fifths) && Math.abs(fifths) <= MOST_FIFTHS ? fifths : undefined;
}
