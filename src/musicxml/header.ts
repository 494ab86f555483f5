import type { PartInfo, ScoreInstrument, ScoreTitles } from "../model/score.js";
import {
  child,
  children,
  childText,
  descendants,
  parseContent,
  type XmlElement,
} from "./elements.js";

/** What stands before the first bar. */
export interface ScoreHeader extends ScoreTitles {
  readonly parts: readonly PartInfo[];
  /** Whether every part is notated at sounding pitch (`<concert-score>`, MusicXML 4.0). */
  readonly concertScore: boolean;
}

/**
 * Reads titles and the part list.
 * @param xml the content of the root element up to its first part or measure
 */
export function readHeader(xml: string): ScoreHeader {
  const elements = parseContent(xml);
  const find = (name: string) => elements.find((each) => each.name === name);
  const work = find("work");
  const workTitle = work ? (childText(work, "work-title") ?? "") : "";
  const movementTitle = find("movement-title")?.text.trim() ?? "";
  const movementNumber = find("movement-number")?.text.trim() ?? "";
  const creditTitle = titleFromCredits(elements);
  const title = workTitle || movementTitle || creditTitle;
  const movementName = title === movementTitle && movementNumber === "" ? "" : movementTitle;
  const partList = find("part-list");
  const defaults = find("defaults");
  const parts = partList ? children(partList, "score-part").map(readScorePart) : [];
  const headings = readHeadings(elements);
  return {
    title: oneLine(title),
    movement: oneLine(
      [movementNumber && `${movementNumber}.`, movementName].filter(Boolean).join(" "),
    ),
    // In a score the headings are not those of any one part.
    parts:
      parts.length === 1 && headings.length > 0
        ? parts.map((part) => ({ ...part, headings }))
        : parts,
    concertScore: defaults !== undefined && child(defaults, "concert-score") !== undefined,
  };
}

function readScorePart(element: XmlElement): PartInfo {
  return {
    id: element.attributes["id"] ?? "",
    name:
      displayedName(element, "part-name-display") || oneLine(childText(element, "part-name") ?? ""),
    abbreviation: oneLine(childText(element, "part-abbreviation") ?? ""),
    scoreInstruments: children(element, "score-instrument").map(readScoreInstrument),
  };
}

function readScoreInstrument(element: XmlElement): ScoreInstrument {
  const sound = childText(element, "instrument-sound");
  return {
    id: element.attributes["id"] ?? "",
    name: oneLine(childText(element, "instrument-name") ?? ""),
    ...(sound && { sound }),
  };
}

const ACCIDENTAL_SIGNS: ReadonlyMap<string, string> = new Map([
  ["flat", "♭"],
  ["sharp", "♯"],
  ["natural", "♮"],
  ["double-sharp", "𝄪"],
  ["flat-flat", "𝄫"],
]);

/** A name made of `<display-text>` and `<accidental-text>`, as the page shows it. */
export function displayedName(parent: XmlElement, displayName: string): string {
  const display = child(parent, displayName);
  if (!display || display.attributes["print-object"] === "no") return "";
  const pieces = display.children.map((each) =>
    each.name === "accidental-text" ? (ACCIDENTAL_SIGNS.get(each.text.trim()) ?? "") : each.text,
  );
  return oneLine(pieces.join(""));
}

function titleFromCredits(elements: readonly XmlElement[]): string {
  const credits = elements.filter((each) => each.name === "credit");
  const title = credits.find((each) => childText(each, "credit-type") === "title");
  return title
    ? descendants(title, "credit-words")
        .map((each) => each.text)
        .join(" ")
    : "";
}

/** More lines than any title page has. */
const MOST_HEADINGS = 20;

/** Kinds of credit that say nothing of the part. Source: MusicXML 4.0, `<credit-type>`. */
const OTHER_CREDITS: ReadonlySet<string> = new Set([
  "title", "subtitle", "composer", "arranger", "lyricist", "rights", "page number",
]); // prettier-ignore

/** What is printed around the music on the first page, a line each; titles and the like left out. */
function readHeadings(elements: readonly XmlElement[]): readonly string[] {
  return elements
    .filter(({ name, attributes }) => name === "credit" && (attributes["page"] ?? "1") === "1")
    .filter((credit) => !OTHER_CREDITS.has(childText(credit, "credit-type") ?? ""))
    .slice(0, MOST_HEADINGS)
    .map((credit) =>
      oneLine(
        descendants(credit, "credit-words")
          .map(({ text }) => text)
          .join(" "),
      ),
    )
    .filter((text) => text !== "");
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}
