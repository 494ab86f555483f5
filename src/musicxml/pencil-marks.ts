import { children, parseContent, type XmlElement } from "./elements.js";
import { spanText, type Span } from "./spans.js";

/** A line to be written over the staff in the player's own name. */
export interface PencilMark {
  /** Plain text in one line. */
  readonly words: string;
  /** Whether the sign of a pair of eyeglasses goes before the words. */
  readonly eyeglasses: boolean;
  /** The player it is for, on a staff that several read. */
  readonly player?: number;
}

/**
 * What every mark begins with. A mark has to be known again from its words: notation programs keep those
 * when they save a file, but neither comments, processing instructions nor ids. It is in every text font, and
 * no print puts it before a blank (a German quotation »so« has none).
 */
const SIGN = "»";

/** The sign, and the player's number where one is named. */
const BEGINNING = /^»\s+(?:([IVX]+): )?/;

/** What a mark consists of; with anything more it is something else, or has been made so. */
const MARK_TYPES: ReadonlySet<string> = new Set(["words", "eyeglasses"]);

/** Whether a `<direction>` was written by `muta mark`, now or in an earlier run. */
export function isPencilMark(element: XmlElement): boolean {
  return markWords(element) !== undefined;
}

/** The same of a piece of text. */
export function isPencilMarkSpan(text: string, span: Span): boolean {
  return pencilMarkOf(text, span) !== undefined;
}

/**
 * Whom a mark is for.
 * @returns undefined where the element is no mark; `player` undefined where the mark names none
 */
export function pencilMarkOf(
  text: string,
  span: Span,
): { readonly player: number | undefined } | undefined {
  if (span.name !== "direction") return undefined;
  const [element] = parseContent(text.slice(span.start, span.end));
  const words = element && markWords(element);
  if (words === undefined) return undefined;
  const [, figure] = BEGINNING.exec(words) ?? [];
  const index = FIGURES.findIndex((each) => each === figure);
  return { player: index < 0 ? undefined : index + 1 };
}

function markWords(element: XmlElement): string | undefined {
  if (element.name !== "direction" || children(element, "sound").length > 0) return undefined;
  const types = children(element, "direction-type").flatMap((type) => type.children);
  if (!types.every(({ name }) => MARK_TYPES.has(name))) return undefined;
  const words = types
    .map(({ text }) => text)
    .join(" ")
    .trim();
  return BEGINNING.test(words) ? words : undefined;
}

/** As many players as a staff may be asked for. */
const FIGURES = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X"].concat([
  "XI",
  "XII",
  "XIII",
  "XIV",
  "XV",
  "XVI",
]);

/**
 * A mark as a `<direction>`.
 * @param offset divisions from where the element stands to where the mark belongs; "" for none
 * @param staff "" where the part has one
 */
export function pencilMarkXml(mark: PencilMark, offset: string, staff: string): string {
  const figure = mark.player === undefined ? undefined : FIGURES[mark.player - 1];
  const words = `${SIGN} ${figure === undefined ? "" : `${figure}: `}${mark.words}`;
  return [
    `<direction placement="above">`,
    mark.eyeglasses ? "<direction-type><eyeglasses/></direction-type>" : "",
    `<direction-type><words>${escapeText(words)}</words></direction-type>`,
    offset === "" ? "" : `<offset>${offset}</offset>`,
    staff === "" ? "" : `<staff>${staff}</staff>`,
    "</direction>",
  ].join("");
}

/** The number of a staff as an element says it; "" for none, or for what is no number. */
export function staffText(text: string, staff: Span | undefined): string {
  const number = spanText(text, staff);
  return /^\d+$/.test(number) ? number : "";
}

/** Text for an element: what XML 1.0 has no place for becomes a blank. */
function escapeText(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Cs}\ufffe\uffff]/gu, " ")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;");
}
