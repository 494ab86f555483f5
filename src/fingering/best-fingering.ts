import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import { midiNumber } from "../theory/pitch.js";
import { fingeringsOf, type Fingering } from "./fingerings.js";
import { ownEffort, transition, type Reason, type Transition } from "./transition.js";
import { notesPerSecond, strainOf, WEIGHTS } from "./weights.js";

/** A note of a passage as the fingers see it. */
export interface FingeredNote {
  /** Written MIDI number, middle C being 60; quarter tones give halves. */
  readonly midi: number;
  /** From this onset to the next, or how long the note lasts where none follows. */
  readonly seconds: number;
  /** A silence before it, long enough to place the fingers anew. */
  readonly restBefore: boolean;
  /** Without a tongue between the note before and this one. */
  readonly slurred: boolean;
}

/** A note as it is best played. */
export interface PlayedNote {
  /** Null for a note outside the table. */
  readonly fingering: Fingering | null;
  /** Notes a second at which the fingers have to come here; null for a first note and after a rest. */
  readonly speed: number | null;
  /** Of the move from the note before, and of the fingering itself; before the speed is weighed. */
  readonly effort: number;
  /** In points of the score, see `WEIGHTS`. */
  readonly strain: number;
  /** Their efforts add up to `effort`. */
  readonly reasons: readonly Reason[];
}

export interface BestFingering {
  /** One for each note given. */
  readonly notes: readonly PlayedNote[];
  /**
   * Sum of the strains. Of two passages played one after the other it is at least the sum of the two
   * loads, and at most that plus `junctionBound` at the speed of the seam.
   */
  readonly load: number;
  /** Mean strain of a note, see `WEIGHTS`: 0 nothing to think of, 1 a fluent scale, 5 the limit. */
  readonly score: number;
}

/** A state of the hands at a note: a fingering, or none known. */
interface State {
  readonly fingering: Fingering | null;
  readonly own: Transition;
}

const NOTHING: Transition = { effort: 0, reasons: [] };

/** What can be done about a note: the fingerings of the table, or the one state outside it. */
function statesOf(midi: number, range: readonly [low: number, high: number] | null): State[] {
  if (range && (midi < range[0] || midi > range[1])) {
    return [outside("out-of-range", WEIGHTS.outOfRange)];
  }
  const known = fingeringsOf(midi);
  if (known.length === 0) return [outside("no-fingering", WEIGHTS.noFingering)];
  return known.map((fingering) => ({ fingering, own: ownEffort(fingering) }));
}

function outside(kind: "out-of-range" | "no-fingering", effort: number): State {
  return { fingering: null, own: { effort, reasons: [{ kind, effort }] } };
}

/** Moves from and to a note outside the table cost nothing beside what that note costs by itself. */
function moveBetween(from: State, to: State, slurred: boolean): Transition {
  if (!from.fingering || !to.fingering) return NOTHING;
  return cachedTransition(from.fingering, to.fingering, slurred);
}

/** Moves worked out before: there are some hundred fingerings, and passages repeat themselves. */
const known = new Map<number, Transition>();
const MOST_FINGERINGS = 4096;

function cachedTransition(from: Fingering, to: Fingering, slurred: boolean): Transition {
  const key = (from.index * MOST_FINGERINGS + to.index) * 2 + (slurred ? 1 : 0);
  let move = known.get(key);
  if (!move) {
    move = transition(from, to, slurred);
    known.set(key, move);
  }
  return move;
}

/** The cheapest way to a state: what it has cost so far, and which state of the note before it left. */
interface Reached {
  readonly cost: number;
  readonly before: number;
}

/**
 * The cheapest fingering of a passage: dynamic programming over the fingerings of each note. Of
 * equally cheap ones it takes the one that comes first in the table, seen from the end.
 * @param instrument where given, notes outside its written range count as out of range
 */
export function bestFingering(
  notes: readonly FingeredNote[],
  instrument?: InstrumentId,
): BestFingering {
  const range = instrument === undefined ? null : writtenRange(instrument);
  const states = notes.map(({ midi }) => statesOf(midi, range));
  const reached: Reached[][] = [];
  notes.forEach((note, k) => {
    const last = reached[k - 1];
    const lastStates = states[k - 1];
    const seam = notes[k - 1];
    reached.push(
      (states[k] ?? []).map((state) => {
        const own = strainOf(state.own.effort, note.seconds);
        if (!last || !lastStates || !seam) return { cost: own, before: 0 };
        let [cost, before] = [Infinity, 0];
        last.forEach((from, j) => {
          const previous = lastStates[j];
          if (!previous) return;
          const move = note.restBefore ? NOTHING : moveBetween(previous, state, note.slurred);
          const total = from.cost + strainOf(move.effort, seam.seconds);
          if (total < cost) [cost, before] = [total, j];
        });
        return { cost: cost + own, before };
      }),
    );
  });
  return playedAs(notes, chosen(reached, states));
}

/** Follows the cheapest way back from the last note. */
function chosen(
  reached: readonly (readonly Reached[])[],
  states: readonly (readonly State[])[],
): readonly State[] {
  const way: State[] = [];
  let at = -1;
  for (let k = reached.length - 1; k >= 0; k--) {
    const here = reached[k] ?? [];
    if (at < 0)
      at = here.reduce(
        (best, { cost }, j) => (cost < (here[best]?.cost ?? Infinity) ? j : best),
        0,
      );
    const state = states[k]?.[at];
    if (state) way.push(state);
    at = here[at]?.before ?? 0;
  }
  return way.reverse();
}

function playedAs(notes: readonly FingeredNote[], way: readonly State[]): BestFingering {
  const played = notes.map((note, k): PlayedNote => {
    const state = way[k] ?? outside("no-fingering", WEIGHTS.noFingering);
    const seam = notes[k - 1];
    const before = way[k - 1];
    const moves = seam && before && !note.restBefore;
    const move = moves ? moveBetween(before, state, note.slurred) : NOTHING;
    return {
      fingering: state.fingering,
      speed: moves ? notesPerSecond(seam.seconds) : null,
      effort: move.effort + state.own.effort,
      strain:
        strainOf(state.own.effort, note.seconds) +
        (moves ? strainOf(move.effort, seam.seconds) : 0),
      reasons: [...move.reasons, ...state.own.reasons],
    };
  });
  const load = played.reduce((sum, { strain }) => sum + strain, 0);
  return { notes: played, load, score: load / Math.max(1, notes.length) };
}

function writtenRange(id: InstrumentId): readonly [low: number, high: number] {
  const { lowest, highest } = INSTRUMENTS[id];
  return [midiNumber(lowest), midiNumber(highest)];
}

/**
 * What joining two passages can cost at most beyond the two by themselves: the dearest move between
 * any fingerings of the last note of one and the first note of the other, at the speed of the seam.
 */
export function junctionBound(last: FingeredNote, first: FingeredNote): number {
  if (first.restBefore) return 0;
  const efforts = fingeringsOf(last.midi).flatMap((from) =>
    fingeringsOf(first.midi).map((to) => cachedTransition(from, to, first.slurred).effort),
  );
  return strainOf(Math.max(0, ...efforts), last.seconds);
}

/** The notes that take most, the worst first, with their places in the passage. */
export function worstSpots(
  { notes }: BestFingering,
  count: number,
): readonly { readonly index: number; readonly note: PlayedNote }[] {
  return notes
    .map((note, index) => ({ index, note }))
    .filter(({ note }) => note.strain > 0)
    .sort((a, b) => b.note.strain - a.note.strain || a.index - b.index)
    .slice(0, count);
}
