import { BEATS_PER_MINUTE, type PrintedTempo, type TempoSign } from "../model/tempo.js";
import { toNumber } from "../theory/fraction.js";
import { readEquation, readBeatUnit } from "./beat-units.js";
import type { Notify } from "./notices.js";
import { child, childText, children, type XmlElement } from "./elements.js";

/** What a direction says of the tempo before it has its place. */
export type UnplacedTempo = Omit<TempoSign, "at" | "partId">;

/**
 * What a `<direction>`, or a `<sound>` standing by itself, says of the tempo: numbers printed and
 * played, equations, words, and dashes.
 * @returns undefined when it holds nothing of the kind
 */
export function readTempo(element: XmlElement, notify: Notify): UnplacedTempo | undefined {
  const sound = element.name === "sound" ? element : child(element, "sound");
  let playback = readPlayback(sound, notify);
  const words = directionWords(element);
  let printed: PrintedTempo | undefined;
  let equation: TempoSign["equation"];
  for (const metronome of metronomes(element)) {
    const mark = readMetronome(metronome);
    // A hidden mark tells the program, not the conductor.
    if (mark && metronome.attributes["print-object"] === "no") playback ??= mark.quartersPerMinute;
    else if (mark) {
      const approximate =
        mark.approximate || /(?:^|\P{L})(?:ca|circa|env|etwa|about)(?:$|\P{L})/iu.test(words);
      printed ??= { ...mark, approximate, editorial: isBracketed(words) };
    } else equation ??= readEquation(metronome);
    if (!mark && !equation && playback === undefined) {
      notify({ kind: "tempo-unreadable", text: metronomeText(metronome) });
    }
  }
  const dashes = readDashes(element);
  if (!words && !printed && !equation && playback === undefined && dashes.length === 0) {
    return undefined;
  }
  const text = withoutBrackets(words);
  const hasNumber = printed !== undefined || equation !== undefined || playback !== undefined;
  return {
    words: text ? [text] : [],
    ...(hasNumber && text && { numberWords: text }),
    ...(printed && { printed }),
    ...(equation && { equation }),
    ...(playback !== undefined && { playback }),
    dashes,
  };
}

function metronomes(element: XmlElement): readonly XmlElement[] {
  return children(element, "direction-type").flatMap((type) => children(type, "metronome"));
}

/** `<sound tempo>` is in quarters a minute whatever the meter (MusicXML 4.0, `<sound>`). */
function readPlayback(sound: XmlElement | undefined, notify: Notify): number | undefined {
  const text = sound?.attributes["tempo"];
  if (text === undefined) return undefined;
  const value = /^\s*\d{1,6}(?:\.\d{1,12})?\s*$/.test(text) ? Number(text) : NaN;
  if (value >= BEATS_PER_MINUTE.least && value <= BEATS_PER_MINUTE.most) return value;
  notify({ kind: "tempo-unreadable", text: `tempo="${text}"` });
  return undefined;
}

/** The printed words of a direction, in one line. */
function directionWords(element: XmlElement): string {
  return children(element, "direction-type")
    .flatMap((type) => children(type, "words"))
    .map((each) => each.text)
    .join(" ")
    .replace(/\s+/g, " ")
    .trim();
}

/** Square brackets around a number mark it as the editor's (common practice, no source). */
function isBracketed(words: string): boolean {
  return /\[\s*\]?\s*$/.test(words) || /^\s*\[\s*\]/.test(words);
}

function withoutBrackets(words: string): string {
  return words
    .replace(/[[\]()\s]+/g, " ")
    .replace(/ (?=[.,;:])/g, "")
    .trim();
}

function readDashes(element: XmlElement): TempoSign["dashes"] {
  return children(element, "direction-type")
    .flatMap((type) => children(type, "dashes"))
    .flatMap(({ attributes }) => {
      const { type, number = "1" } = attributes;
      return type === "start" || type === "stop" ? [{ type, number }] : [];
    });
}

function readMetronome(metronome: XmlElement): Omit<PrintedTempo, "editorial"> | undefined {
  const perMinute = childText(metronome, "per-minute");
  const unit = readBeatUnit(metronome);
  if (perMinute === undefined || unit === undefined) return undefined;
  const numbers = [...perMinute.matchAll(/\d{1,4}(?:[.,]\d{1,3})?/g)].map(([digits]) =>
    Number(digits.replace(",", ".")),
  );
  const [low, high = low, ...more] = numbers;
  if (low === undefined || high === undefined || more.length > 0 || high < low) return undefined;
  if (low < BEATS_PER_MINUTE.least || high > BEATS_PER_MINUTE.most) return undefined;
  const quartersPerBeat = toNumber(unit.quarters);
  return {
    quartersPerMinute: ((low + high) / 2) * quartersPerBeat,
    ...(high > low && { range: { low: low * quartersPerBeat, high: high * quartersPerBeat } }),
    approximate: /[a-z~≈]/i.test(perMinute),
    text: `${unit.name} = ${perMinute.trim()}`,
  };
}

function metronomeText(metronome: XmlElement): string {
  return metronome.children
    .flatMap((each) => (each.children.length > 0 ? each.children : [each]))
    .map((each) => each.text.trim() || "·")
    .join(" ")
    .slice(0, 80);
}
