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
    const { bars, bassClefs } = this.timeline;
    const reached = (place: Position) => {
      const order = comparePlaces(bars, place, at);
      return how === "at" ? order <= 0 : order < 0;
    };
    const countReached = (places: readonly { readonly at: Position }[], from: number) => {
      let next = from;
      for (let place = places[next]; place && reached(place.at); place = places[next]) next++;
      return next;
    };
    const from = this.nextSign;
    this.nextSign = countReached(this.signs, from);
    const { transpositions } = this.notation;
    this.nextTransposition = countReached(transpositions, this.nextTransposition);
    this.transposition = transpositions[this.nextTransposition - 1]?.value ?? this.transposition;
    this.nextClef = countReached(bassClefs, this.nextClef);
    this.inBassClef = bassClefs[this.nextClef - 1]?.value;
    this.hadBassClef ||= this.inBassClef ?? false;
    return this.signs.slice(from, this.nextSign).filter((sign) => this.concernsPlayer(sign));
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
