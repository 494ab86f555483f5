import { USUAL_LIMITS } from "../instruments/usual-profile.js";
import type { PlayerLimits } from "../model/profile.js";
import type { Demand, Limit } from "../model/report.js";
import { DYNAMICS, type Dynamic, type PartTimeline, type Position } from "../model/score.js";
import { toNumber } from "../theory/fraction.js";
import { midiNumber } from "../theory/pitch.js";
import { endsMovement } from "../timing/movements.js";
import type { AnalysisContext } from "./context.js";
import { inForceAt } from "./in-force.js";
import { isRest, lineOf, slurredNotes, type LineNote } from "./line.js";
import { comparePlaces } from "./page-evidence.js";
import { endMoment } from "./stretches.js";

/** So many strokes in a row that they have to be kept up (assumption). */
const FEWEST_STROKES = 12;
/** C6, written: from here soft notes take care (common practice, no source). */
const HIGH_MIDI = 84;
const SOFT: readonly Dynamic[] = DYNAMICS.slice(0, DYNAMICS.indexOf("p") + 1);

/**
 * What a part asks of tongue, breath and lip beyond the player's limits, or the usual ones: each on the first
 * time through. Limits are stated with every demand.
 */
export function findDemands(context: AnalysisContext): readonly Demand[] {
  const { stretches, timeline, inHand } = context;
  const notes = stretches.flatMap((stretch) => stretch.notes);
  const line = lineOf(context, notes, slurredNotes(timeline));
  const isClarinet = (note: LineNote) =>
    inHand.instrumentOf(note.performed.noteIndex).includes("clarinet") ||
    inHand.instrumentOf(note.performed.noteIndex) === "basset-horn-f";
  return [
    ...fastTonguing(context, line),
    ...longPhrases(context, line),
    ...softHighNotes(context, line.filter(isClarinet)),
  ]
    .filter(({ from }) => from.pass === 1)
    .sort((a, b) => a.from.quarters.compare(b.from.quarters));
}

function limitOf({ profile }: AnalysisContext, which: keyof PlayerLimits): Limit {
  const own = profile.limits[which];
  return own === undefined
    ? { value: USUAL_LIMITS[which], assumed: true }
    : { value: own, assumed: false };
}

/** Runs of tongued notes that go faster than the limit, strokes of a tremolo on one note among them. */
function fastTonguing(context: AnalysisContext, line: readonly LineNote[]): readonly Demand[] {
  const limit = limitOf(context, "tonguingPerSecond");
  const demands: Demand[] = [];
  let run: LineNote[] = [];
  const close = () => {
    const strokes = run.reduce((sum, note) => sum + strokesOf(note), 0);
    const seconds = run.reduce((sum, note) => sum + note.seconds, 0);
    const [first] = run;
    const last = run.at(-1);
    if (first && last && strokes >= FEWEST_STROKES) {
      demands.push({
        kind: "fast-tonguing",
        ...span(context, first, last),
        strokes,
        strokesPerSecond: strokes / seconds,
        limit,
      });
    }
    run = [];
  };
  for (const note of line) {
    const isFast = strokesOf(note) / Math.max(note.seconds, 1e-6) > limit.value;
    const last = run.at(-1);
    const goesOn = !note.restBefore && last?.performed.visit.pass === note.performed.visit.pass;
    if (last && !goesOn) close();
    if (isFast && !note.slurred && !note.performed.note.grace) run.push(note);
    else close();
  }
  close();
  return demands;
}

/** Strokes through a stem divide the note: one on a quarter makes eighths. Source: MusicXML 4.0, `<tremolo>`. */
function strokesOf({ tied }: LineNote): number {
  const strokes = tied.map(({ note }) => {
    const { tremolo } = note.marks ?? {};
    const quarters = toNumber(note.duration);
    return tremolo?.kind === "single" && quarters > 0 ? strokesIn(quarters, tremolo.strokes) : 0;
  });
  return Math.max(
    1,
    strokes.reduce((sum, each) => sum + each, 0),
  );
}

/** A note with flags has its strokes besides: a dotted eighth has one flag, and so has one of a triplet. */
function strokesIn(quarters: number, strokes: number): number {
  const halvings = -Math.log2(quarters);
  const part = halvings - Math.floor(halvings);
  const isTriplet = part >= 0.5;
  const flags = Math.max(0, isTriplet || part === 0 ? Math.floor(halvings) : Math.ceil(halvings));
  const nominal = isTriplet ? quarters * 1.5 : quarters;
  return Math.round(nominal * 2 ** (flags + strokes));
}

/**
 * From breath to breath: a rest long enough, a printed breath mark or caesura, or the end of a movement. A repeat
 * without a rest makes a phrase longer.
 */
function longPhrases(context: AnalysisContext, line: readonly LineNote[]): readonly Demand[] {
  const { clock, timeline } = context;
  const [loud, soft] = [limitOf(context, "phraseSeconds"), limitOf(context, "softPhraseSeconds")];
  const demands: Demand[] = [];
  let phrase: LineNote[] = [];
  const close = () => {
    const [first] = phrase;
    const last = phrase.at(-1);
    if (!first || !last) return;
    const seconds =
      clock.secondsBetween(first.performed.startQuarters, last.performed.startQuarters).likely +
      last.soundingSeconds;
    const limit = phrase.every((note) => isSoft(timeline, note)) ? soft : loud;
    if (seconds > limit.value) {
      demands.push({ kind: "long-phrase", ...span(context, first, last), seconds, limit });
    }
    phrase = [];
  };
  for (const note of line) {
    const before = phrase.at(-1);
    const breath =
      before && (isRest(silenceBefore(context, before, note)) || breathes(timeline, before, note));
    if (breath) close();
    phrase.push(note);
  }
  close();
  return demands;
}

function silenceBefore(
  { clock }: AnalysisContext,
  before: LineNote,
  { performed }: LineNote,
): number {
  if (performed.startQuarters.compare(before.endQuarters) <= 0) return 0;
  return clock.secondsBetween(before.endQuarters, performed.startQuarters).likely;
}

/** Whether a breath is printed between two notes, or a movement ends. */
function breathes({ pauses, bars }: PartTimeline, before: LineNote, note: LineNote): boolean {
  const [from, to] = [placeOf(before), placeOf(note)];
  for (let k = from.barIndex; k < to.barIndex; k++) if (endsMovement(bars, k)) return true;
  return pauses.some(
    ({ at, sign }) =>
      (sign === "breath-mark" || sign === "caesura") &&
      comparePlaces(bars, at, from) > 0 &&
      comparePlaces(bars, at, to) <= 0,
  );
}

function softHighNotes(context: AnalysisContext, line: readonly LineNote[]): readonly Demand[] {
  const limit = limitOf(context, "softHighSeconds");
  return line.flatMap((note): Demand[] => {
    const dynamic = dynamicAt(context.timeline, note);
    const { written, soundingSeconds } = note;
    if (!dynamic || !SOFT.includes(dynamic)) return [];
    if (midiNumber(written) < HIGH_MIDI || soundingSeconds <= limit.value) return [];
    return [
      {
        kind: "soft-high-note",
        ...span(context, note, note),
        seconds: soundingSeconds,
        pitch: written,
        dynamic,
        limit,
      },
    ];
  });
}

function span({ performance }: AnalysisContext, first: LineNote, last: LineNote) {
  return {
    from: performance.momentAt(first.performed.startQuarters),
    to: endMoment(performance, last.endQuarters),
  };
}

function placeOf({ performed: { note } }: LineNote): Position {
  return { barIndex: note.barIndex, offset: note.offset };
}

function isSoft(timeline: PartTimeline, note: LineNote): boolean {
  const dynamic = dynamicAt(timeline, note);
  return dynamic !== undefined && SOFT.includes(dynamic);
}

/** The dynamic printed last before a note on the page, or at it; hairpins are not followed. */
function dynamicAt({ dynamics, bars }: PartTimeline, note: LineNote): Dynamic | undefined {
  const at = placeOf(note);
  return inForceAt(dynamics, bars, at)?.value;
}
