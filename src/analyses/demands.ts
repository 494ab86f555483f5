import { INSTRUMENTS } from "../instruments/table.js";
import { USUAL_LIMITS } from "../instruments/usual-profile.js";
import type { PlayerLimits } from "../model/profile.js";
import type { Demand, Limit } from "../model/report.js";
import { DYNAMICS, type Dynamic, type PartTimeline, type Position } from "../model/score.js";
import type { PauseSign } from "../model/tempo.js";
import { toNumber } from "../theory/fraction.js";
import { midiNumber } from "../theory/pitch.js";
import { endsMovement } from "../timing/movements.js";
import type { AnalysisContext } from "./context.js";
import { inForceAt } from "./in-force.js";
import { isRest, lineOf, type LineNote } from "./line.js";
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
  const { stretches, inHand } = context;
  const notes = stretches.flatMap((stretch) => stretch.notes);
  const line = lineOf(context, notes);
  const familyOf = ({ performed }: LineNote) =>
    INSTRUMENTS[inHand.instrumentOf(performed.noteIndex)].family;
  return [
    // Flutes double-tongue.
    ...fastTonguing(
      context,
      line.filter((note) => familyOf(note) !== "flute"),
    ),
    ...longPhrases(context, line),
    ...softHighNotes(
      context,
      line.filter((note) => familyOf(note) === "clarinet"),
    ),
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
  const breaths = timeline.pauses
    .filter(({ sign }) => sign === "breath-mark" || sign === "caesura")
    .sort((a, b) => comparePlaces(timeline.bars, a.at, b.at));
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
      before &&
      (isRest(silenceBefore(context, before, note)) || breathes(timeline, breaths, before, note));
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
function breathes(
  { bars }: PartTimeline,
  breaths: readonly PauseSign[],
  before: LineNote,
  note: LineNote,
): boolean {
  const [left, entered] = [before.performed.visit, note.performed.visit];
  const goesOn = entered.barIndex - left.barIndex === entered.visitIndex - left.visitIndex;
  const from = placeOf(before);
  // Before a jump only what stands in the bar that is left.
  const end = bars[from.barIndex]?.lengthQuarters ?? from.offset;
  const to = goesOn ? placeOf(note) : { barIndex: from.barIndex, offset: end };
  for (let k = left.barIndex; k < to.barIndex; k++) if (endsMovement(bars, k)) return true;
  const last = inForceAt(breaths, bars, to);
  return last !== undefined && comparePlaces(bars, last.at, from) > 0;
}

function softHighNotes(context: AnalysisContext, line: readonly LineNote[]): readonly Demand[] {
  const limit = limitOf(context, "softHighSeconds");
  return line.flatMap((note): Demand[] => {
    const dynamic = dynamicAt(context.timeline, note);
    const { written, soundingSeconds } = note;
    if (!dynamic || !SOFT.includes(dynamic)) return [];
    if (midiNumber(written) < HIGH_MIDI || soundingSeconds <= limit.value) return [];
    if (grows(context.timeline, note)) return [];
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

/** Whether a hairpin opens under a note: it does not stay soft. */
function grows({ swells, bars }: PartTimeline, note: LineNote): boolean {
  const [from, last] = [placeOf(note), note.tied.at(-1)?.note];
  const to = last ? { barIndex: last.barIndex, offset: last.offset.add(last.duration) } : from;
  return swells.some(
    (swell) =>
      swell.kind === "crescendo" &&
      comparePlaces(bars, swell.from, to) < 0 &&
      comparePlaces(bars, swell.to, from) > 0,
  );
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

/** The dynamic printed last before a note on the page, or at it. */
function dynamicAt({ dynamics, bars }: PartTimeline, note: LineNote): Dynamic | undefined {
  const at = placeOf(note);
  return inForceAt(dynamics, bars, at)?.value;
}
