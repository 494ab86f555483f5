import { openScore } from "../../src/musicxml/document.js";
import type { PartTimeline } from "../../src/model/score.js";

/** Divisions a quarter in the scores built here: enough for triplets, sixteenths and quintuplets. */
export const DIVISIONS = 240;

/** One bar as MusicXML, or its content and attributes of the `<measure>`. */
export type BarXml = string | { readonly attributes: string; readonly content: string };

export interface PartXml {
  readonly id?: string;
  readonly name?: string;
  /** Content of `<score-part>` after the name, such as score-instruments. */
  readonly extra?: string;
  readonly bars: readonly BarXml[];
}

/** A whole partwise document. Bars are numbered from 1 unless they say otherwise. */
export function scoreXml(parts: readonly PartXml[], header = ""): string {
  const named = parts.map((part, k) => ({
    id: `P${k + 1}`,
    name: "Clarinet in Bb",
    extra: "",
    ...part,
  }));
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">${header}
<part-list>${named.map(({ id, name, extra }) => `<score-part id="${id}"><part-name>${name}</part-name>${extra}</score-part>`).join("")}</part-list>
${named.map(({ id, bars }) => `<part id="${id}">${bars.map(barXml).join("\n")}</part>`).join("\n")}
</score-partwise>`;
}

function barXml(bar: BarXml, index: number): string {
  return typeof bar === "string"
    ? `<measure number="${index + 1}">${bar}</measure>`
    : `<measure ${bar.attributes}>${bar.content}</measure>`;
}

/** `<attributes>` with divisions; only what is given besides. */
export function attributes(given: {
  readonly meter?: string;
  readonly fifths?: number;
  /** Diatonic, chromatic and octave change. */
  readonly transpose?: readonly [number, number, number?];
  readonly divisions?: number;
}): string {
  const { meter, fifths, transpose, divisions = DIVISIONS } = given;
  const [beats, beatType] = meter?.split("/") ?? [];
  return [
    `<attributes><divisions>${divisions}</divisions>`,
    fifths === undefined ? "" : `<key><fifths>${fifths}</fifths></key>`,
    meter === undefined
      ? ""
      : `<time><beats>${beats}</beats><beat-type>${beatType}</beat-type></time>`,
    transpose === undefined
      ? ""
      : `<transpose><diatonic>${transpose[0]}</diatonic><chromatic>${transpose[1]}</chromatic>${transpose[2] === undefined ? "" : `<octave-change>${transpose[2]}</octave-change>`}</transpose>`,
    "</attributes>",
  ].join("");
}

export const B_FLAT = [-1, -2] as const;
export const A = [-2, -3] as const;
export const BASS = [-1, -2, -1] as const;

/** A note such as `note("C5", 2)`: two quarters; `inside` goes into the `<note>` after the duration. */
export function note(pitch: string, quarters: number, inside = "", divisions = DIVISIONS): string {
  const match = /^([A-G])(b|#)?(\d)$/.exec(pitch);
  if (!match) throw new Error(`not a pitch: ${pitch}`);
  const [, step = "", sign, octave = ""] = match;
  const alter = sign === undefined ? "" : `<alter>${sign === "b" ? -1 : 1}</alter>`;
  return `<note><pitch><step>${step}</step>${alter}<octave>${octave}</octave></pitch><duration>${quarters * divisions}</duration>${inside}</note>`;
}

export function rest(quarters: number, inside = "", divisions = DIVISIONS): string {
  return `<note><rest/><duration>${quarters * divisions}</duration>${inside}</note>`;
}

export function words(text: string): string {
  return `<direction><direction-type><words>${text}</words></direction-type></direction>`;
}

/** A printed metronome mark. */
export function metronome(beatUnit: string, perMinute: string, dots = 0): string {
  return `<direction><direction-type><metronome><beat-unit>${beatUnit}</beat-unit>${"<beat-unit-dot/>".repeat(dots)}<per-minute>${perMinute}</per-minute></metronome></direction-type></direction>`;
}

/** The timeline of a part of a document; the first by default. */
export function timelineOf(xml: string, partId?: string): PartTimeline {
  const score = openScore(Buffer.from(xml));
  return score.timeline(partId ?? score.parts[0]?.id ?? "");
}
