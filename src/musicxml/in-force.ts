import type { Transposition } from "../model/score.js";
import { readTransposition } from "./bar-content.js";
import { parseContent } from "./elements.js";
import { spanText, type Span } from "./spans.js";
import { tagAttribute } from "./tag.js";

/** A value that holds for a part, and another for some of its staves where the file says so. */
export class InForce<T> {
  private readonly ofStaff = new Map<number | undefined, T>();

  /** @param staff from 1; undefined for all, which ends what single ones had */
  set(staff: number | undefined, value: T): void {
    if (staff === undefined) this.ofStaff.clear();
    this.ofStaff.set(staff, value);
  }

  get(staff: number | undefined): T | undefined {
    return this.ofStaff.get(staff) ?? this.ofStaff.get(undefined);
  }

  entries(): readonly (readonly [staff: number | undefined, value: T])[] {
    return [...this.ofStaff];
  }
}

/** What the signs of a part say at a place of the page. */
export class PageState {
  /** Divisions of a quarter. */
  divisions = 1;
  /** Written signatures in fifths; null for those that are not traditional. */
  readonly keys = new InForce<number | null>();
  readonly transpositions = new InForce<Transposition>();

  /** Takes in one child of `<attributes>`; numbers that cannot be read are passed over. */
  read(text: string, sign: Span): void {
    if (sign.name === "divisions") {
      const divisions = Number(spanText(text, sign));
      if (divisions > 0) this.divisions = divisions;
    } else if (sign.name === "key") {
      this.keys.set(staffOfSign(text, sign), keyFifths(text, sign));
    } else if (sign.name === "transpose") {
      const by = transpositionOf(text, sign);
      if (by) this.transpositions.set(staffOfSign(text, sign), by);
    }
  }
}

/** The staff a key or transposition is for; undefined for all. */
export function staffOfSign(text: string, sign: Span): number | undefined {
  const tag = text.slice(sign.start + 1 + sign.name.length, sign.contentStart - 1);
  return Number(tagAttribute(tag, "number")) || undefined;
}

/** The signature in fifths; null where it is not a traditional one. */
export function keyFifths(text: string, key: Span): number | null {
  const fifths = key.children.find(({ name }) => name === "fifths");
  const value = fifths ? Number(spanText(text, fifths) || "x") : NaN;
  return Number.isInteger(value) ? value : null;
}

function transpositionOf(text: string, sign: Span): Transposition | undefined {
  const [element] = parseContent(text.slice(sign.start, sign.end));
  return element && readTransposition(element);
}

/** Whether two transpositions are written alike. */
export function isSameTransposition(a: Transposition, b: Transposition): boolean {
  return (
    a.diatonic === b.diatonic && a.chromatic === b.chromatic && a.octaveChange === b.octaveChange
  );
}
