import type { Fraction } from "../model/fraction.js";
import type { HeldPlace, Rest } from "../model/report.js";
import type { Position } from "../model/score.js";
import type { PauseKind } from "../model/tempo.js";
import type { Moment, SecondsRange } from "../model/time.js";
import { PAUSE_SECONDS } from "../timing/pauses.js";
import type { SignsByBar } from "../timing/places.js";
import { covers } from "../timing/recorded-time.js";
import type { AnalysisContext } from "./context.js";
import { movementBreaks } from "./movement-breaks.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * What a grace note before the beat takes from the rest in front of it, in seconds.
 * An assumption (common practice, no source).
 */
export const GRACE_NOTE_SECONDS = 0.1;

/** Measures the silence between two moments of the performance, before the stretch that ends it. */
export function measureRest(
  context: RestContext,
  from: Fraction,
  to: Fraction,
  { graceNotes, lastNoteFrom }: Pick<PlayedStretch, "graceNotes" | "lastNoteFrom">,
): Rest {
  const { performance, clock, tempoMap, recordings } = context;
  return {
    quarters: to.sub(from),
    bars: performance.barsBetween(from, to),
    beats: performance.beatsBetween(from, to),
    counted: performance.countedRest(from, to),
    seconds: lessGrace(clock.secondsBetween(from, to), graceNotes),
    tempoSource: clock.sourceBetween(from, to),
    ...(recordings.length > 0 && {
      marked: {
        seconds: lessGrace(tempoMap.secondsBetween(from, to), graceNotes),
        tempoSource: tempoMap.sourceBetween(from, to),
      },
    }),
    recordings: recordings
      .filter((recording) => covers(recording, from, to))
      .map((recording) => ({
        recording: recording.name,
        seconds: Math.max(0, recording.secondsBetween(from, to) - graceNotes * GRACE_NOTE_SECONDS),
      })),
    tempoWords: tempoMap
      .stretchesBetween(from, to)
      .filter(({ bend }) => bend)
      .map(({ startQuarters, text }) => ({ at: performance.momentAt(startQuarters), text })),
    pauses: [
      ...movementBreaks(context, from, to),
      ...momentsOf(context, context.pauses, lastNoteFrom ?? from, to).map(
        ({ at, sign: { sign } }): HeldPlace => ({
          at,
          on: isOnLastNote(sign, at.quarters.compare(from)) ? "last-note" : "rest",
          sign,
          extraSeconds: PAUSE_SECONDS[sign],
        }),
      ),
    ].sort((a, b) => a.at.quarters.compare(b.at.quarters)),
  };
}

/** A breath comes after the note it is marked on, and before the rest. */
function isOnLastNote(sign: PauseKind, afterRestBegins: number): boolean {
  return afterRestBegins < 0 || (sign === "breath-mark" && afterRestBegins === 0);
}

type RestContext = Pick<
  AnalysisContext,
  "timeline" | "performance" | "clock" | "tempoMap" | "recordings" | "pauses"
>;

/** Signs of the page with the moments at which they pass between two others, the end excluded. */
function momentsOf<T extends { readonly at: Position }>(
  { performance }: RestContext,
  signs: SignsByBar<T>,
  from: Fraction,
  to: Fraction,
): readonly { readonly at: Moment; readonly sign: T }[] {
  if (signs.size === 0) return [];
  const found: { readonly at: Moment; readonly sign: T }[] = [];
  const { visits } = performance;
  for (let k = performance.visitAt(from).visitIndex; k < visits.length; k++) {
    const visit = visits[k];
    if (!visit || visit.startQuarters.compare(to) >= 0) break;
    for (const sign of signs.get(visit.barIndex) ?? []) {
      const quarters = visit.startQuarters.add(sign.at.offset);
      if (quarters.compare(to) >= 0 || quarters.compare(from) < 0) continue;
      found.push({ sign, at: performance.moment(visit, sign.at.offset) });
    }
  }
  return found;
}

function lessGrace(seconds: SecondsRange, graceNotes: number): SecondsRange {
  const lead = graceNotes * GRACE_NOTE_SECONDS;
  return {
    short: Math.max(0, seconds.short - lead),
    likely: Math.max(0, seconds.likely - lead),
    long: Math.max(0, seconds.long - lead),
  };
}
