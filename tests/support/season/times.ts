import Fraction from "fraction.js";
import {
  lengthOf,
  unitLength,
  type PlannedBar,
  type PlannedMusic,
  type PlannedTempo,
} from "./music.js";

// Exact seconds of a plan. Every figure is a fraction to the end.

export interface Seconds {
  readonly short: Fraction;
  readonly likely: Fraction;
  readonly long: Fraction;
}

/** What of a rest lies in one bar and one tempo. */
export interface Piece {
  /** Which part of a whole bar of its meter. */
  readonly bars: Fraction;
  readonly seconds: Seconds;
}

/**
 * How far from its number a tempo may be, as factors: 6 % about a printed one (README.md: quarter = 60 is taken as
 * 56-64), 10 % with "ca.", and for a number that is only played back the figures of `src/timing/tempo-range.ts`,
 * measured in the brief of the project. All are assumptions of the program, so they are repeated here, not derived.
 */
const SPREAD = {
  printed: { slow: "0.94", likely: "1", fast: "1.06" },
  loose: { slow: "0.9", likely: "1", fast: "1.1" },
  playback: { slow: "0.5", likely: "0.72", fast: "1.11" },
} as const;

/** A rest cut at every barline and every new tempo. */
export function piecesOf(music: PlannedMusic, from: Fraction, to: Fraction): readonly Piece[] {
  return music.bars.flatMap((bar) => {
    const barEnd = bar.start.add(bar.quarters);
    return music.tempi.flatMap((tempo, k): readonly Piece[] => {
      const tempoEnd = music.tempi[k + 1]?.at ?? lengthOf(music.bars);
      const start = latest(from, bar.start, tempo.at);
      const quarters = earliest(to, barEnd, tempoEnd).sub(start);
      if (quarters.compare(0) <= 0) return [];
      const whole = bar.quarters.add(bar.missing);
      return [{ bars: quarters.div(whole), seconds: secondsOf(tempo, quarters) }];
    });
  });
}

function secondsOf(tempo: PlannedTempo, quarters: Fraction): Seconds {
  const perMinute = unitLength(tempo).mul(tempo.perMinute);
  const at = (factor: string) => quarters.mul(60).div(perMinute.mul(factor));
  const { slow, likely, fast } = SPREAD[tempo.kind];
  return { short: at(fast), likely: at(likely), long: at(slow) };
}

export function restSeconds(pieces: readonly Piece[]): Seconds {
  const sum = (of: keyof Seconds) =>
    pieces.reduce((total, { seconds }) => total.add(seconds[of]), new Fraction(0));
  return { short: sum("short"), likely: sum("likely"), long: sum("long") };
}

/** Bars that are left after so many of the short seconds. */
export function barsLeft(pieces: readonly Piece[], seconds: Fraction): Fraction {
  let gone = latest(seconds, new Fraction(0));
  let bars = new Fraction(0);
  for (const piece of pieces) {
    const blind = earliest(gone, piece.seconds.short);
    gone = gone.sub(blind);
    bars = bars.add(piece.bars.mul(new Fraction(1).sub(blind.div(piece.seconds.short))));
  }
  return bars;
}

/** The tempo source that is least to be relied on, of some stretches; of an empty one that where it stands. */
export function weakestKind(
  { tempi }: PlannedMusic,
  stretches: readonly (readonly [Fraction, Fraction])[],
): "metronome" | "sound" {
  const met = stretches.flatMap(([from, to]) =>
    tempi.filter(
      ({ at }, k) =>
        (at.compare(to) < 0 || at.equals(from)) && !((tempi[k + 1]?.at.compare(from) ?? 1) <= 0),
    ),
  );
  return met.some(({ kind }) => kind === "playback") ? "sound" : "metronome";
}

/**
 * The beat as it is counted, from 1: 6/8, 9/8 and 12/8 in dotted quarters, all else in the note value below the line.
 * A pick-up has the last beats of its bar.
 */
export function beatOf({ start, missing, beats, beatType }: PlannedBar, at: Fraction): Fraction {
  const inThrees = beats > 3 && beats % 3 === 0 && beatType >= 4;
  const beat = new Fraction(inThrees ? 12 : 4, beatType);
  return at.sub(start).add(missing).div(beat).add(1);
}

function latest(...places: readonly Fraction[]): Fraction {
  return places.reduce((a, b) => (a.compare(b) >= 0 ? a : b));
}

function earliest(...places: readonly Fraction[]): Fraction {
  return places.reduce((a, b) => (a.compare(b) <= 0 ? a : b));
}
