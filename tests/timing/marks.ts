import { expect } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import type { PerformanceWishes, SheetTempo } from "../../src/model/tempo.js";
import type { TempoRange } from "../../src/model/time.js";
import { readTempoWords } from "../../src/timing/tempo-words.js";
import { attributes, DIVISIONS, rest } from "../support/score-xml.js";
import { performFirst } from "./times.js";

/** Name, bars of the part, likely seconds of the whole, and what the player asks for. */
export type WorkedRow = readonly [
  name: string,
  bars: readonly string[],
  likely: number,
  wishes?: PerformanceWishes,
];

const UNITS: Readonly<Record<string, string>> = {
  b: "breve",
  w: "whole",
  h: "half",
  q: "quarter",
  e: "eighth",
  s: "16th",
  t: "32nd",
};
const VALUE = "[a-z]\\.*(?:~[a-z]\\.*)*";
const EQUATION = new RegExp(`^(${VALUE})=(${VALUE})$`);
const MARK = new RegExp(`^(${VALUE})=(.+)$`);

/** "q." is a dotted quarter, "h~e" a half tied to an eighth. */
function beatUnit(value: string): string {
  const [first = "", ...tied] = value.split("~").map((each) => {
    const type = UNITS[each.charAt(0)];
    if (type === undefined) throw new Error(`not a note value: ${value}`);
    return `<beat-unit>${type}</beat-unit>${"<beat-unit-dot/>".repeat(each.length - 1)}`;
  });
  return first + tied.map((each) => `<beat-unit-tied>${each}</beat-unit-tied>`).join("");
}

function directionType(text: string): string {
  if (text.startsWith("<")) return text;
  const [, before, after] = EQUATION.exec(text) ?? [];
  const [, unit, number] = MARK.exec(text) ?? [];
  const inside =
    before !== undefined && after !== undefined
      ? `<metronome>${beatUnit(before)}${beatUnit(after)}</metronome>`
      : unit !== undefined && number !== undefined
        ? `<metronome>${beatUnit(unit)}<per-minute>${number}</per-minute></metronome>`
        : `<words>${text}</words>`;
  return `<direction-type>${inside}</direction-type>`;
}

/** One direction: a mark ("q=60"), an equation ("q=q."), words, or XML as it stands. */
export function direction(...pieces: readonly string[]): string {
  return `<direction>${pieces.map(directionType).join("")}</direction>`;
}

/** A bar that sets a meter, with its content: rests of so many quarters, directions, other XML. */
export function bar(meter: string, ...content: readonly (number | string)[]): string {
  const inside = content.map((each) => {
    if (typeof each === "number") return rest(each);
    return each.startsWith("<") ? each : direction(each);
  });
  return attributes({ meter }) + inside.join("");
}

/** Bars of 4/4 that are silent throughout. */
export function silentBars(count: number): readonly string[] {
  return Array.from({ length: count }, () => bar("4/4", 4));
}

export const SENZA_MISURA = "<attributes><time><senza-misura/></time></attributes>";
export const FORTH = `<barline location="left"><repeat direction="forward"/></barline>`;

/** Begins or ends a line of dashes. */
export function dashes(type: "start" | "stop"): string {
  return `<direction-type><dashes type="${type}" number="1"/></direction-type>`;
}

/** Quarters by which a direction is moved; `sound="yes"` moves its playback too. */
export function offset(quarters: number, sound = ""): string {
  return `<offset${sound && ` sound="${sound}"`}>${quarters * DIVISIONS}</offset>`;
}

/** An equation in the form with metronome notes; "3q" is a quarter of a triplet. */
export function noteEquation(before: readonly string[], after: readonly string[]): string {
  const relation = "<metronome-relation>equals</metronome-relation>";
  return `<direction-type><metronome>${metronomeNotes(before)}${relation}${metronomeNotes(after)}</metronome></direction-type>`;
}

function metronomeNotes(values: readonly string[]): string {
  const isTriplet = (value: string) => value.startsWith("3");
  const [first, last] = [values.findIndex(isTriplet), values.findLastIndex(isTriplet)];
  const notes = values.map((value, k) => {
    const name = value.replace("3", "");
    const type = UNITS[name.charAt(0)];
    const dots = "<metronome-dot/>".repeat(name.length - 1);
    const edge = k === first ? "start" : k === last ? "stop" : undefined;
    const tuplet = edge
      ? `<metronome-tuplet type="${edge}"><actual-notes>3</actual-notes><normal-notes>2</normal-notes></metronome-tuplet>`
      : "";
    return `<metronome-note><metronome-type>${type}</metronome-type>${dots}${tuplet}</metronome-note>`;
  });
  return notes.join("");
}

/** A line of the player's sheet, without a range: "2" is bar 2, "2:3" its third beat. */
export function sheetLine(place: string, quartersPerMinute: number, pass?: number): SheetTempo {
  const [barLabel = "", beat = "1"] = place.split(":");
  return {
    barLabel,
    beat: Number(beat),
    quartersPerMinute: {
      slow: quartersPerMinute,
      likely: quartersPerMinute,
      fast: quartersPerMinute,
    },
    text: `quarter = ${quartersPerMinute}`,
    ...(pass !== undefined && { pass }),
  };
}

/** The documented factor of words that change the tempo: a step, or a gradual change without a goal. */
export function factorsOf(words: string) {
  const [term, ...more] = readTempoWords(words);
  if (more.length > 0 || (term?.kind !== "step" && term?.kind !== "gradual")) {
    throw new Error(`"${words}" is no change of tempo`);
  }
  return term.factor;
}
export function factorOf(words: string): number {
  return factorsOf(words).likely;
}

/** What the tables say of a tempo word, in beats a minute. */
export function figuresOf(words: string) {
  const [term] = readTempoWords(words);
  if (term?.kind !== "tempo") throw new Error(`"${words}" is no tempo`);
  return term.beatsPerMinute;
}

/** A part of these bars with, for each time through a bar, the stretch of tempo that it begins in. */
export function tempiOf(bars: readonly string[], wishes: PerformanceWishes = {}) {
  const performed = performFirst([{ bars }], wishes);
  const { map, performance } = performed;
  return {
    ...performed,
    inBars: performance.visits.map(({ startQuarters }) => map.stretchAt(startQuarters)),
  };
}

/** Quarters a minute at the slow, the likely and the fast tempo. */
export function expectRange(range: TempoRange | undefined, figures: readonly number[]): void {
  const [slow = NaN, likely = NaN, fast = NaN] = figures;
  expect(range?.slow, "slow").toBeCloseTo(slow, 9);
  expect(range?.likely, "likely").toBeCloseTo(likely, 9);
  expect(range?.fast, "fast").toBeCloseTo(fast, 9);
}

/** The error an input is refused with. */
export function refusal(action: () => unknown): InputError {
  try {
    action();
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}
