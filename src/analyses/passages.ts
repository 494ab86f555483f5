import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import type { Passage } from "../model/report.js";
import type { SpelledPitch } from "../model/score.js";
import { transpositionFifths } from "../theory/pitch.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { changeoverTime } from "./changeover.js";
import { rateChoices, type SoundingPassage } from "./choices.js";
import type { AnalysisContext } from "./context.js";
import { keyAt } from "./key-signatures.js";
import { lineOf, type LineNote } from "./line.js";
import { ownSoundingPitch } from "./own-pitch.js";
import { endMoment } from "./stretches.js";
import { soundingTrills } from "./trills.js";

/** A passage while it is gathered. */
interface OpenPassage {
  readonly disputed: boolean;
  readonly instrument: InstrumentId;
  readonly soundingFifths: number | null;
  readonly notes: PerformedNote[];
}

/** For instruments that nothing stands in for: a rest that makes a new passage, in seconds. */
const PASSAGE_REST_SECONDS = 3;

/**
 * The passages of the part, every note of the page once: a new one begins where the instrument or the
 * key signature changes, and after a rest in which another instrument could have been taken.
 */
export function findPassages(context: AnalysisContext): readonly Passage[] {
  return gather(context).map((open, k) => finish(context, open, k + 1));
}

/** The number of the passage, as `findPassages` counts, for the index of every note in one. */
export function passageOfNotes(context: AnalysisContext): ReadonlyMap<number, number> {
  return new Map(
    gather(context).flatMap(({ notes }, k) => notes.map(({ noteIndex }) => [noteIndex, k + 1])),
  );
}

function gather(context: AnalysisContext): readonly OpenPassage[] {
  const passages: OpenPassage[] = [];
  let disputed = false;
  for (const stretch of context.stretches) {
    const alternatives = alternativesTo(context, stretch.instrument);
    const rest = stretch.silentFrom
      ? context.tempoMap.secondsBetween(stretch.silentFrom, stretch.startQuarters).short
      : 0;
    let fresh = rest >= shortestChange(context, stretch.instrument, alternatives);
    for (const performed of stretch.notes) {
      if (performed.visit.pass > 1) {
        fresh = false;
        continue;
      }
      const soundingFifths = soundingFifthsAt(context, performed);
      const open = passages.at(-1);
      if (
        open &&
        !fresh &&
        open.instrument === stretch.instrument &&
        open.soundingFifths === soundingFifths
      ) {
        open.notes.push(performed);
      } else {
        disputed = isDisputed(
          context,
          performed,
          disputed && open?.instrument === stretch.instrument,
        );
        const { instrument } = stretch;
        passages.push({ instrument, soundingFifths, disputed, notes: [performed] });
      }
      fresh = false;
    }
  }
  return passages;
}

/** Whether the instrument was taken on words that the transposition contradicts. */
function isDisputed(
  { inHand }: AnalysisContext,
  { noteIndex }: PerformedNote,
  before: boolean,
): boolean {
  const taken = inHand.switches.get(noteIndex);
  return taken ? taken.disagreements.length > 0 : before;
}

function soundingFifthsAt(
  { timeline, inHand }: AnalysisContext,
  { note, noteIndex }: PerformedNote,
): number | null {
  // No key signature reads like C major.
  const key = keyAt(timeline, note);
  const written = key ? key.value : 0;
  return written === null ? null : written + transpositionFifths(inHand.transpositionOf(noteIndex));
}

/** Other instruments the player has that may take over this one's music. */
function alternativesTo(context: AnalysisContext, id: InstrumentId): readonly InstrumentId[] {
  const { profile, instruments } = context;
  const atHand = [...new Set([...instruments, ...profile.carries])];
  return atHand.filter((other) => other !== id && mayStandIn(context, id, other));
}

/** Whether another instrument may take over the music of one without changing the sound that is meant. */
export function mayStandIn(
  { mayLeave = [] }: Pick<AnalysisContext, "mayLeave">,
  id: InstrumentId,
  other: InstrumentId,
): boolean {
  const { standInGroup: group, family } = INSTRUMENTS[id];
  if (mayLeave.includes(id)) return INSTRUMENTS[other].family === family;
  return group !== undefined && INSTRUMENTS[other].standInGroup === group;
}

function shortestChange(
  { profile }: AnalysisContext,
  from: InstrumentId,
  alternatives: readonly InstrumentId[],
): number {
  const times = alternatives.map((to) => changeoverTime(profile, from, to, 0).seconds);
  return Math.min(...(times.length > 0 ? times : [PASSAGE_REST_SECONDS]));
}

function finish(context: AnalysisContext, open: OpenPassage, number: number): Passage {
  const { performance, inHand, timeline } = context;
  const [first] = open.notes;
  const last = open.notes.at(-1);
  if (!first || !last) throw new Error("a passage has at least one note");
  const toSounding = (written: SpelledPitch, { noteIndex }: PerformedNote) =>
    ownSoundingPitch(inHand, written, noteIndex);
  const momentOf = ({ startQuarters }: PerformedNote) => performance.momentAt(startQuarters);
  const line = lineOf(context, open.notes).map((note) => ({
    ...note,
    sounding: toSounding(note.written, note.performed),
  }));
  const passage: SoundingPassage = {
    pitches: open.notes.flatMap((performed) =>
      performed.note.pitches.map((written) => toSounding(written, performed)),
    ),
    line,
    trills: soundingTrills(
      open.notes,
      ({ note }) => keyAt(timeline, note)?.value ?? 0,
      toSounding,
      momentOf,
    ),
    soundingFifths: open.soundingFifths,
    momentOf: ({ performed }) => momentOf(performed),
  };
  const candidates = [open.instrument, ...alternativesTo(context, open.instrument)];
  return {
    number,
    instrument: open.instrument,
    from: performance.momentAt(first.startQuarters),
    to: endMoment(performance, last.endQuarters),
    noteCount: passage.pitches.length,
    disputed: open.disputed,
    soundingFifths: open.soundingFifths,
    notesPerSecond: speedOf(line),
    choices: rateChoices(candidates, open.instrument, passage),
  };
}

/** In a row: long enough to be felt as a speed. */
const QUICKEST_RUN = 8;

/** The mean speed, and that of the quickest notes in a row; where there are fewer, of all. */
function speedOf(line: readonly LineNote[]): Passage["notesPerSecond"] {
  const seconds = line.slice(0, -1).map((note) => note.seconds);
  const total = seconds.reduce((sum, each) => sum + each, 0);
  if (total === 0) return null;
  const length = Math.min(QUICKEST_RUN, seconds.length);
  let shortest = Infinity;
  let window = 0;
  seconds.forEach((each, k) => {
    window += each - (k >= length ? (seconds[k - length] ?? 0) : 0);
    if (k + 1 >= length) shortest = Math.min(shortest, window);
  });
  return { mean: seconds.length / total, quickest: length / Math.max(shortest, 1e-6) };
}
