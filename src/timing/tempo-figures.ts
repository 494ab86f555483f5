// What the tables give for a tempo word, with what qualifies it.

import * as data from "./tempo-words-data.js";
import type { Direction, Figure, PublishedTerm, TempoRow } from "./tempo-words-data.js";

/** From published tables; which note the beat is the meter tells, not the word. */
export interface BeatsPerMinute {
  readonly low: number;
  readonly typical: number;
  readonly high: number;
}

export type Strength = -1 | 0 | 1;

/** A tempo word with its "molto" or "poco". */
export interface Qualified {
  readonly row: TempoRow;
  readonly strength: Strength;
}

/** What the tables say of a term: their lowest, highest and middle figures. */
function published(term: PublishedTerm): BeatsPerMinute {
  const cells: readonly Figure[] = Object.values(data.PUBLISHED[term]);
  const ends = cells.flat().filter((end) => end !== undefined);
  const middles = cells.flatMap((cell) => {
    if (typeof cell === "number") return [cell];
    const [low, high] = cell;
    return low === undefined || high === undefined ? [] : [(low + high) / 2];
  });
  return { low: Math.min(...ends), typical: median(middles), high: Math.max(...ends) };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.slice((sorted.length - 1) >> 1, (sorted.length >> 1) + 1);
  return middle.reduce((sum, value) => sum + value, 0) / middle.length;
}

const MODERATE = published("moderato").typical;
/** Within this factor of moderate "very" has no direction. Assumption. */
const NEAR_MODERATE = 1.15;

function figures(row: TempoRow, strength: Strength): BeatsPerMinute {
  const named = strength > 0 ? row.very : strength < 0 ? row.rather : undefined;
  if (named) return published(named);
  const [low, typical, high] = row.memory ?? together(row);
  const plain = { low, typical, high };
  if (strength < 0) return towardsModerate(plain);
  const distance = typical / MODERATE;
  if (strength === 0 || Math.max(distance, 1 / distance) < NEAR_MODERATE) return plain;
  return scaled(plain, distance > 1 ? data.VERY : 1 / data.VERY);
}

/** The figures of all the terms that a word stands for. */
function together({ as = [], single }: TempoRow): readonly [number, number, number] {
  const terms = as.map(published);
  const product = terms.reduce((result, { typical }) => result * typical, 1);
  return [
    Math.min(...terms.map(({ low }) => low)),
    single ?? product ** (1 / terms.length),
    Math.max(...terms.map(({ high }) => high)),
  ];
}

export function towardsModerate(tempo: BeatsPerMinute): BeatsPerMinute {
  const { TOWARDS_MODERATE: step } = data;
  const whole = MODERATE / tempo.typical;
  return scaled(tempo, whole < 1 ? Math.max(step, whole) : Math.min(1 / step, whole));
}

function scaled({ low, typical, high }: BeatsPerMinute, factor: number): BeatsPerMinute {
  return { low: low * factor, typical: typical * factor, high: high * factor };
}

function mixed(first: BeatsPerMinute, second: BeatsPerMinute): BeatsPerMinute {
  const share = data.FIRST_WORD_SHARE;
  const mix = (a: number, b: number) => a ** share * b ** (1 - share);
  return {
    low: mix(first.low, second.low),
    typical: mix(first.typical, second.typical),
    high: mix(first.high, second.high),
  };
}

/** A tempo word with all that stands beside it: "Andante con moto, quasi allegretto". */
export function inCompany(first: Qualified, company: readonly Qualified[]): BeatsPerMinute {
  let { row } = first;
  let tempo = figures(row, first.strength);
  for (const other of company) {
    const { aside } = other.row;
    if (aside !== undefined) {
      tempo = scaled(tempo, aside ** ([0.5, 1, 2][other.strength + 1] ?? 1));
    } else if (row.aside !== undefined) {
      tempo = scaled(figures(other.row, other.strength), row.aside);
      row = other.row;
    } else if (other.row.dance && !row.dance) {
      tempo = mixed(figures(other.row, other.strength), tempo);
      row = other.row;
    } else tempo = mixed(tempo, figures(other.row, other.strength));
  }
  return tempo;
}

/** Words that are typically slower than this, in beats a minute, make "più" mean slower. */
const SLOW_WORD = 72;

/** What "più" before a word means; nothing before words of mere expression. */
export function bearing(row: TempoRow): Direction | undefined {
  if (row.bearing || row.dance) return row.bearing;
  if (row.aside === undefined) return figures(row, 0).typical < SLOW_WORD ? "slower" : "faster";
  return row.aside === 1 ? undefined : row.aside < 1 ? "slower" : "faster";
}
