import type { SpelledPitch, Transposition } from "../model/score.js";
import { writtenKey } from "./key.js";
import { movePitch, soundingPitch, transpositionFifths, writtenPitch } from "./pitch.js";

/** From one transposition to another under one signature. */
export interface Renotation {
  /** The signature to write; undefined where the part writes none. */
  readonly fifths: number | undefined;
  readonly move: (written: SpelledPitch) => SpelledPitch;
}

/** Nobody reads a note with three signs. */
const MOST_ALTER = 2;

/**
 * How notes and signature of one transposition are written for another, sounding the same. The signature is
 * that with the fewest accidentals (see `writtenKey`), and the notes are spelled with it, so that each keeps its
 * place in the key, double signs included: that is what makes the way back end where it began.
 *
 * @param fifths the written signature in force; undefined where none was ever printed
 * @param sixthAs which of six sharps (6) and six flats (-6) is wanted, where the part has one of them already
 */
export function renotation(
  from: Transposition,
  to: Transposition,
  fifths: number | undefined,
  sixthAs?: number,
): Renotation {
  const plain = (fifths ?? 0) + transpositionFifths(from) - transpositionFifths(to);
  const written = fifths === undefined ? plain : spellingOf(plain, sixthAs);
  const turns = (plain - written) / 12;
  return {
    fifths: fifths === undefined ? undefined : written,
    move: (pitch) => readable(movePitch(writtenPitch(soundingPitch(pitch, from), to), turns, 0)),
  };
}

function spellingOf(plain: number, sixthAs: number | undefined): number {
  const { fifths } = writtenKey(plain, 0);
  return Math.abs(fifths) === 6 && sixthAs !== undefined ? sixthAs : fifths;
}

function readable(pitch: SpelledPitch): SpelledPitch {
  let near = pitch;
  while (near.alter > MOST_ALTER) near = movePitch(near, 1, 0);
  while (near.alter < -MOST_ALTER) near = movePitch(near, -1, 0);
  return near;
}
