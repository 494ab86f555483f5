import type { Transposition } from "../model/score.js";
import { InputError } from "../model/input-error.js";
import type { BarSlice } from "../musicxml/bar-slices.js";
import { isSameTransposition, PageState } from "../musicxml/in-force.js";
import { placeSpans, SAME_PLACE_QUARTERS, type PlacedSpan } from "../musicxml/placed-spans.js";
import {
  attributeEdits,
  firstOfBar,
  newAttributes,
  wordsXml,
  type PageStates,
  type WantedSigns,
} from "../musicxml/rewrite-attributes.js";
import {
  isTiedFromBefore,
  noteEdits,
  notePitch,
  soundEdits,
  type NoteToWrite,
} from "../musicxml/rewrite-notes.js";
import {
  applyEdits,
  childSpan,
  insertBefore,
  readSpans,
  spanText,
  type Edit,
  type Span,
} from "../musicxml/spans.js";
import { staleDirections, type StaleWords } from "../musicxml/rewrite-directions.js";
import { NO_LINES, type AlteredLines } from "../theory/accidentals.js";
import { renotation, type Renotation } from "../theory/renotate.js";
import { comparePlaced, segmentAt, type Segment } from "./segments.js";
import { leadingAttributes, placeOfSigns, signsUpTo, stavesOf } from "./sign-places.js";

/** Words to print or to take away in a bar. */
export interface BarWords extends StaleWords {
  /** Quarters from the start of the bar, and whether they stand over a rest. */
  readonly added: readonly {
    readonly at: number;
    readonly over: "rest" | "note";
    readonly text: string;
  }[];
}

/** What is wanted of a part. */
export interface PartPlan {
  /** In the order of the page. */
  readonly segments: readonly Segment[];
  readonly words: ReadonlyMap<number, BarWords>;
  /** What a part that prints no transposition sounds by. */
  readonly unprinted: Transposition;
  /** Which spelling of six accidentals the part has under a transposition. */
  readonly sixthAs: (by: Transposition) => number | undefined;
}

/** The segments that a bar begins in and that begin in it, and where their signs go. */
interface BarSegments {
  readonly barIndex: number;
  readonly label: string;
  readonly first: Segment | undefined;
  readonly later: readonly Segment[];
}

/** Writes the bars of one part anew, in the order of the page. */
export class PartRewriter {
  /** Positions of bars with a note that is tied to one for another instrument. */
  readonly tiedIn: number[] = [];
  private readonly removed = new Set<string>();
  private readonly states: PageStates = { source: new PageState(), output: new PageState() };
  private readonly renotations = new Map<string, Renotation>();
  private altered: AlteredLines = NO_LINES;
  private previous: Segment | undefined;
  /** The segment whose signs were printed last. */
  private signed: Segment | undefined;

  constructor(private readonly plan: PartPlan) {}

  /**
   * @param text what is inside the `<measure>`
   * @returns the same, or as it is to be
   * @throws InputError `not-rewritable` where the key signature is not a traditional one, or where signs in
   *   the middle of a bar have no place
   */
  bar(text: string, barIndex: number, { label }: BarSlice): string {
    const { segments } = this.plan;
    const start = { barIndex, at: 0 };
    const first = segmentAt(segments, start);
    const later = segments.filter(
      ({ from }) => from.barIndex === barIndex && comparePlaced(from, start) > 0,
    );
    const isDone = (segment: Segment | undefined) =>
      !segment || (!segment.writing && segment === this.signed);
    const words = this.plan.words.get(barIndex);
    if (!words && [first, ...later].every(isDone)) {
      if (text.includes("<attributes")) this.readSigns(text);
      this.previous = first;
      return text;
    }
    const edits = this.edits(text, { barIndex, label, first, later }, words);
    this.previous = later.at(-1) ?? first;
    return applyEdits(text, edits);
  }

  /** Whether words of a bar were taken away. */
  hasRemoved(barIndex: number, text: string): boolean {
    return this.removed.has(`${barIndex} ${text}`);
  }

  private readSigns(text: string): void {
    for (const attributes of readSpans(text)) {
      if (attributes.name !== "attributes") continue;
      for (const sign of attributes.children) {
        this.states.source.read(text, sign);
        this.states.output.read(text, sign);
      }
    }
  }

  private edits(text: string, bar: BarSegments, words: BarWords | undefined): readonly Edit[] {
    const spans = readSpans(text);
    const { placed, divisions } = placeSpans(text, spans, this.states.source.divisions);
    const notes: NoteToWrite[] = [];
    const signs: Edit[] = [];
    const sounds: Edit[] = [];
    // What a sign governs goes by time; in the document a voice follows upon the other.
    for (const event of this.inTime(text, spans, placed, bar)) {
      const segment = this.segmentOf(bar, event.at);
      if (event.kind === "note") {
        const note = this.note(text, event, segment, bar);
        if (!note) continue;
        notes.push(note);
        if (note.stays !== true) sounds.push(...this.soundEdits(text, event.span, segment));
      } else if (event.kind === "attributes") {
        const { span, leads } = event;
        signs.push(...attributeEdits(text, span, this.states, this.wanted(segment), leads));
      } else {
        const xml = newAttributes(this.states, this.wanted(segment));
        if (xml !== "") signs.push(insertBefore(text, event.span, xml));
      }
    }
    this.states.source.divisions = divisions;
    const stale = words ? staleDirections(text, placed, words) : { edits: [], removed: [] };
    for (const each of stale.removed) this.removed.add(`${bar.barIndex} ${each}`);
    const isContinued = bar.first?.writing !== undefined && bar.first === this.previous;
    if (notes.some(({ tiedFromOutside }) => tiedFromOutside)) this.tiedIn.push(bar.barIndex);
    const written = noteEdits(
      text,
      notes.some(({ stays }) => stays !== true) ? notes : [],
      isContinued ? this.altered : NO_LINES,
    );
    this.altered = written.altered;
    return [
      ...signs,
      ...addedWords(text, placed, words),
      ...stale.edits,
      ...sounds,
      ...written.edits,
    ];
  }

  /** Signs and notes in the order of time; of one place the signs first. */
  private inTime(
    text: string,
    spans: readonly Span[],
    placed: readonly PlacedSpan[],
    bar: BarSegments,
  ): readonly BarEvent[] {
    const leads = new Set<Span>();
    const events: BarEvent[] = [];
    if (this.printsAtStart(bar)) {
      const lead = signsUpTo(text, placed, bar) ?? leadingAttributes(spans);
      const first = firstOfBar(text, spans);
      if (lead) leads.add(lead);
      else if (first) events.push({ kind: "signs", span: first, at: -Infinity });
      this.signed = bar.first;
    }
    for (const segment of bar.later) {
      if (segment.signsBy.barIndex !== bar.barIndex) continue;
      const place = placeOfSigns(placed, segment);
      if (!place || stavesOf(text, placed).size > 1) {
        const message = place
          ? "instruments would change in the middle of a bar of several staves"
          : "instruments would change where the bar has no place for the signs";
        throw new InputError("not-rewritable", message, { bar: bar.label });
      }
      if (place.span.name === "attributes") leads.add(place.span);
      else events.push({ kind: "signs", span: place.span, at: place.at });
      this.signed = segment;
    }
    for (const { span, at } of placed) {
      if (span.name === "attributes") {
        events.push({ kind: "attributes", span, at, leads: leads.has(span) });
      } else if (span.name === "note") events.push({ kind: "note", span, at });
    }
    const rank = ({ kind }: BarEvent) => (kind === "note" ? 1 : 0);
    return events.sort((a, b) =>
      Math.abs(a.at - b.at) < SAME_PLACE_QUARTERS ? rank(a) - rank(b) : a.at - b.at,
    );
  }

  /** Signs for bars of rests alone would be for nobody. */
  private printsAtStart({ barIndex, first }: BarSegments): boolean {
    if (!first || first.signsBy.barIndex > barIndex) return false;
    return first.writing !== undefined || first !== this.signed;
  }

  private segmentOf({ first, barIndex }: BarSegments, at: number): Segment | undefined {
    return at === -Infinity ? first : segmentAt(this.plan.segments, { barIndex, at });
  }

  private wanted(segment: Segment | undefined): WantedSigns {
    const writing = segment?.writing;
    const to = writing?.transposition;
    return {
      transposition: to,
      soundsBy: writing?.soundsBy,
      unprinted: this.plan.unprinted,
      fifthsFor: (fifths, by) => (to ? (this.renotation(by, to, fifths).fifths ?? fifths) : fifths),
    };
  }

  private note(
    text: string,
    { span, at }: Pick<PlacedSpan, "span" | "at">,
    segment: Segment | undefined,
    { barIndex, label }: BarSegments,
  ): NoteToWrite | undefined {
    const from = notePitch(text, span);
    if (!from) return undefined;
    const { source } = this.states;
    const writing = segment?.writing;
    const staff = Number(spanText(text, childSpan(span, "staff"))) || 1;
    const by = writing?.soundsBy ?? source.transpositions.get(staff) ?? this.plan.unprinted;
    const fifths = source.keys.get(staff);
    if (!segment || !writing || isSameTransposition(by, writing.transposition)) {
      const move = (written: typeof from) => written;
      const fromFifths = fifths ?? 0;
      const same = { from, to: from, fromFifths, toFifths: fromFifths, move };
      return { span, at, staff, ...same, tiedFromOutside: false, stays: true };
    }
    if (fifths === null) {
      throw new InputError("not-rewritable", "its key signature is not a traditional one", {
        bar: label,
      });
    }
    const { fifths: toFifths = 0, move } = this.renotation(by, writing.transposition, fifths);
    return {
      span,
      at,
      staff,
      from,
      to: move(from),
      fromFifths: fifths ?? 0,
      toFifths,
      move,
      tiedFromOutside:
        segment.firstNote !== undefined &&
        comparePlaced(segment.firstNote, { barIndex, at }) === 0 &&
        isTiedFromBefore(text, span),
    };
  }

  private soundEdits(text: string, note: Span, segment: Segment | undefined): readonly Edit[] {
    const { writing } = segment ?? {};
    if (!writing) return [];
    const { scoreInstrumentId: id, withoutSound } = writing;
    return soundEdits(text, note, id ?? withoutSound);
  }

  private renotation(
    from: Transposition,
    to: Transposition,
    fifths: number | undefined,
  ): Renotation {
    // Under its own transposition a part keeps what it has, seven sharps included.
    if (isSameTransposition(from, to)) return { fifths, move: (written) => written };
    const key = `${JSON.stringify([from, to])} ${fifths}`;
    const known = this.renotations.get(key);
    const made = known ?? renotation(from, to, fifths, this.plan.sixthAs(to));
    this.renotations.set(key, made);
    return made;
  }
}

/** What is looked at in the order of time. */
type BarEvent =
  | {
      readonly kind: "attributes";
      readonly span: Span;
      readonly at: number;
      readonly leads: boolean;
    }
  | { readonly kind: "note"; readonly span: Span; readonly at: number }
  /** Signs that are to stand before an element. */
  | { readonly kind: "signs"; readonly span: Span; readonly at: number };

function addedWords(
  text: string,
  placed: readonly PlacedSpan[],
  words: BarWords | undefined,
): readonly Edit[] {
  return (words?.added ?? []).flatMap(({ at, over, text: line }) => {
    const found = placed.find(
      (each) =>
        each.span.name === "note" &&
        !each.isChord &&
        Math.abs(each.at - at) < SAME_PLACE_QUARTERS &&
        (childSpan(each.span, "rest") !== undefined) === (over === "rest"),
    );
    if (!found) return [];
    const staff = spanText(text, childSpan(found.span, "staff"));
    return [insertBefore(text, found.span, wordsXml(line, staff))];
  });
}
