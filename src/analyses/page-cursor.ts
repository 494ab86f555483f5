import { readInstrumentName } from "../instruments/names.js";
import type { PartTimeline, Position, Transposition } from "../model/score.js";
import type { Notation } from "./notation.js";
import { comparePlaces, firstTransposition, type PageSign } from "./page-evidence.js";
import type { ClefReading } from "./resolve-instrument.js";

/** Reads along the page: what is in force at the place reached, and the signs passed on the way. */
export class PageCursor {
  /** The transposition in force; undefined where the file prints none at all. */
  transposition: Transposition | undefined;
  /** Whether the notes are read in bass clef; undefined where the file does not say. */
  inBassClef: boolean | undefined;
  private nextSign = 0;
  private nextTransposition = 0;
  private nextClef = 0;
  private hadBassClef = false;
  private readonly players: readonly number[] | undefined;

  constructor(
    private readonly timeline: PartTimeline,
    private readonly notation: Notation,
    private readonly signs: readonly PageSign[],
  ) {
    const { name, player } = timeline.part;
    this.players = player === undefined ? readInstrumentName(name)?.players : [player];
    this.transposition = firstTransposition(notation.transpositions);
  }

  /**
   * Goes on to a place, or to just before what is printed there.
   * @returns the signs passed that concern the player: "2. muta in Es" is nothing to the first
   */
  advance(at: Position, how: "before" | "at" = "at"): readonly PageSign[] {
    const { bassClefs } = this.timeline;
    const { transpositions } = this.notation;
    const from = this.nextSign;
    this.nextSign = this.passed(this.signs, from, at, how);
    this.nextTransposition = this.passed(transpositions, this.nextTransposition, at, how);
    this.transposition = transpositions[this.nextTransposition - 1]?.value ?? this.transposition;
    this.nextClef = this.passed(bassClefs, this.nextClef, at, how);
    this.inBassClef = bassClefs[this.nextClef - 1]?.value;
    this.hadBassClef ||= this.inBassClef ?? false;
    return this.signs.slice(from, this.nextSign).filter((sign) => this.concernsPlayer(sign));
  }

  /** How many of some signs in the order of the page are passed, where so many were passed already. */
  private passed(
    signs: readonly { readonly at: Position }[],
    before: number,
    at: Position,
    how: "before" | "at",
  ): number {
    let next = before;
    for (let sign = signs[next]; sign; sign = signs[++next]) {
      const order = comparePlaces(this.timeline.bars, sign.at, at);
      if (order > 0 || (order === 0 && how === "before")) break;
    }
    return next;
  }

  /** How the clefs passed bear on which instrument is meant. */
  get clef(): ClefReading {
    return this.inBassClef === false && this.hadBassClef ? undefined : this.inBassClef;
  }

  /** The next sign of the player's that names an instrument or changes the transposition. */
  upcoming(): PageSign | undefined {
    return this.signs
      .slice(this.nextSign)
      .find((sign) => (sign.name ?? sign.transposition) && this.concernsPlayer(sign));
  }

  private concernsPlayer({ players }: PageSign): boolean {
    const own = this.players;
    return !players || !own || players.some((player) => own.includes(player));
  }
}
