import { parseContent } from "./elements.js";
import { displayedName } from "./header.js";
import { printedWords } from "./page-signs.js";
import { isPencilMarkSpan } from "./pencil-marks.js";
import type { PlacedSpan } from "./placed-spans.js";
import { childSpan, removal, spanText, type Edit, type Span } from "./spans.js";
import { hasAttributes, tagAttribute } from "./tag.js";

/** Which signs of a bar are wrong now; places are quarters from the start of the bar. */
export interface StaleWords {
  /** Whether words that stand alone at a place are to go. */
  readonly isStale: (text: string, at: number) => boolean;
  /** Whether a name printed beside the staff is to go. */
  readonly isStaleName: (text: string, at: number) => boolean;
  /** Whether a change that only the file knows is to go; left out where those stay. */
  readonly isStaleSound?: (change: EncodedChange, at: number) => boolean;
}

/** An `<instrument-change>`: the standard sound, "" for none, and the sound of the part list. */
export interface EncodedChange {
  readonly sound: string;
  readonly id: string | undefined;
}

interface Stale {
  readonly edits: readonly Edit[];
  /** The texts that were taken out; of an encoded change its sound. */
  readonly removed: readonly string[];
}

const NOTHING: Stale = { edits: [], removed: [] };

/** Takes out what a bar says of changes that are none any more. */
export function staleDirections(
  text: string,
  placed: readonly PlacedSpan[],
  words: StaleWords,
): Stale {
  const found = placed.map(({ span, at, divisions }): Stale => {
    switch (span.name) {
      case "direction":
        return staleDirection(text, span, at + offsetQuarters(text, span, divisions), words);
      case "sound":
        return staleSound(text, span, at, words);
      case "print":
        return staleName(text, span, at, words);
      default:
        return NOTHING;
    }
  });
  return {
    edits: found.flatMap(({ edits }) => edits),
    removed: found.flatMap(({ removed }) => removed),
  };
}

function staleDirection(text: string, span: Span, at: number, words: StaleWords): Stale {
  // The player's own are replaced by marking again.
  if (isPencilMarkSpan(text, span)) return NOTHING;
  const sound = childSpan(span, "sound");
  const encoded = sound ? staleSound(text, sound, at, words) : NOTHING;
  const isWhole = sound !== undefined && encoded.edits.some(({ end }) => end === sound.end);
  const printed = onlyWords(text, span, isWhole ? sound : undefined);
  if (printed === undefined || !words.isStale(printed, at)) return encoded;
  return { edits: [removal(text, span)], removed: [printed, ...encoded.removed] };
}

function staleSound(text: string, sound: Span, at: number, { isStaleSound }: StaleWords): Stale {
  const changes = sound.children
    .filter(({ name }) => name === "instrument-change")
    .map((span) => ({ span, ...encodedChange(text, span) }));
  const stale = changes.filter((change) => isStaleSound?.(change, at));
  if (stale.length === 0) return NOTHING;
  const isAll = stale.length === sound.children.length && !hasAttributes(tagText(text, sound));
  return {
    edits: isAll ? [removal(text, sound)] : stale.map(({ span }) => removal(text, span)),
    removed: stale.map((change) => change.sound),
  };
}

function encodedChange(text: string, change: Span): EncodedChange {
  return {
    sound: spanText(text, childSpan(change, "instrument-sound")),
    id: tagAttribute(tagText(text, change), "id"),
  };
}

function staleName(text: string, print: Span, at: number, words: StaleWords): Stale {
  const name = printedName(text, print);
  if (!words.isStaleName(name, at)) return NOTHING;
  const shown = print.children.filter(({ name: tag }) => tag.endsWith("-display"));
  const isAll = shown.length === print.children.length;
  return { edits: (isAll ? [print] : shown).map((each) => removal(text, each)), removed: [name] };
}

/** What is between the name of an element and the end of its first tag. */
function tagText(text: string, span: Span): string {
  return text.slice(span.start + 1 + span.name.length, span.contentStart - 1);
}

/** How far from where a direction stands its words belong. */
function offsetQuarters(text: string, direction: Span, divisions: number): number {
  const offset = Number(spanText(text, childSpan(direction, "offset")));
  return Number.isFinite(offset) ? offset / divisions : 0;
}

/** What a direction may say of its place beside its words. */
const PLACES: ReadonlySet<string> = new Set(["offset", "staff", "voice"]);

/** The words of a direction that has nothing but them, and `besides`; undefined for any other. */
function onlyWords(text: string, span: Span, besides: Span | undefined): string | undefined {
  const others = span.children.filter((each) => !PLACES.has(each.name) && each !== besides);
  const isOnlyWords = others.every(
    ({ name, children }) =>
      name === "direction-type" &&
      children.every((each) => each.name === "words" || each.name === "symbol"),
  );
  if (!isOnlyWords) return undefined;
  const [element] = parseContent(text.slice(span.start, span.end));
  return element && printedWords(element);
}

/** The name a `<print>` puts beside the staff from here on; "" for none. */
function printedName(text: string, print: Span): string {
  const [element] = parseContent(text.slice(print.start, print.end));
  return element ? displayedName(element, "part-name-display") : "";
}
