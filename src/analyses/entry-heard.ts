import type { Fraction } from "../model/fraction.js";
import type { OtherPart } from "../model/other-part.js";
import type { Position } from "../model/score.js";
import type { BarVisit } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import { midiNumber } from "../theory/pitch.js";
import { countedBarQuarters } from "../timing/counted-bars.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import type { AnalysisContext } from "./context.js";
import { ownSoundingPitch } from "./own-pitch.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * So much of an entry is looked at, whichever is longer: slow music needs bars to tell a melody, quick
 * music seconds. Assumptions.
 */
const BARS_HEARD = 2;
const SECONDS_HEARD = 4;

/**
 * A note or chord that sounds in the first bars of an entry. Quarters from the start of the performance;
 * here as numbers, since equal fractions make equal ones and nothing is added to them any more.
 */
export interface HeardSpan {
  readonly start: number;
  readonly end: number;
  /** Whether it is begun here, rather than held on. */
  readonly begins: boolean;
  /** MIDI 1.0 numbers as it sounds, the highest first; none for a drum. */
  readonly pitches: readonly number[];
}

/** What another part plays in the first bars of an entry. */
export interface HeardLine {
  readonly part: OtherPart;
  readonly spans: readonly HeardSpan[];
  /** The place on the page of its first note in them. */
  readonly firstAt: Position | undefined;
}

/** A piece of time from one beginning of a note, anybody's, to the next. */
export interface HeardMoment {
  readonly at: number;
  readonly quarters: number;
}

/** The first bars of an entry as they are heard. */
export interface HeardEntry {
  readonly from: number;
  readonly to: number;
  readonly visits: readonly BarVisit[];
  /** The player's own notes and chords, grace notes left out. */
  readonly own: readonly HeardSpan[];
  readonly lines: readonly HeardLine[];
  /** The moments at which the player sounds; a short note counts until somebody begins another. */
  readonly moments: readonly HeardMoment[];
}

/** Whether something of a part sounds at a moment. */
export function soundsAt(spans: readonly HeardSpan[], quarters: number): boolean {
  return spans.some(({ start, end }) => start <= quarters && end > quarters);
}

/**
 * The first bars of an entry with what all parts play in them, repeats unfolded: two bars or four seconds, no
 * further than the player's next rest of a bar or change of instrument. No other bar of another part is read.
 */
export function hearEntry(context: AnalysisContext, stretch: PlayedStretch): HeardEntry {
  const start =
    stretch.notes.find(({ note }) => !note.grace)?.startQuarters ?? stretch.startQuarters;
  const from = toNumber(start);
  const limit = heardUntil(context, start);
  const own = ownNotes(context, stretch)
    .filter(({ note }) => !note.grace)
    .map(({ note, noteIndex, startQuarters, endQuarters }): HeardSpan => ({
      start: toNumber(startQuarters),
      end: toNumber(endQuarters),
      begins: !note.tiedFromBefore,
      pitches: note.pitches.map((written) =>
        midiNumber(ownSoundingPitch(context.inHand, written, noteIndex)),
      ),
    }))
    .filter((span) => span.start < limit);
  const to = Math.min(limit, Math.max(from, ...own.map(({ end }) => end)));
  const visits = visitsBetween(context, start, to);
  const lines = context.orchestra.map((part) => lineOfPart(part, visits, from, to));
  return { from, to, visits, own, lines, moments: momentsOf(own, lines, from, to) };
}

function heardUntil({ performance, clock }: AnalysisContext, start: Fraction): number {
  const bar = countedBarQuarters(performance.barOf(performance.visitAt(start)));
  return Math.max(
    toNumber(start) + BARS_HEARD * toNumber(bar),
    clock.quartersAfterSeconds(start, SECONDS_HEARD),
  );
}

/** The notes of a stretch and of those after it, up to a rest of a bar or another instrument. */
function ownNotes(
  { performance, stretches }: AnalysisContext,
  stretch: PlayedStretch,
): readonly PerformedNote[] {
  const notes = [...stretch.notes];
  const first = stretches.findIndex(
    ({ startQuarters }) => startQuarters.compare(stretch.startQuarters) > 0,
  );
  let end = stretch.endQuarters;
  for (const next of first < 0 ? [] : stretches.slice(first)) {
    const bar = countedBarQuarters(performance.barOf(performance.visitEndingAt(end)));
    const isRest = next.startQuarters.sub(end).compare(toNumber(bar)) >= 0;
    if (isRest || next.instrument !== stretch.instrument) break;
    notes.push(...next.notes);
    end = next.endQuarters;
  }
  return notes;
}

function visitsBetween(
  { performance }: AnalysisContext,
  from: Fraction,
  to: number,
): readonly BarVisit[] {
  const { visits } = performance;
  const first = performance.visitAt(from).visitIndex;
  let end = first + 1;
  for (; end < visits.length; end++) {
    const visit = visits[end];
    if (!visit || toNumber(visit.startQuarters) >= to) break;
  }
  return visits.slice(first, end);
}

function lineOfPart(
  part: OtherPart,
  visits: readonly BarVisit[],
  from: number,
  to: number,
): HeardLine {
  let firstAt: Position | undefined;
  const spans: HeardSpan[] = [];
  for (const { barIndex, startQuarters } of visits) {
    if (part.isSilent(barIndex)) continue;
    for (const { offset, duration, grace, tiedFromBefore, pitches } of part.notes(barIndex)) {
      if (grace) continue;
      const at = startQuarters.add(offset);
      const [start, end] = [toNumber(at), toNumber(at.add(duration))];
      if (start >= to || end <= from) continue;
      firstAt ??= { barIndex, offset };
      spans.push({ start, end, begins: !tiedFromBefore, pitches: pitches.map(midiNumber) });
    }
  }
  return { part, spans, firstAt };
}

function momentsOf(
  own: readonly HeardSpan[],
  lines: readonly HeardLine[],
  from: number,
  to: number,
): readonly HeardMoment[] {
  const begun = [own, ...lines.map(({ spans }) => spans)]
    .flat()
    .filter(({ begins, start }) => begins && start >= from && start < to)
    .map(({ start }) => start);
  const times = [...new Set([from, ...begun])].sort((a, b) => a - b);
  return times
    .map((at, k) => ({ at, quarters: (times[k + 1] ?? to) - at }))
    .filter(({ at }) => at === from || soundsAt(own, at));
}
