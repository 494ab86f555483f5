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

/** Hand times as far as somebody gave them; what is missing is taken from the usual figures. */
export interface HandTimes {
  /** For instruments without figures of their own. */
  readonly usual?: Partial<HandlingSeconds>;
  readonly instruments?: Readonly<Partial<Record<InstrumentId, Partial<HandlingSeconds>>>>;
  readonly moveMouthpieceSeconds?: number;
  readonly pageTurnSeconds?: number;
  /** Pairs timed as a whole: `clarinet-bflat>clarinet-a`. */
  readonly pairSeconds?: Readonly<Record<string, number>>;
}

/** What the player can do, as far as the player said. */
export interface PlayerLimits {
  /** Single-tongued strokes a second that can be kept up. */
  readonly tonguingPerSecond?: number;
  /** A phrase on one breath, and one that is soft throughout. */
  readonly phraseSeconds?: number;
  readonly softPhraseSeconds?: number;
  /** A soft note above C6 written. */
  readonly softHighSeconds?: number;
}

/** What the pitch of an instrument that has lain is estimated from, as far as the player gave it. */
export interface Temperature {
  /** The air of the hall, in °C. */
  readonly hallCelsius?: number;
  /** The bore of an instrument that is played, in °C. */
  readonly playingCelsius?: number;
  /** Of an instrument laid down: after so long 1/e of the difference to the hall is left. */
  readonly coolingSeconds?: number;
}

/** With the usual figures where the player gave none. */
export interface UsedTemperature extends Required<Temperature> {
  readonly assumed: readonly (keyof Temperature)[];
}

/** How one player changes instruments. */
export interface ChangeoverProfile {
  readonly name: string;
  /** The player's own figures; empty for the shipped profile. */
  readonly own: HandTimes;
  /** The player's own limits; empty for the shipped profile. */
  readonly limits: PlayerLimits;
  /** The player's own figures; empty for the shipped profile. */
  readonly temperature: Temperature;
  /** Groups of instruments that are played with one mouthpiece, moved across at each change. */
  readonly sharedMouthpiece: readonly (readonly InstrumentId[])[];
  /** What the player has at hand: the candidates for reading a passage on another instrument. */
  readonly carries: readonly InstrumentId[];
}
