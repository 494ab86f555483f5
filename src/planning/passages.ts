import type { AnalysisContext } from "../analyses/context.js";
import { passageOfNotes } from "../analyses/passages.js";
import { INSTRUMENTS } from "../instruments/table.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import type {
  PassageOption,
  PlannablePassage,
  PlanWishes,
  SightTransposition,
} from "../model/plan.js";
import type { InstrumentChoice, Passage } from "../model/report.js";
import type { Transposition } from "../model/score.js";
import { writtenKey } from "../theory/key.js";
import { midiNumber, soundingPitch, transpositionSemitones } from "../theory/pitch.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { placeFinder } from "../timing/places.js";
import type { PassageVisit } from "./visits.js";

/** The passages of a part with all they could be played on, the printed instrument first. */
export function plannablePassages(
  context: AnalysisContext,
  passages: readonly Passage[],
  visits: readonly PassageVisit[],
): readonly PlannablePassage[] {
  const firstNotes = new Map<number, number>();
  for (const [noteIndex, number] of passageOfNotes(context)) {
    if (!firstNotes.has(number)) firstNotes.set(number, noteIndex);
  }
  return passages.map((passage, k) => {
    const { number, from, to, instrument: printed, noteCount, disputed, choices } = passage;
    const print = printedTransposition(context.inHand, firstNotes.get(number) ?? 0);
    // By the pass of each note: a passage may be come back to in the middle only.
    const passes = new Set(
      visits
        .filter((visit) => visit.passage === k)
        .flatMap(({ notes }) => notes.map(({ visit }) => visit.pass)),
    );
    return {
      number,
      from,
      to,
      printed,
      noteCount,
      disputed,
      timesPlayed: passes.size,
      options: choices.map((choice) => optionOf(passage, choice, print)),
    };
  });
}

function printedTransposition(inHand: AnalysisContext["inHand"], noteIndex: number): Transposition {
  const by = inHand.transpositionOf(noteIndex);
  return { ...by, octaveChange: by.octaveChange + (inHand.isOctaveLow(noteIndex) ? 1 : 0) };
}

function optionOf(
  { soundingFifths }: Passage,
  { instrument, printed, difficulty, writtenFifths, outOfRange }: InstrumentChoice,
  print: Transposition,
): PassageOption {
  const key = { soundingFifths, writtenFifths };
  return {
    instrument,
    printed,
    difficulty: difficulty.score,
    writtenFifths,
    outOfRange,
    sight: printed ? { diatonic: 0, chromatic: 0 } : sightFrom(print, instrument, key),
  };
}

/** The key that sounds and the key that is read, in fifths; null where there is no traditional one. */
interface KeyRead {
  readonly soundingFifths: number | null;
  readonly writtenFifths: number | null;
}

function sightFrom(
  print: Transposition,
  instrument: InstrumentId,
  { soundingFifths, writtenFifths }: KeyRead,
): SightTransposition {
  const { keyFifths, notations } = INSTRUMENTS[instrument];
  const respelling =
    soundingFifths === null || writtenFifths === null
      ? 0
      : Math.sign(soundingFifths - keyFifths - writtenFifths);
  return readAt(print, notations[0].transposition, respelling);
}

/**
 * How some notes of a passage are read on an instrument that need not be among its options: a colleague's.
 * @returns undefined where a note is out of its range
 */
export function sightOn(
  { inHand }: AnalysisContext,
  { printed, options }: PlannablePassage,
  notes: readonly PerformedNote[],
  instrument: InstrumentId,
): SightTransposition | undefined {
  const { lowest, highest, notations, keyFifths } = INSTRUMENTS[instrument];
  const [floor, ceiling] = [lowest, highest].map((written) =>
    midiNumber(soundingPitch(written, notations[0].transposition)),
  ) as [number, number];
  const fits = notes.every((performed) =>
    soundsOf(inHand, performed).every((midi) => midi >= floor && midi <= ceiling),
  );
  const [first] = notes;
  if (!first || !fits) return undefined;
  const own = options.find((option) => option.printed)?.writtenFifths ?? null;
  const soundingFifths = own === null ? null : own + INSTRUMENTS[printed].keyFifths;
  return sightFrom(printedTransposition(inHand, first.noteIndex), instrument, {
    soundingFifths,
    writtenFifths: soundingFifths === null ? null : writtenKey(soundingFifths, keyFifths).fifths,
  });
}

/** What a note sounds, from the lowest: MIDI 1.0 numbers. */
export function soundsOf(
  inHand: AnalysisContext["inHand"],
  { note, noteIndex }: PerformedNote,
): readonly number[] {
  const by = printedTransposition(inHand, noteIndex);
  return note.pitches
    .map((written) => midiNumber(soundingPitch(written, by)))
    .sort((a, b) => a - b);
}

/** From the printed note to the one that is read: up to the sound and down to the other instrument. */
function readAt(
  print: Transposition,
  other: Transposition,
  respelling: number,
): SightTransposition {
  const steps = (by: Transposition) => by.diatonic + 7 * by.octaveChange;
  return {
    diatonic: steps(print) - steps(other) + respelling,
    chromatic: transpositionSemitones(print) - transpositionSemitones(other),
  };
}

/**
 * What each passage may be played on by the wishes, the printed instrument first where it may be.
 * Where the instrument has not all the notes it is left out, unless it is printed, fixed or all that is left.
 * @throws InputError `no-matching-bar` or `no-matching-passage` when fixed bars are not there,
 *   `no-instrument-left` when a passage cannot be played on what is allowed
 */
export function allowedOptions(
  context: AnalysisContext,
  passages: readonly PlannablePassage[],
  wishes: PlanWishes,
): readonly (readonly PassageOption[])[] {
  const fixed = fixedPassages(context, passages, wishes);
  return passages.map((passage) => {
    const to = fixed.get(passage.number);
    if (to !== undefined) return passage.options.filter(({ instrument }) => instrument === to);
    if (wishes.keep.includes(passage.printed))
      return passage.options.filter(({ printed }) => printed);
    const carried = passage.options.filter(
      ({ instrument }) => !wishes.without.includes(instrument),
    );
    const playable = carried.filter(({ printed, outOfRange }) => printed || outOfRange === 0);
    if (carried.length === 0) {
      throw new InputError(
        "no-instrument-left",
        `without the ${INSTRUMENTS[passage.printed].name} nothing that may stand in is left for it`,
        { bar: passage.from.barLabel },
      );
    }
    return playable.length > 0 ? playable : carried;
  });
}

/** The instrument of every passage that has a bar among the fixed ones. */
function fixedPassages(
  { timeline }: AnalysisContext,
  passages: readonly PlannablePassage[],
  { fixed }: PlanWishes,
): ReadonlyMap<number, InstrumentId> {
  const find = placeFinder(timeline.bars, "--fix");
  const found = new Map<number, InstrumentId>();
  for (const { fromBar, toBar, instrument } of fixed) {
    const [first, last] = [fromBar, toBar].map(
      (barLabel) => find({ barLabel, beat: 1 }).barIndex,
    ) as [number, number];
    const meant = passages.filter(({ from, to }) => from.barIndex <= last && to.barIndex >= first);
    if (meant.length === 0) {
      throw new InputError("no-matching-passage", "--fix names bars in which nothing is played", {
        bar: fromBar,
      });
    }
    for (const { number, options, from } of meant) {
      if (!options.some((option) => option.instrument === instrument)) {
        throw new InputError(
          "no-instrument-left",
          `--fix: the ${INSTRUMENTS[instrument].name} may not stand in for what is printed, or is not among the instruments you carry`,
          { bar: from.barLabel },
        );
      }
      found.set(number, instrument);
    }
  }
  return found;
}
