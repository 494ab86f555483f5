import { USUAL_LIMITS } from "../instruments/usual-profile.js";
import type { PlayerLimits } from "../model/profile.js";
import type { Demand, Limit } from "../model/report.js";
import { DYNAMICS, type Dynamic, type PartTimeline, type Position } from "../model/score.js";
import { toNumber } from "../theory/fraction.js";
import { midiNumber } from "../theory/pitch.js";
import type { AnalysisContext } from "./context.js";
import { lineOf, slurredNotes, type LineNote } from "./line.js";
import { comparePlaces } from "./page-evidence.js";
import { endMoment } from "./stretches.js";

/** So many strokes in a row that they have to be kept up (assumption). */
const FEWEST_STROKES = 12;
/** In a shorter silence nobody breathes; a catch breath takes 0.3 to 0.5 s (from memory). */
const BREATH_SECONDS = 0.3;
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
  const line = lineOf(context, notes, slurredNotes(timeline)).filter(
    ({ performed }) => performed.visit.pass === 1,
  );
  const isClarinet = (note: LineNote) =>
    inHand.instrumentOf(note.performed.noteIndex).includes("clarinet") ||
    inHand.instrumentOf(note.performed.noteIndex) === "basset-horn-f";
  return [
    ...fastTonguing(context, line),
    ...longPhrases(context, line),
    ...softHighNotes(context, line.filter(isClarinet)),
  ].sort((a, b) => a.from.quarters.compare(b.from.quarters));
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
    if (note.slurred || note.restBefore || note.performed.note.grace) close();
    if (note.performed.note.grace) continue;
    if (isFast) run.push(note);
    else close();
  }
  close();
  return demands;
}

/** Strokes through a stem divide the note: one on a quarter makes eighths. Source: MusicXML 4.0, `<tremolo>`. */
function strokesOf({ performed: { note } }: LineNote): number {
  const { tremolo } = note.marks ?? {};
  if (tremolo?.kind !== "single") return 1;
  const quarters = toNumber(note.duration);
  const flags = quarters > 0 ? Math.max(0, Math.ceil(-Math.log2(quarters))) : 0;
  return Math.max(1, Math.round(quarters * 2 ** (flags + tremolo.strokes)));
}

/** From breath to breath: a rest long enough, or a printed breath mark. */
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
  const breaths = timeline.pauses.filter(({ sign }) => sign === "breath-mark");
  for (const note of line) {
    const before = phrase.at(-1);
    const breathes =
      before !== undefined &&
      breaths.some(
        ({ at }) =>
          comparePlaces(timeline.bars, at, placeOf(before)) > 0 &&
          comparePlaces(timeline.bars, at, placeOf(note)) <= 0,
      );
    if (breathes || silenceBefore(context, before, note) >= BREATH_SECONDS) close();
    phrase.push(note);
  }
  close();
  return demands;
}

function silenceBefore(
  { clock }: AnalysisContext,
  before: LineNote | undefined,
  { performed }: LineNote,
): number {
  if (!before) return Infinity;
  const apart = clock.secondsBetween(before.performed.startQuarters, performed.startQuarters);
  return apart.likely - before.soundingSeconds;
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
    to: endMoment(performance, last.performed.endQuarters),
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
  return dynamics.findLast((each) => comparePlaces(bars, each.at, at) <= 0)?.value;
}
