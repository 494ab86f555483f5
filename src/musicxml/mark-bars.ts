import type { Fraction } from "../model/fraction.js";
import { ceiling, fraction, maxFraction, toNumber, ZERO } from "../theory/fraction.js";
import { quarters } from "./durations.js";
import { PageState } from "./in-force.js";
import { pencilMarkOf, pencilMarkXml, staffText, type PencilMark } from "./pencil-marks.js";
import {
  applyEdits,
  childSpan,
  insertAfter,
  insertBefore,
  readSpans,
  removal,
  spanText,
  type Edit,
  type Span,
} from "./spans.js";

/** A mark and its place in a bar. */
export interface PlacedPencilMark extends PencilMark {
  /** Quarters from the start of the bar. */
  readonly offset: Fraction;
}

/** What a mark can stand before. */
interface Anchor {
  readonly span: Span;
  /** Quarters from the start of the bar; the length of what takes no time of its own is zero. */
  readonly start: Fraction;
  readonly length: Fraction;
  readonly staff: string;
  readonly divisions: Fraction;
}

/** Puts marks into the bars of one part, in the order of the page, in place of those of an earlier run. */
export class BarMarker {
  private readonly state = new PageState();

  /**
   * @param player whose marks are replaced; undefined for those of all
   * @param staff the number of the staff that the marks belong to
   */
  constructor(
    private readonly player: number | undefined,
    private readonly staff: number,
  ) {}

  /**
   * @param text what is inside the `<measure>`
   * @returns the same, or with its marks
   */
  bar(text: string, marks: readonly PlacedPencilMark[]): string {
    const plain = this.withoutOldMarks(text);
    if (marks.length === 0) {
      if (plain.includes("<divisions")) this.anchors(plain, readSpans(plain));
      return plain;
    }
    const spans = readSpans(plain);
    const { anchors, end } = this.anchors(plain, spans);
    return applyEdits(
      plain,
      marks.map((mark) => this.insertion(plain, spans, anchors, end, mark)),
    );
  }

  private withoutOldMarks(text: string): string {
    if (!text.includes("<direction")) return text;
    const old = readSpans(text).filter((span) => {
      const mark = pencilMarkOf(text, span);
      if (!mark) return false;
      return this.player === undefined || (mark.player ?? this.player) === this.player;
    });
    return applyEdits(
      text,
      old.map((span) => removal(text, span)),
    );
  }

  /** Notes and gaps by where they begin, and where the last voice written ends. */
  private anchors(
    text: string,
    spans: readonly Span[],
  ): { readonly anchors: readonly Anchor[]; readonly end: Fraction } {
    const anchors: Anchor[] = [];
    let at = ZERO;
    for (const span of spans) {
      const divisions = fraction(this.state.divisions);
      const length = childSpan(span, "grace") ? ZERO : durationOf(text, span, divisions);
      switch (span.name) {
        case "attributes":
          for (const sign of span.children) this.state.read(text, sign);
          break;
        case "backup":
          at = maxFraction(ZERO, at.sub(length));
          break;
        case "note":
          // Nothing may come between the notes of a chord.
          if (childSpan(span, "chord")) break;
          anchors.push(anchorOf(text, span, at, length, divisions));
          at = at.add(length);
          break;
        case "forward":
          anchors.push(anchorOf(text, span, at, length, divisions));
          at = at.add(length);
          break;
      }
    }
    return { anchors, end: at };
  }

  private insertion(
    text: string,
    spans: readonly Span[],
    anchors: readonly Anchor[],
    end: Fraction,
    mark: PlacedPencilMark,
  ): Edit {
    const isOwn = ({ staff }: Anchor) => staff === "" || Number(staff) === this.staff;
    const anchorAt = (place: Fraction) => {
      const there = anchors.filter((each) => isAt(each, place));
      return there.find(isOwn) ?? there[0];
    };
    const exact = anchorAt(mark.offset);
    if (exact) {
      const whole = nextDivision(mark.offset, exact);
      const anchor = anchorAt(whole);
      // The next division may be past the bar: then the mark keeps its part of one.
      const [span, place] = anchor ? [anchor, whole] : [exact, mark.offset];
      const offset = offsetText(place.sub(span.start), span.divisions);
      return insertBefore(text, span.span, pencilMarkXml(mark, offset, span.staff));
    }
    // Past all notes, or in a bar without any.
    const staff = anchors.find(isOwn)?.staff ?? "";
    const offset = offsetText(mark.offset.sub(end), fraction(this.state.divisions));
    const xml = pencilMarkXml(mark, offset, staff);
    const last = spans.findLastIndex(({ name }) => name !== "barline");
    const next = spans[last + 1];
    if (next) return insertBefore(text, next, xml);
    const before = spans[last];
    if (before) return insertAfter(text, before, xml);
    return { start: 0, end: 0, text: xml };
  }
}

function durationOf(text: string, span: Span, divisions: Fraction): Fraction {
  const duration = childSpan(span, "duration");
  // What is odd in it was told when the part was read.
  return duration ? quarters(spanText(text, duration), divisions, () => undefined) : ZERO;
}

function anchorOf(
  text: string,
  span: Span,
  start: Fraction,
  length: Fraction,
  divisions: Fraction,
): Anchor {
  return { span, start, length, staff: staffText(text, childSpan(span, "staff")), divisions };
}

/** Whether a place falls on something that stands in the bar, or into it. */
function isAt({ start, length }: Anchor, place: Fraction): boolean {
  const after = place.compare(start);
  return after === 0 || (after > 0 && place.compare(start.add(length)) < 0);
}

/** The first place on the grid of the file that is no earlier: nobody is to look up too early. */
function nextDivision(place: Fraction, { start, divisions }: Anchor): Fraction {
  return start.add(ceiling(place.sub(start).mul(divisions)).div(divisions));
}

/** An `<offset>` in divisions, to a thousandth; "" for none. */
function offsetText(from: Fraction, divisions: Fraction): string {
  const offset = Math.round(toNumber(from.mul(divisions)) * 1000) / 1000;
  return offset === 0 ? "" : String(offset);
}
