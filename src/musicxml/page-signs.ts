import type { Fraction } from "../model/fraction.js";
import type { Bar, FromHere, PrintedInstruction, Transposition } from "../model/score.js";
import type { PauseKind, TempoSign } from "../model/tempo.js";
import { fraction, ZERO } from "../theory/fraction.js";
import { readTransposition, type BarContent } from "./bar-content.js";
import {
  numberEndings,
  readBarline,
  readJumps,
  settleBareSigns,
  type BarFlow,
} from "./barlines.js";
import { DynamicSigns } from "./dynamics.js";
import { child, children, childText, descendants, type XmlElement } from "./elements.js";
import { displayedName } from "./header.js";
import { readJumpWords } from "./jump-words.js";
import { type NoticeCollector, type Notify } from "./notices.js";
import { atBarline, fromNextBar, placeAll, type Unplaced } from "./placing.js";
import { readFifths } from "./score-keys.js";
import { readTempo } from "./tempo-marks.js";
import { mergePauses, type PlacedPause } from "./pause-signs.js";
import { mergeTempoSigns } from "./tempo-signs.js";

interface BarSigns {
  readonly flow: BarFlow;
  newPage: boolean;
  rehearsal?: string;
}

/** Whose bar it is. */
export interface SharedSource {
  readonly partId: string;
  readonly isOwn: boolean;
  /** Whether its words are heeded: those of the part that is read, and of the top part. */
  readonly isTempoPart: boolean;
}

/** Everything on the page that is not a note, gathered bar by bar. */
export class PageSigns {
  private readonly bars: BarSigns[];
  private readonly transpositions: Unplaced<Transposition>[] = [];
  private readonly partTranspositions: Unplaced<Transposition>[] = [];
  private readonly bassClefs: Unplaced<boolean>[] = [];
  private readonly keys: Unplaced<number | null>[] = [];
  private readonly instructions: Unplaced<Omit<PrintedInstruction, "at">>[] = [];
  private readonly dynamics = new DynamicSigns();
  private readonly pauses: Unplaced<PlacedPause>[] = [];
  private readonly tempi: Unplaced<Omit<TempoSign, "at">>[] = [];

  constructor(barCount: number) {
    this.bars = Array.from({ length: barCount }, () => ({
      flow: { repeatStart: false, endingStop: false },
      newPage: false,
    }));
  }

  /** Completes what only the whole part can tell; to be called once all parts are taken in. */
  finish(notifyAt: (barIndex: number) => Notify): void {
    const flows = this.bars.map(({ flow }) => flow);
    numberEndings(flows, notifyAt);
    settleBareSigns(flows, notifyAt);
  }

  bar(barIndex: number): BarSigns {
    const bar = this.bars[barIndex];
    if (!bar) throw new Error(`no bar ${barIndex}`);
    return bar;
  }

  /** Takes in a bar of the part that is being read. */
  addOwn(content: BarContent, barIndex: number, partId: string, notify: Notify): void {
    this.addShared(content, barIndex, { partId, isOwn: true, isTempoPart: true }, notify);
    for (const { offset, value } of content.signs) {
      if (value.name === "attributes") this.addAttributes(value, barIndex, offset, notify);
      else if (value.name === "print") this.addPrint(value, barIndex);
      else if (value.name === "dynamics") this.dynamics.addNoted(value, { barIndex, offset });
      else if (value.name === "direction" || value.name === "sound") {
        const print = offset.add(printedOffset(value, content));
        this.addInstructions(value, barIndex, {
          print,
          sound: offset.add(soundOffset(value, content)),
        });
        if (value.name === "direction") {
          this.dynamics.addDirection(value, { barIndex, offset: print });
        }
      }
    }
  }

  /**
   * Takes in a bar of another part: only what concerns every player. Tempo words stand over the top
   * part; below it they may be one player's, unless a number stands beside them.
   */
  addShared(content: BarContent, barIndex: number, from: SharedSource, notify: Notify): void {
    const bar = this.bar(barIndex);
    const { partId } = from;
    for (const { offset, value } of content.signs) {
      switch (value.name) {
        case "fermata":
        case "caesura":
        case "breath-mark":
          this.addPause(value.name, barIndex, offset, from);
          break;
        case "barline":
          readBarline(value, bar.flow, notify, this.bars[barIndex - 1]?.flow);
          if (child(value, "fermata")) {
            const atEnd = value.attributes["location"] !== "left";
            this.addPause("fermata", barIndex, atEnd ? content.filled : ZERO, from);
          }
          break;
        case "direction":
        case "sound": {
          const sound = value.name === "sound" ? value : child(value, "sound");
          if (sound) readJumps(sound, bar.flow);
          if (value.name === "direction") readJumpWords(value, bar.flow);
          const tempo = readTempo(value, notify);
          const hasNumber = tempo?.playback !== undefined || tempo?.printed || tempo?.equation;
          if (tempo && (from.isTempoPart || hasNumber)) {
            const isPlayback = sound?.attributes["tempo"] !== undefined;
            const at = offset.add((isPlayback ? soundOffset : printedOffset)(value, content));
            this.tempi.push({ barIndex, offset: at, value: { ...tempo, partId } });
          }
          const rehearsal = descendants(value, "rehearsal")
            .map((each) => each.text.trim())
            .join(" ");
          if (rehearsal) bar.rehearsal ??= rehearsal;
          break;
        }
      }
    }
  }

  /** A breath is the player's own; what stops the orchestra concerns all. */
  private addPause(
    sign: PauseKind,
    barIndex: number,
    offset: Fraction,
    { partId, isOwn }: SharedSource,
  ): void {
    if (sign === "breath-mark" && !isOwn) return;
    this.pauses.push({ barIndex, offset, value: { sign, partId, isOwn } });
  }

  private addAttributes(
    attributes: XmlElement,
    barIndex: number,
    offset: Fraction,
    notify: Notify,
  ): void {
    for (const transpose of children(attributes, "transpose")) {
      const value = readTranspose(transpose, notify);
      if (value) this.transpositions.push({ barIndex, offset, value, ...staffOf(transpose) });
    }
    const forPart = child(attributes, "for-part");
    const partTranspose = forPart && child(forPart, "part-transpose");
    const partValue = partTranspose && readTranspose(partTranspose, notify);
    if (partValue) this.partTranspositions.push({ barIndex, offset, value: partValue });
    // The clef of the part that will be made from the score tells more of its notation.
    const partClef = forPart && child(forPart, "part-clef");
    for (const clef of partClef ? [partClef] : children(attributes, "clef")) {
      const value = childText(clef, "sign") === "F";
      this.bassClefs.push({ barIndex, offset, value, ...staffOf(clef) });
    }
    for (const key of children(attributes, "key")) {
      const text = childText(key, "fifths");
      const fifths = readFifths(key);
      if (fifths === undefined && text !== undefined) {
        notify({ kind: "odd-number", element: "fifths", text });
      }
      this.keys.push({ barIndex, offset, value: fifths ?? null, ...staffOf(key) });
    }
  }

  private addPrint(print: XmlElement, barIndex: number): void {
    if (print.attributes["new-page"] === "yes") this.bar(barIndex).newPage = true;
    const text = displayedName(print, "part-name-display");
    if (text) {
      this.instructions.push({
        barIndex,
        offset: ZERO,
        value: { kind: "part-name-display", text },
      });
    }
  }

  private addInstructions(
    element: XmlElement,
    barIndex: number,
    offset: { readonly print: Fraction; readonly sound: Fraction },
  ): void {
    const text = printedWords(element);
    const staff = Number(childText(element, "staff"));
    if (text) {
      this.instructions.push({
        barIndex,
        offset: offset.print,
        value: { kind: "words", text, ...(staff > 0 && { staff }) },
      });
    }
    const sound = element.name === "sound" ? element : child(element, "sound");
    for (const change of sound ? children(sound, "instrument-change") : []) {
      const scoreInstrumentId = change.attributes["id"];
      this.instructions.push({
        barIndex,
        offset: offset.sound,
        value: {
          kind: "instrument-change",
          text: childText(change, "instrument-sound") ?? "",
          ...(scoreInstrumentId !== undefined && { scoreInstrumentId }),
        },
      });
    }
  }

  /** Everything in the order of the page, now that the lengths of the bars are known. */
  placed(bars: readonly Bar[], notices: NoticeCollector) {
    const place = <T>(items: readonly Unplaced<T>[]) => placeAll(bars, items);
    return {
      transpositions: place(this.transpositions) satisfies FromHere<Transposition>[],
      partTranspositions: place(this.partTranspositions) satisfies FromHere<Transposition>[],
      bassClefs: place(this.bassClefs) satisfies FromHere<boolean>[],
      keys: place(this.keys) satisfies FromHere<number | null>[],
      instructions: place(this.instructions).map(({ at, value }) => ({ ...value, at })),
      ...this.dynamics.placed(bars),
      pauses: mergePauses(place(this.pauses).map(({ at, value }) => ({ ...value, at }))),
      tempoSigns: mergeTempoSigns(
        place(this.tempi.map(atBarline)).map(({ at, value }) => ({
          ...value,
          at: fromNextBar(bars, at),
        })),
        bars,
        notices,
      ),
    };
  }
}

/** The staff that an attribute is for (MusicXML 4.0, `number`). */
export function staffOf({ attributes }: XmlElement): { readonly staff?: number } {
  const staff = Number(attributes["number"]);
  return staff > 0 ? { staff } : {};
}

function readTranspose(element: XmlElement, notify: Notify): Transposition | undefined {
  const value = readTransposition(element);
  if (value) return value;
  const text = element.children.map((each) => `${each.name} ${each.text.trim()}`).join(", ");
  notify({ kind: "odd-number", element: "transpose", text });
  return undefined;
}

/** How far a direction is printed from where it stands in the file, in quarters. */
export function printedOffset(element: XmlElement, content: BarContent): Fraction {
  return offsetQuarters(child(element, "offset"), content.divisionsOf.get(element));
}

/**
 * Where the playback of a direction begins: a `<sound>` has an offset of its own; that of the
 * direction moves the print only, unless it says `sound="yes"` (MusicXML 4.0, `<offset>`).
 */
function soundOffset(element: XmlElement, content: BarContent): Fraction {
  const sound = element.name === "sound" ? element : child(element, "sound");
  if (!sound) return printedOffset(element, content);
  const own = child(sound, "offset");
  const shared = child(element, "offset");
  const offset = own ?? (shared?.attributes["sound"] === "yes" ? shared : undefined);
  return offsetQuarters(offset, content.divisionsOf.get(element));
}

function offsetQuarters(offset: XmlElement | undefined, divisions: Fraction | undefined): Fraction {
  const text = offset?.text.trim() ?? "";
  if (!divisions || !/^[+-]?\d{1,9}(?:\.\d{1,30})?$/.test(text)) return ZERO;
  return fraction(text.replace("+", "")).div(divisions);
}

/** The words of a direction as one text; accidentals set as symbols are put in their place. */
export function printedWords(direction: XmlElement): string {
  return children(direction, "direction-type")
    .flatMap((type) => type.children)
    .map((each) => {
      if (each.name === "words") return each.text;
      if (each.name !== "symbol") return "";
      return /flat/i.test(each.text) ? "♭" : /sharp/i.test(each.text) ? "♯" : "";
    })
    .join(" ")
    .replace(/\s+/g, " ")
    .replace(/ (?=[♭♯])/g, "")
    .trim();
}
