import type { FromHere, PartTimeline } from "../model/score.js";
import { transpositionFifths } from "../theory/pitch.js";
import { ZERO } from "../theory/fraction.js";
import { readTransposition } from "./bar-content.js";
import type { PartSlices } from "./document-index.js";
import { child, children, childText, parseContent, type XmlElement } from "./elements.js";

/** What a part's signatures say from a bar on. */
interface Signature {
  readonly barIndex: number;
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
): Pick<PartTimeline, "scoreKeys" | "otherParts"> {
  const parts = others.map((part) => readSignatures(bytes, part));
  const transposes = (signatures: readonly Signature[]) =>
    signatures.some(({ transposition }) => transposition !== undefined && transposition !== 0);
  const inC = parts.filter((signatures) => !transposes(signatures));
  const hasSignature = (signatures: readonly Signature[]) =>
    signatures.some(({ written }) => written !== undefined && written !== 0);
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

function agreedKeys(voters: readonly (readonly Signature[])[]): readonly FromHere<number | null>[] {
  const bars = [
    ...new Set(voters.flatMap((signatures) => signatures.map(({ barIndex }) => barIndex))),
  ].sort((a, b) => a - b);
  const next = voters.map(() => 0);
  const current: (number | null | undefined)[] = voters.map(() => undefined);
  const agreed: FromHere<number | null>[] = [];
  for (const barIndex of bars) {
    voters.forEach((signatures, k) => {
      for (;;) {
        const signature = signatures[next[k] ?? 0];
        if (!signature || signature.barIndex > barIndex) break;
        if (signature.written !== undefined) current[k] = signature.written;
        next[k] = (next[k] ?? 0) + 1;
      }
    });
    const value = mostCommon(current.filter((key) => key !== undefined));
    const before = agreed.at(-1);
    if (!before || before.value !== value) agreed.push({ at: { barIndex, offset: ZERO }, value });
  }
  return agreed;
}

function mostCommon(keys: readonly (number | null)[]): number | null {
  const counts = new Map<number | null, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  const [first] = [...counts].sort((a, b) => b[1] - a[1]);
  return first && first[1] >= MAJORITY * keys.length ? first[0] : null;
}

function readSignatures(bytes: Buffer, part: PartSlices): readonly Signature[] {
  const bars = [...new Set([...part.keyBars, ...part.transposeBars])].sort((a, b) => a - b);
  return bars.flatMap((barIndex) => {
    const slice = part.bars[barIndex];
    if (!slice) return [];
    const elements = parseContent(bytes.toString("utf8", slice.start, slice.end), {
      part: part.id,
      bar: slice.label,
    });
    const firstNote = elements.findIndex(({ name }) => name === "note");
    return elements.flatMap((element, k) =>
      element.name === "attributes"
        ? [
            {
              ...readAttributes(element),
              // A signature inside the bar, or at its end, is taken to hold from the next.
              barIndex: firstNote >= 0 && k > firstNote ? barIndex + 1 : barIndex,
            },
          ]
        : [],
    );
  });
}

function readAttributes(attributes: XmlElement): Omit<Signature, "barIndex"> {
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
