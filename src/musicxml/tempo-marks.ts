import type { Fraction } from "../model/fraction.js";
import type { TempoMark } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import { noteValueQuarters } from "./durations.js";
import type { Notify } from "./notices.js";
import { child, childText, children, type XmlElement } from "./elements.js";

/** A tempo mark before it has its place. */
export type UnplacedTempo = Omit<TempoMark, "at" | "partId">;

/** No music is counted slower or faster than this in any beat; such numbers are slips. */
const LEAST_PER_MINUTE = 4;
const MOST_PER_MINUTE = 1200;

/**
 * The tempo a `<direction>` or a lone `<sound>` sets.
 * A printed number is preferred to the playback number beside it: it is what the conductor reads.
 * @param element a `<direction>`, or a `<sound>` standing by itself
 */
export function readTempo(element: XmlElement, notify: Notify): UnplacedTempo | undefined {
  const sound = element.name === "sound" ? element : child(element, "sound");
  const playback = readPlayback(sound, notify);
  const metronomes = children(element, "direction-type").flatMap((type) =>
    children(type, "metronome"),
  );
  const words = directionWords(element);
  for (const metronome of metronomes) {
    const mark = readMetronome(metronome);
    const hidden = metronome.attributes["print-object"] === "no";
    // A hidden mark tells the program, not the conductor.
    if (mark && hidden && playback === undefined) return { ...mark, source: "sound" };
    const printed = hidden ? undefined : mark;
    if (printed) {
      if (playback !== undefined && contradicts(printed, playback)) {
        notify({ kind: "tempo-contradiction", printed: printed.text, playback });
      }
      return words ? { ...printed, text: `${words} (${printed.text})` } : printed;
    }
    if (!mark && playback === undefined) {
      notify({ kind: "tempo-unreadable", text: metronomeText(metronome) });
    }
  }
  if (playback === undefined) return undefined;
  const number = `playback: quarter = ${round(playback)}`;
  return {
    quartersPerMinute: playback,
    approximate: false,
    source: "sound",
    text: words ? `${words} (${number})` : number,
  };
}

/** `<sound tempo>` is in quarters a minute whatever the meter (MusicXML 4.0, `<sound>`). */
function readPlayback(sound: XmlElement | undefined, notify: Notify): number | undefined {
  const text = sound?.attributes["tempo"];
  if (text === undefined) return undefined;
  const value = /^\s*\d{1,6}(?:\.\d{1,12})?\s*$/.test(text) ? Number(text) : NaN;
  if (value >= LEAST_PER_MINUTE && value <= MOST_PER_MINUTE) return value;
  notify({ kind: "tempo-unreadable", text: `tempo="${text}"` });
  return undefined;
}

/** The printed words of a direction, in one line, without the brackets editors put around additions. */
function directionWords(element: XmlElement): string {
  return children(element, "direction-type")
    .flatMap((type) => children(type, "words"))
    .map((each) => each.text)
    .join(" ")
    .replace(/[[\]()\s]+/g, " ")
    .trim();
}

function readMetronome(metronome: XmlElement): UnplacedTempo | undefined {
  const perMinute = childText(metronome, "per-minute");
  const unit = readBeatUnit(metronome);
  if (perMinute === undefined || unit === undefined) return undefined;
  const numbers = [...perMinute.matchAll(/\d{1,4}(?:[.,]\d{1,3})?/g)].map(([digits]) =>
    Number(digits.replace(",", ".")),
  );
  const [low, high = low, ...more] = numbers;
  if (low === undefined || high === undefined || more.length > 0 || high < low) return undefined;
  const quartersPerBeat = toNumber(unit.quarters);
  const middle = ((low + high) / 2) * quartersPerBeat;
  if (low < LEAST_PER_MINUTE || high > MOST_PER_MINUTE) return undefined;
  return {
    quartersPerMinute: middle,
    ...(high > low && {
      printedRange: { low: low * quartersPerBeat, high: high * quartersPerBeat },
    }),
    approximate: /[a-z~≈]/i.test(perMinute),
    source: "metronome",
    text: `${unit.name} = ${perMinute.trim()}`,
  };
}

/** The first beat unit of a metronome mark, with its dots and the units tied to it. */
function readBeatUnit(metronome: XmlElement): { quarters: Fraction; name: string } | undefined {
  const values: { type: string; dots: number }[] = [];
  let tiedType: string | undefined;
  for (const each of metronome.children) {
    if (each.name === "per-minute") break;
    if (each.name === "beat-unit") {
      // A second plain beat unit makes it an equation (old = new), which holds no number.
      if (values.length > 0) return undefined;
      values.push({ type: each.text.trim(), dots: 0 });
    } else if (each.name === "beat-unit-dot") {
      const last = values.at(-1);
      if (last) last.dots++;
    } else if (each.name === "beat-unit-tied") {
      tiedType = childText(each, "beat-unit");
      if (tiedType !== undefined) {
        values.push({ type: tiedType, dots: children(each, "beat-unit-dot").length });
      }
    }
  }
  let total: Fraction | undefined;
  for (const { type, dots } of values) {
    const value = noteValueQuarters(type, dots);
    if (!value) return undefined;
    total = total ? total.add(value) : value;
  }
  const name = values
    .map(({ type, dots }) => `${["", "dotted ", "double-dotted "][dots] ?? "dotted "}${type}`)
    .join(" tied to ");
  return total && { quarters: total, name };
}

/** Whether a playback number is more than 2 % outside what is printed. */
function contradicts(printed: UnplacedTempo, playback: number): boolean {
  const low = printed.printedRange?.low ?? printed.quartersPerMinute;
  const high = printed.printedRange?.high ?? printed.quartersPerMinute;
  return playback < low * 0.98 || playback > high * 1.02;
}

function metronomeText(metronome: XmlElement): string {
  return metronome.children
    .flatMap((each) => (each.children.length > 0 ? each.children : [each]))
    .map((each) => each.text.trim() || "·")
    .join(" ")
    .slice(0, 80);
}

function round(value: number): string {
  return String(Math.round(value * 100) / 100);
}
