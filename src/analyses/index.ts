import type { Notice } from "../model/finding.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PartReport } from "../model/report.js";
import type { PartTimeline, PrintedWords, ScoreTitles } from "../model/score.js";
import { ZERO } from "../theory/fraction.js";
import { createPerformance } from "../timing/performance.js";
import { performedNotes } from "../timing/performed-notes.js";
import { performedOrder } from "../timing/performed-order.js";
import { ASSUMED_TEMPO } from "../timing/tempo-range.js";
import { isTempoWords } from "../timing/tempo-words.js";
import { createTempoMap, type TempoStretch } from "../timing/tempo-map.js";
import { findChanges } from "./changes.js";
import type { AnalysisContext } from "./context.js";
import { findEntries } from "./entries.js";
import { instrumentsInHand } from "./instruments-in-hand.js";
import { findPassages } from "./passages.js";
import { GRACE_NOTE_SECONDS } from "./rests.js";
import { playedStretches } from "./stretches.js";
import { listTempi } from "./tempi.js";

/** The analyses by the field of the report they fill. To add one: a file, a row, a field. */
const ANALYSES = {
  changes: findChanges,
  entries: findEntries,
  passages: findPassages,
  tempi: listTempi,
} satisfies { [Field in keyof PartReport]?: (context: AnalysisContext) => PartReport[Field] };

/** What is known of the file a part comes from. */
export interface PartSource extends ScoreTitles {
  readonly file: string;
}

/** The part as printed, performed and timed: what all analyses share. */
export function analysisContext(timeline: PartTimeline, profile: ChangeoverProfile) {
  const order = performedOrder(timeline.bars);
  const performance = createPerformance(timeline.bars, order.visits);
  const inHand = instrumentsInHand(timeline);
  const stretches = playedStretches(
    performedNotes(timeline.notes, performance),
    inHand.instrumentOf,
  );
  const played = new Set<InstrumentId>(stretches.map(({ instrument }) => instrument));
  const context: AnalysisContext = {
    timeline,
    performance,
    tempoMap: createTempoMap(performance, timeline.tempoMarks),
    tempoWords: unnumberedTempoWords(timeline),
    inHand,
    stretches,
    profile,
    instruments: INSTRUMENT_IDS.filter((id) => played.has(id)),
  };
  return { context, notices: [...order.notices, ...inHand.notices] };
}

/**
 * Everything there is to say about one part.
 * @throws InputError when the part is for no instrument of the table, or its repeats never end
 */
export function analysePart(
  timeline: PartTimeline,
  profile: ChangeoverProfile,
  source: PartSource,
): PartReport {
  const { context, notices } = analysisContext(timeline, profile);
  const { performance, tempoMap } = context;
  const report = {
    file: source.file,
    title: source.title,
    movement: source.movement,
    part: timeline.part,
    barCount: timeline.bars.length,
    barLabels: {
      first: timeline.bars[0]?.barLabel ?? "",
      last: timeline.bars.at(-1)?.barLabel ?? "",
    },
    playedBars: performance.visits.length,
    instruments: context.instruments,
    changes: ANALYSES.changes(context),
    entries: ANALYSES.entries(context),
    passages: ANALYSES.passages(context),
    tempi: ANALYSES.tempi(context),
    durationSeconds: tempoMap.secondsBetween(ZERO, performance.totalQuarters),
  };
  return {
    ...report,
    notices: [
      ...tempoNotices(tempoMap.stretches, context),
      ...timeline.notices,
      ...notices,
      ...graceNotices(report.entries),
      ...handNotices(report.changes),
      ...(timeline.concertScore ? [{ kind: "concert-score" } as const] : []),
    ],
  };
}

/** Tempo words without a number beside them; the same words over two parts count once. */
function unnumberedTempoWords({ words, tempoMarks }: PartTimeline): readonly PrintedWords[] {
  const numbered = new Set(tempoMarks.map(({ at }) => `${at.barIndex} ${at.offset.toFraction()}`));
  const seen = new Set<string>();
  return words.filter(({ at, text }) => {
    const place = `${at.barIndex} ${at.offset.toFraction()}`;
    if (!isTempoWords(text) || numbered.has(place) || seen.has(`${place} ${text}`)) return false;
    seen.add(`${place} ${text}`);
    return true;
  });
}

function tempoNotices(
  stretches: readonly TempoStretch[],
  { performance, tempoWords, timeline }: AnalysisContext,
): readonly Notice[] {
  const notices: Notice[] = [];
  if (tempoWords.length > 0) {
    const marks = tempoWords.map(({ at, text }) => ({
      text,
      barLabel: timeline.bars[at.barIndex]?.barLabel ?? "",
    }));
    notices.push({ kind: "tempo-words-unread", marks });
  }
  const assumed = stretches.find(({ source }) => source === "assumed");
  if (assumed) {
    const until = stretches.find(({ source }) => source !== "assumed");
    notices.push({
      kind: "tempo-assumed",
      quartersPerMinute: ASSUMED_TEMPO,
      fromBarLabel: performance.momentAt(assumed.startQuarters).barLabel,
      ...(until && { untilBarLabel: performance.momentAt(until.startQuarters).barLabel }),
    });
  }
  const playback = new Set(
    stretches.filter(({ source }) => source === "sound").map(({ text }) => text),
  );
  if (playback.size > 0) notices.push({ kind: "tempo-from-playback", count: playback.size });
  return notices;
}

function handNotices(changes: PartReport["changes"]): readonly Notice[] {
  const steps = changes.flatMap(({ needed }) => needed.steps);
  const assumed = steps.filter((step) => step.assumed).length;
  if (assumed === 0) return [];
  return [{ kind: "profile-assumed", all: assumed === steps.length }];
}

function graceNotices(entries: PartReport["entries"]): readonly Notice[] {
  const count = entries.filter(({ graceNotes }) => graceNotes > 0).length;
  return count > 0 ? [{ kind: "grace-before-entry", count, seconds: GRACE_NOTE_SECONDS }] : [];
}
