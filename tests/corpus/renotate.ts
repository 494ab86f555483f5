import { INSTRUMENTS } from "../../src/instruments/table.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import type { Cut } from "./renotate-cut.js";
import type { Random } from "./renotate-random.js";
import {
  chooseSigns,
  declaration,
  instrumentId,
  keyOf,
  otherPlayersWords,
  partName,
  TARGETS,
  transpositionOf,
  wrongSigns,
  type PlannedSign,
  type Target,
} from "./renotate-signs.js";
import { comparePlaces, type Place, type Seam, type SourcePart } from "./renotate-source.js";

/** What is printed for one change. */
export interface PlannedChange {
  readonly seam: Seam;
  /** Where the transposition and the key signature are printed; missing where a misprint leaves them out. */
  readonly transposeAt: Place | undefined;
  readonly signs: readonly PlannedSign[];
}

/** Notes between two changes. */
export interface Passage {
  /** Where it begins. */
  readonly entry: Place;
  /** The instrument that the notes are written for. */
  readonly notated: Target;
  /** The instrument that the player has in hand: another one only where the words are a misprint. */
  readonly inHand: Target;
  readonly change: PlannedChange | undefined;
  /** The instrument that the notes name, where that is a misprint of the file. */
  readonly encoded?: Target;
  /** The key signature that is printed with the transposition, where it is a misprint. */
  readonly wrongFifths?: number;
}

/** A part that is to be printed: a real one, with passages written for other instruments. */
export interface Plan {
  readonly source: SourcePart;
  readonly cut: Cut;
  readonly partName: string;
  /** Instruments declared in the part list, that of the beginning first. */
  readonly declared: readonly { readonly target: Target; readonly xml: string }[];
  /** Whether every note names its instrument. */
  readonly noteInstruments: boolean;
  readonly passages: readonly Passage[];
  /** Words that mean no change for this player. */
  readonly decoys: readonly PlannedSign[];
  /** Whether players of instruments in C are printed below, who read the concert key. */
  readonly inScore?: boolean;
}

/** Words that say another instrument than the notes are written for. */
export interface WrongWords {
  /** What the notes before are written for. */
  readonly before: readonly Target[];
  /** What the notes after are written for. */
  readonly notated: Target;
  readonly words: Target;
}

/** What a plan is asked for besides what chance gives it. */
export interface PlanWishes {
  /** A change at which the words are a misprint. */
  readonly wrong?: WrongWords;
  /** Whether words prepare every change where its rest begins, as careful copyists do. */
  readonly announced?: boolean;
}

const MOST_CHANGES = 5;
const TRIES = 40;

/**
 * Chooses changes and their signs for a piece of a part. Passages begin after rests, and the instruments
 * are such that every note is in their range.
 * @returns undefined where the piece has no place for it
 */
export function planPart(
  source: SourcePart,
  cut: Cut,
  random: Random,
  { wrong, announced = false }: PlanWishes = {},
): Plan | undefined {
  const seams = source.seams.filter(
    ({ lastNote, enter }) => lastNote.bar >= cut.from && enter.bar < cut.to,
  );
  for (let k = 0; k < TRIES; k++) {
    const chosen = random.some(seams, 1 + random.below(Math.min(MOST_CHANGES, seams.length)));
    const instruments = chooseInstruments(source, cut, chosen, random, wrong);
    if (instruments) return plan(source, cut, seams, chosen, instruments, announced, random);
  }
  return undefined;
}

interface Chosen {
  readonly notated: readonly Target[];
  /** Number of the seam with wrong words. */
  readonly wrongAt: number;
  readonly words: Target | undefined;
}

function chooseInstruments(
  source: SourcePart,
  cut: Cut,
  seams: readonly Seam[],
  random: Random,
  wrong: WrongWords | undefined,
): Chosen | undefined {
  if (seams.length === 0) return undefined;
  const wrongAt = wrong ? random.below(seams.length) : -1;
  const places = [{ bar: cut.from, at: 0 }, ...seams.map(({ enter }) => enter)];
  const notated: Target[] = [];
  for (const [k, place] of places.entries()) {
    const until = places[k + 1] ?? { bar: cut.to, at: 0 };
    const isWrong = k === wrongAt + 1 && wrong !== undefined;
    const forced = wrong && k === wrongAt ? wrong.before : isWrong ? [wrong.notated] : [...TARGETS];
    const possible = forced.filter(
      (target) =>
        (isWrong || target !== notated.at(-1)) &&
        // After wrong words the next change is to an instrument that they cannot mean: words may come early.
        !(wrong && k === wrongAt + 2 && keyOf(target) === keyOf(wrong.words)) &&
        fitsRange(source, target, place, until),
    );
    if (possible.length === 0) return undefined;
    const own = possible.find((target) => target === source.instrument);
    notated.push(own && random.chance(k === 0 ? 0.6 : 0.25) ? own : random.pick(possible));
  }
  return { notated, wrongAt, words: wrong?.words };
}

function fitsRange(source: SourcePart, target: Target, from: Place, until: Place): boolean {
  const { lowest, highest } = INSTRUMENTS[target];
  const [low, high] = [lowest, highest].map((pitch) =>
    midiNumber(soundingPitch(pitch, transpositionOf(target))),
  );
  return source.notes.every(
    (note) =>
      comparePlaces(note, from) < 0 ||
      comparePlaces(note, until) >= 0 ||
      note.sounding.every(
        (midi) => low !== undefined && high !== undefined && midi >= low && midi <= high,
      ),
  );
}

function plan(
  source: SourcePart,
  cut: Cut,
  seams: readonly Seam[],
  chosen: readonly Seam[],
  { notated, wrongAt, words }: Chosen,
  announced: boolean,
  random: Random,
): Plan {
  const inHand = notated.map((target, k) => (k === wrongAt + 1 && words ? words : target));
  const isPlain = wrongAt < 0;
  const declares = isPlain && random.chance(0.4);
  const noteInstruments = declares && random.chance(0.5);
  const used = declares ? [...new Set(notated)] : notated.slice(0, 1);
  const encodings = { declares, noteInstruments, used, announced };
  const passages = notated.map((target, k): Passage => {
    const seam = chosen[k - 1];
    const before = notated[k - 1];
    const hand = inHand[k] ?? target;
    if (!seam || !before) {
      return {
        entry: { bar: cut.from, at: 0 },
        notated: target,
        inHand: hand,
        change: undefined,
      };
    }
    const signs =
      hand !== target
        ? wrongSigns(seam, hand, inHand.slice(0, k), random)
        : chooseSigns(seam, hand, inHand.slice(0, k), encodings, random);
    // Where the notes go on as before, their transposition may be printed once more.
    const prints = before !== target || random.chance(0.3);
    const transposeAt = random.chance(0.4) ? seam.enter : random.pick(seam.inside);
    return {
      entry: seam.enter,
      notated: target,
      inHand: hand,
      change: { seam, transposeAt: prints ? transposeAt : undefined, signs },
    };
  });
  const unused = seams.filter((seam) => !chosen.includes(seam));
  const first = notated[0] ?? "clarinet-bflat";
  const name =
    first === source.instrument && random.chance(0.5)
      ? source.name
      : partName(first, source.player, random);
  return {
    source,
    cut,
    partName: name,
    declared: used.map((target, k) => ({
      target,
      xml: declaration(instrumentId(k), target, random),
    })),
    noteInstruments,
    passages,
    decoys: unused
      .filter(() => random.chance(0.03))
      .map(({ inside }) => otherPlayersWords(random.pick(inside), source.player, random)),
  };
}
