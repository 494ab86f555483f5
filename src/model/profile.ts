import type { InstrumentId } from "./instrument.js";

/** Seconds the hands need for each action of a changeover with one instrument. */
export interface HandlingSeconds {
  /** To lay it safely on its stand. */
  readonly putDownSeconds: number;
  /** To take it up, in playing position. */
  readonly pickUpSeconds: number;
  /** To settle embouchure, fingers and a breath before the first note. */
  readonly settleSeconds: number;
}

/** How one player changes instruments. All figures are in seconds. */
export interface ChangeoverProfile {
  readonly name: string;
  /** Whether the figures are the shipped assumptions rather than the player's own. */
  readonly assumed: boolean;
  /** What holds for instruments without figures of their own. */
  readonly usual: HandlingSeconds;
  readonly instruments: Readonly<Partial<Record<InstrumentId, Partial<HandlingSeconds>>>>;
  /** Groups of instruments that are played with one mouthpiece, moved across at each change. */
  readonly sharedMouthpiece: readonly (readonly InstrumentId[])[];
  readonly moveMouthpieceSeconds: number;
  readonly pageTurnSeconds: number;
  /** Pairs timed as a whole by the player: `clarinet-bflat>clarinet-a`. */
  readonly pairSeconds: Readonly<Record<string, number>>;
  /** What the player has at hand: the candidates for reading a passage on another instrument. */
  readonly carries: readonly InstrumentId[];
}
