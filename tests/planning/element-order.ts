import { type XmlElement, parseContent } from "../../src/musicxml/elements.js";

/** The order of children in what a rewriting touches. Source: MusicXML 4.0, the schema's sequences. */
const ORDER: Readonly<Record<string, readonly string[]>> = {
  note: [
    "grace", "cue", "chord", "pitch", "unpitched", "rest", "duration", "tie", "instrument",
    "footnote", "level", "voice", "type", "dot", "accidental", "time-modification", "stem",
    "notehead", "notehead-text", "staff", "beam", "notations", "lyric", "play",
    "listen",
  ],
  attributes: [
    "footnote", "level", "divisions", "key", "time", "staves", "part-symbol", "instruments", "clef",
    "staff-details", "transpose", "for-part", "directive", "measure-style",
  ],
  pitch: ["step", "alter", "octave"],
  key: ["cancel", "fifths", "mode", "key-octave"],
  transpose: ["diatonic", "chromatic", "octave-change", "double"],
  direction: ["direction-type", "offset", "footnote", "level", "voice", "staff", "sound", "listening"],
}; // prettier-ignore

/** Elements of a bar whose children stand in an order, or are of a kind, that the standard does not have. */
export function outOfOrder(bar: string): readonly string[] {
  return parseContent(bar).flatMap(faults);
}

function faults(element: XmlElement): readonly string[] {
  const order = ORDER[element.name];
  const places = element.children.map(({ name }) => order?.indexOf(name) ?? 0);
  const isRight = places.every((place, k) => place >= 0 && place >= (places[k - 1] ?? 0));
  const own = isRight
    ? []
    : [`${element.name}: ${element.children.map(({ name }) => name).join(" ")}`];
  return [...own, ...element.children.flatMap(faults)];
}
