import type { Fraction } from "../model/fraction.js";
import type { TempoEquation } from "../model/tempo.js";
import { isPositive, ZERO } from "../theory/fraction.js";
import { noteValueQuarters, positiveNumber } from "./durations.js";
import { child, childText, children, type XmlElement } from "./elements.js";

/** A note value, or several tied, as a metronome mark names it. */
interface BeatUnit {
  readonly quarters: Fraction;
  readonly name: string;
}

interface NoteValue {
  readonly type: string;
  dots: number;
}

/** The beat unit of a metronome mark with a number, its dots and the units tied to it. */
export function readBeatUnit(metronome: XmlElement): BeatUnit | undefined {
  const [unit, ...more] = plainUnits(metronome);
  return more.length > 0 ? undefined : unit;
}

/**
 * "Quarter = dotted quarter": the old value and the new one last equally long. Both forms of the
 * element are read (MusicXML 4.0, `<metronome>`): two beat units, or two rows of metronome notes.
 * @returns undefined when it is no equation of two known note values
 */
export function readEquation(metronome: XmlElement): TempoEquation | undefined {
  const [before, after, ...more] =
    child(metronome, "metronome-note") === undefined
      ? plainUnits(metronome)
      : metronomeNoteSides(metronome);
  if (!before || !after || more.length > 0) return undefined;
  return {
    oldQuarters: before.quarters,
    newQuarters: after.quarters,
    text: `${before.name} = ${after.name}`,
  };
}

function plainUnits(metronome: XmlElement): readonly (BeatUnit | undefined)[] {
  const units: NoteValue[][] = [];
  for (const each of metronome.children) {
    if (each.name === "per-minute") break;
    if (each.name === "beat-unit") units.push([{ type: each.text.trim(), dots: 0 }]);
    const last = units.at(-1);
    const value = last?.at(-1);
    if (each.name === "beat-unit-dot" && value) value.dots++;
    if (each.name === "beat-unit-tied") {
      const type = childText(each, "beat-unit");
      const dots = children(each, "beat-unit-dot").length;
      if (type !== undefined) last?.push({ type, dots });
    }
  }
  return units.map((values) => joined(values));
}

function joined(values: readonly NoteValue[]): BeatUnit | undefined {
  let quarters = ZERO;
  for (const { type, dots } of values) {
    const value = noteValueQuarters(type, dots);
    if (!value) return undefined;
    quarters = quarters.add(value);
  }
  const name = values.map(({ type, dots }) => `${DOTTED[dots] ?? "dotted "}${type}`);
  return { quarters, name: name.join(" tied to ") };
}

const DOTTED = ["", "dotted ", "double-dotted "];

/** The notes on the two sides of the relation; those of a tuplet are shortened by it. */
function metronomeNoteSides(metronome: XmlElement): readonly (BeatUnit | undefined)[] {
  const sides: XmlElement[][] = [[]];
  for (const each of metronome.children) {
    if (each.name === "metronome-relation") sides.push([]);
    else if (each.name === "metronome-note") sides.at(-1)?.push(each);
  }
  return sides.map((notes) => {
    let quarters = ZERO;
    const names: string[] = [];
    let ratio: Fraction | undefined;
    for (const note of notes) {
      const type = childText(note, "metronome-type") ?? "";
      const dots = children(note, "metronome-dot").length;
      const value = noteValueQuarters(type, dots);
      if (!value) return undefined;
      const tuplet = child(note, "metronome-tuplet");
      if (tuplet && tuplet.attributes["type"] !== "stop") ratio = tupletRatio(tuplet);
      quarters = quarters.add(ratio ? value.mul(ratio) : value);
      names.push(`${ratio ? "tuplet " : ""}${DOTTED[dots] ?? "dotted "}${type}`);
      if (tuplet?.attributes["type"] === "stop") ratio = undefined;
    }
    return isPositive(quarters) ? { quarters, name: names.join(" + ") } : undefined;
  });
}

function tupletRatio(tuplet: XmlElement): Fraction | undefined {
  const actual = positiveNumber(childText(tuplet, "actual-notes") ?? "");
  const normal = positiveNumber(childText(tuplet, "normal-notes") ?? "");
  return actual && normal && normal.div(actual);
}
