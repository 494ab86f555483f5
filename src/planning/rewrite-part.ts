import type { Transposition } from "../model/score.js";
import type { BarSlice } from "../musicxml/document-index.js";
import { isSameTransposition, PageState } from "../musicxml/in-force.js";
import { isPencilMarkSpan } from "../musicxml/pencil-marks.js";
import {
  attributeEdits,
  firstOfBar,
  newAttributes,
  onlyWords,
  printedName,
  wordsXml,
  type PageStates,
  type WantedSigns,
} from "../musicxml/rewrite-attributes.js";
import {
  isTiedFromBefore,
  noteEdits,
  notePitch,
  type NoteToWrite,
} from "../musicxml/rewrite-notes.js";
import {
  applyEdits,
  childSpan,
  insertBefore,
  readSpans,
  removal,
  spanText,
  type Edit,
  type Span,
} from "../musicxml/spans.js";
import { InputError } from "../model/input-error.js";
import { NO_LINES, type AlteredLines } from "../theory/accidentals.js";
import { renotation, type Renotation } from "../theory/renotate.js";

/** Words to print or to take away in a bar. */
export interface BarWords {
  /** Quarters from the start of the bar, and whether they stand over a rest. */
  readonly added: readonly {
    readonly at: number;
    readonly over: "rest" | "note";
    readonly text: string;
  }[];
  /** Whether words that stand alone at a place are to go. */
  readonly isStale: (text: string, at: number) => boolean;
  /** Whether a name printed beside the staff is to go. */
  readonly isStaleName: (text: string) => boolean;
}

/** What is wanted of a part. */
export interface PartPlan {
  /** What bars are to be written in, by position; undefined for bars that stay. */
  readonly transpositions: readonly (Transposition | undefined)[];
  readonly words: ReadonlyMap<number, BarWords>;
  /** What a part that prints no transposition sounds by. */
  readonly unprinted: Transposition;
  /** What notes that name a sound of the part list name then; undefined to leave them. */
  readonly scoreInstrumentId: string | undefined;
  /** Which spelling of six accidentals the part has under a transposition. */
  readonly sixthAs: (by: Transposition) => number | undefined;
}

/** Two places of a bar are one when they lie no further apart: divisions are whole numbers. */
const SAME_PLACE_QUARTERS = 1e-6;

/** Writes the bars of one part anew, in the order of the page. */
export class PartRewriter {
  /** Positions of bars that begin in a note tied from one that stays as it is. */
  readonly tiedIn: number[] = [];
  private readonly removed = new Set<string>();
  private readonly states: PageStates = { source: new PageState(), output: new PageState() };
  private readonly renotations = new Map<string, Renotation>();
  private altered: AlteredLines = NO_LINES;
  private previous: Transposition | undefined;
  /** Whether the signs of the bars that stay are still to be printed again. */
  private owesReturn = false;

  constructor(private readonly plan: PartPlan) {}

  /**
   * @param text what is inside the `<measure>`
   * @returns the same, or as it is to be
   * @throws InputError `not-rewritable` where the key signature is not a traditional one
   */
  bar(text: string, barIndex: number, { label }: BarSlice): string {
    const to = this.plan.transpositions[barIndex];
    const words = this.plan.words.get(barIndex);
    if (!to && !words && !this.owesReturn) {
      if (text.includes("<attributes")) this.readSigns(text);
      return text;
    }
    const edits = this.edits(text, barIndex, label, to, words);
    // Signs for bars of rests alone would be for nobody.
    this.owesReturn = to !== undefined || (this.owesReturn && !text.includes("<pitch"));
    this.previous = to;
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

  private edits(
    text: string,
    barIndex: number,
    label: string,
    to: Transposition | undefined,
    words: BarWords | undefined,
  ): readonly Edit[] {
    const spans = readSpans(text);
    const wanted: WantedSigns = {
      transposition: to,
      unprinted: this.plan.unprinted,
      fifthsFor: (fifths, by) => (to ? (this.renotation(by, to, fifths).fifths ?? fifths) : fifths),
    };
    const isContinued = to !== undefined && this.previous !== undefined;
    const edits: Edit[] = [];
    const notes: NoteToWrite[] = [];
    const waiting = [...(words?.added ?? [])];
    const printsSigns = to !== undefined || text.includes("<pitch");
    const lead = leadingAttributes(spans);
    const first = firstOfBar(text, spans);
    let at = 0;
    let chordAt = 0;
    for (const span of spans) {
      if (printsSigns && !lead && span === first) {
        const xml = newAttributes(this.states, wanted);
        if (xml !== "") edits.push(insertBefore(text, span, xml));
      }
      switch (span.name) {
        case "attributes":
          edits.push(
            ...attributeEdits(text, span, this.states, wanted, printsSigns && span === lead),
          );
          break;
        case "direction": {
          const printed = isPencilMarkSpan(text, span) ? undefined : onlyWords(text, span);
          if (printed !== undefined && words?.isStale(printed, at)) {
            edits.push(removal(text, span));
            this.removed.add(`${barIndex} ${printed}`);
          }
          break;
        }
        case "print": {
          const name = printedName(text, span);
          if (!words?.isStaleName(name)) break;
          const shown = span.children.filter(({ name: tag }) => tag.endsWith("-display"));
          const isAll = shown.length === span.children.length;
          edits.push(...(isAll ? [span] : shown).map((each) => removal(text, each)));
          this.removed.add(`${barIndex} ${name}`);
          break;
        }
        case "backup":
          at -= this.quarters(text, span);
          break;
        case "forward":
          at += this.quarters(text, span);
          break;
        case "note": {
          const isChord = childSpan(span, "chord") !== undefined;
          const start = isChord ? chordAt : at;
          const next = waiting.findIndex(
            (each) =>
              !isChord &&
              Math.abs(each.at - start) < SAME_PLACE_QUARTERS &&
              (childSpan(span, "rest") !== undefined) === (each.over === "rest"),
          );
          for (const { text: line } of next < 0 ? [] : waiting.splice(next, 1)) {
            const xml = wordsXml(line, spanText(text, childSpan(span, "staff")));
            edits.push(insertBefore(text, span, xml));
          }
          if (to) {
            const note = this.note(text, span, start, to, isContinued, label);
            if (note) {
              notes.push(note);
              edits.push(...this.instrumentEdits(text, span));
            }
          }
          if (!isChord) {
            chordAt = at;
            at += this.quarters(text, span);
          }
          break;
        }
      }
    }
    if (notes.some(({ tiedFromOutside }) => tiedFromOutside)) this.tiedIn.push(barIndex);
    const written = noteEdits(text, notes, isContinued ? this.altered : NO_LINES);
    this.altered = written.altered;
    return [...edits, ...written.edits];
  }

  private note(
    text: string,
    span: Span,
    at: number,
    to: Transposition,
    isContinued: boolean,
    label: string,
  ): NoteToWrite | undefined {
    const from = notePitch(text, span);
    if (!from) return undefined;
    const { source } = this.states;
    const staff = Number(spanText(text, childSpan(span, "staff"))) || 1;
    const by = source.transpositions.get(staff) ?? this.plan.unprinted;
    if (isSameTransposition(by, to)) return undefined;
    const fifths = source.keys.get(staff);
    if (fifths === null) {
      throw new InputError("not-rewritable", "its key signature is not a traditional one", {
        bar: label,
      });
    }
    const { fifths: toFifths = 0, move } = this.renotation(by, to, fifths);
    return {
      span,
      at,
      staff,
      from,
      to: move(from),
      fromFifths: fifths ?? 0,
      toFifths,
      move,
      tiedFromOutside: !isContinued && at < SAME_PLACE_QUARTERS && isTiedFromBefore(text, span),
    };
  }

  private instrumentEdits(text: string, note: Span): readonly Edit[] {
    const sound = childSpan(note, "instrument");
    const { scoreInstrumentId: id } = this.plan;
    if (!sound || id === undefined) return [];
    const match = /(\sid\s*=\s*["'])([^"']*)/.exec(text.slice(sound.start, sound.end));
    if (!match || match[2] === id) return [];
    const start = sound.start + match.index + (match[1] ?? "").length;
    return [{ start, end: start + (match[2] ?? "").length, text: id }];
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

  private quarters(text: string, span: Span): number {
    if (childSpan(span, "grace")) return 0;
    const duration = Number(spanText(text, childSpan(span, "duration")));
    return (Number.isFinite(duration) ? duration : 0) / this.states.source.divisions;
  }
}

/** The `<attributes>` that stand before any music of the bar. */
function leadingAttributes(spans: readonly Span[]): Span | undefined {
  const music = spans.findIndex(({ name }) => /^(?:note|backup|forward)$/.test(name));
  return spans.slice(0, music < 0 ? spans.length : music).find(({ name }) => name === "attributes");
}
