import type { TempoSpan } from "../../model/report.js";
import type { TempoRange, TempoSource } from "../../model/time.js";

/** Where a tempo comes from, in a word or two. */
const TEMPO_SOURCE_NAMES: Readonly<Record<TempoSource, string>> = {
  sheet: "your sheet",
  recording: "a recording",
  metronome: "printed",
  sound: "not printed",
  words: "by the word",
  assumed: "ASSUMED",
};

const BEAT_NAMES: ReadonlyMap<number, string> = new Map([
  [4, "whole"],
  [3, "dotted half"],
  [2, "half"],
  [1.5, "dotted quarter"],
  [1, "quarter"],
  [0.75, "dotted eighth"],
  [0.5, "eighth"],
  [0.25, "16th"],
  [0.125, "32nd"],
]);

/** The note value of a beat, such as `dotted quarter`; the quarter where it has no name. */
export function beatUnit(beatQuarters: number): {
  readonly name: string;
  readonly quarters: number;
} {
  const name = BEAT_NAMES.get(beatQuarters);
  return name === undefined ? { name: "quarter", quarters: 1 } : { name, quarters: beatQuarters };
}

/** "half = 70 (66–74)": in the beat that the player counts. */
export function beatsText(range: TempoRange, beatQuarters: number): string {
  return `${beatUnit(beatQuarters).name} = ${numbersText(range, beatQuarters)}`;
}

/** "70 (66–74)". */
export function numbersText({ slow, likely, fast }: TempoRange, beatQuarters: number): string {
  const { quarters } = beatUnit(beatQuarters);
  const [low, middle, high] = [slow, likely, fast].map((each) => Math.round(each / quarters));
  return low === high ? String(middle) : `${middle} (${low}–${high})`;
}

/** Where a tempo comes from; a gradual change with a goal goes to what is given there. */
export function sourceText({ source, bend, endQuartersPerMinute }: TempoSpan): string {
  if (bend) return `${TEMPO_SOURCE_NAMES[source]}, how far is assumed`;
  return endQuartersPerMinute ? "to the next tempo" : TEMPO_SOURCE_NAMES[source];
}
