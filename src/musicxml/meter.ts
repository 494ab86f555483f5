import type { Fraction } from "../model/fraction.js";
import type { Meter } from "../model/score.js";
import { fraction, isPositive, ZERO } from "../theory/fraction.js";
import type { XmlElement } from "./elements.js";

/** What holds before any meter is printed, as in the MusicXML test suite's files without one. */
export const COMMON_TIME: Meter = meterOf([{ beats: "4", beatType: 4 }]);

/**
 * Reads a `<time>`: simple, compound, additive (`3+2`), several pairs (`3/8+2/4`), senza misura.
 * @returns undefined when it cannot be understood
 */
export function readMeter(time: XmlElement): Meter | undefined {
  if (time.children.some((each) => each.name === "senza-misura")) {
    return {
      label: "senza misura",
      barQuarters: ZERO,
      beatQuarters: fraction(1),
      unmetered: true,
    };
  }
  const groups: { beats: string; beatType: number }[] = [];
  let beats: string | undefined;
  for (const each of time.children) {
    if (each.name === "beats") beats = each.text.replace(/\s/g, "");
    if (each.name === "beat-type" && beats !== undefined) {
      const beatType = Number(each.text);
      if (!/^\d{1,3}(?:\+\d{1,3}){0,9}$/.test(beats) || !isNoteValue(beatType)) return undefined;
      groups.push({ beats, beatType });
      beats = undefined;
    }
  }
  if (groups.length === 0) return undefined;
  const meter = meterOf(groups);
  return isPositive(meter.barQuarters) ? meter : undefined;
}

function isNoteValue(beatType: number): boolean {
  return Number.isInteger(beatType) && beatType >= 1 && beatType <= 1024;
}

function meterOf(groups: readonly { beats: string; beatType: number }[]): Meter {
  const barQuarters = groups.reduce(
    (sum, { beats, beatType }) => sum.add(fraction(4 * sumOf(beats), beatType)),
    ZERO,
  );
  return {
    label: groups.map(({ beats, beatType }) => `${beats}/${beatType}`).join("+"),
    barQuarters,
    beatQuarters: countedBeat(groups),
    unmetered: false,
  };
}

/** 6/8, 9/8, 12/8 (and 6/4 ...) are counted in threes; everything else in the note value below the line. */
function countedBeat(groups: readonly { beats: string; beatType: number }[]): Fraction {
  const [only] = groups;
  const finest = Math.max(...groups.map(({ beatType }) => beatType));
  if (only && groups.length === 1 && finest >= 4 && /^\d+$/.test(only.beats)) {
    const count = Number(only.beats);
    if (count > 3 && count % 3 === 0) return fraction(12, finest);
  }
  return fraction(4, finest);
}

function sumOf(beats: string): number {
  return beats.split("+").reduce((sum, each) => sum + Number(each), 0);
}
