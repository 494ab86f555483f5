import type { Disagreement, Notice } from "../model/finding.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { OtherPart } from "../model/other-part.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PartReport } from "../model/report.js";
import type { PartTimeline, ScoreTitles } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import { performedNotes } from "../timing/performed-notes.js";
import { findChanges } from "./changes.js";
import type { AnalysisContext } from "./context.js";
import { findDemands } from "./demands.js";
import { findEntries } from "./entries.js";
import { headingOf } from "./heading.js";
import { instrumentsInHand, type InstrumentsInHand } from "./instruments-in-hand.js";
import { keyFaults } from "./key-signatures.js";
import { lyingNotices } from "./lying.js";
import { findPassages } from "./passages.js";
import { slurredNotes } from "./line.js";
import { performPart } from "./performed.js";
import { byUpperStaff, playersOfStaff } from "./player-part.js";
import { GRACE_NOTE_SECONDS } from "./rests.js";
import { playedStretches } from "./stretches.js";
import { listTempi } from "./tempi.js";

/** The analyses by the field of the report they fill. To add one: a file, a row, a field. */
const ANALYSES = {
  changes: findChanges,
  entries: findEntries,
  passages: findPassages,
  demands: findDemands,
  tempi: listTempi,
} satisfies { [Field in keyof PartReport]?: (context: AnalysisContext) => PartReport[Field] };

/** What is known of the file a part comes from. */
export interface PartSource extends ScoreTitles {
  readonly file: string;
  /** The other parts of the score, for what the player can hear of them (`ScoreDocument.otherParts`). */
  readonly orchestra?: readonly OtherPart[];
}

/** The part as printed, performed and timed: what all analyses share. */
export function analysisContext(
  part: PartTimeline,
  profile: ChangeoverProfile,
  wishes: PerformanceWishes = {},
  orchestra: readonly OtherPart[] = [],
) {
  const timeline = byUpperStaff(part);
  const { performed, notices } = performPart(timeline, wishes);
  const inHand = instrumentsInHand(timeline);
  const faults = keyFaults(timeline, inHand);
  const stretches = playedStretches(
    performedNotes(timeline.notes, performed.performance),
    inHand.instrumentOf,
  );
  const played = new Set<InstrumentId>(stretches.map(({ instrument }) => instrument));
  const context: AnalysisContext = {
    ...performed,
    inHand,
    keyFaults: faults,
    slurred: slurredNotes(timeline),
    stretches,
    profile,
    orchestra,
    instruments: INSTRUMENT_IDS.filter((id) => played.has(id)),
  };
  return {
    context,
    notices: [
      ...notices.tempo,
      ...timeline.notices,
      ...notices.order,
      ...inHand.notices,
      ...keyNotices(faults, inHand),
      ...sharedStaffNotices(timeline),
    ],
  };
}

/**
 * Everything there is to say about one part.
 * @param wishes what the player knows of the performance: tempo sheet, recordings, repeats left out
 * @throws InputError when the part is for no instrument of the table, its repeats never end, or a wish
 *   names a place that is not in it
 */
export function analysePart(
  timeline: PartTimeline,
  profile: ChangeoverProfile,
  source: PartSource,
  wishes: PerformanceWishes = {},
): PartReport {
  const context = analysisContext(timeline, profile, wishes, source.orchestra);
  return reportOn(context, timeline, source);
}

/** The report on a part whose context is at hand: what `analysePart` gives. */
export function reportOn(
  { context, notices }: ReturnType<typeof analysisContext>,
  timeline: PartTimeline,
  source: PartSource,
): PartReport {
  const report = {
    ...headingOf(timeline, context, source),
    instruments: context.instruments,
    changes: ANALYSES.changes(context),
    entries: ANALYSES.entries(context),
    passages: ANALYSES.passages(context),
    demands: ANALYSES.demands(context),
    tempi: ANALYSES.tempi(context),
  };
  const { changes } = report;
  const given = allNotices(notices, context, report);
  return {
    ...report,
    notices: [...given, ...lyingNotices(changes), ...listenNotices(timeline, changes)],
  };
}

/** Those of the part, and those that its entries and changes give rise to. */
export function allNotices(
  notices: readonly Notice[],
  { timeline, orchestra }: Pick<AnalysisContext, "timeline" | "orchestra">,
  { entries, changes }: Pick<PartReport, "changes"> & { readonly entries: GraceEntries },
): readonly Notice[] {
  return [
    ...notices,
    ...graceNotices(entries),
    ...handNotices(changes),
    ...unreadableNotices(orchestra),
    ...(timeline.concertScore ? [{ kind: "concert-score" } as const] : []),
  ];
}

/** Those at a change stand with the change. */
function keyNotices(
  faults: ReadonlyMap<number, Disagreement>,
  { switches }: InstrumentsInHand,
): readonly Notice[] {
  return [...faults].flatMap(([noteIndex, disagreement]) =>
    switches.has(noteIndex)
      ? []
      : [{ kind: "disagreement", disagreement, barLabel: disagreement.barLabel }],
  );
}

/** To be asked for once everything is analysed: bars of other parts are read on the way. */
function unreadableNotices(orchestra: readonly OtherPart[]): readonly Notice[] {
  return orchestra.flatMap(({ part, unreadableBars, barLabel }) =>
    unreadableBars().map((barIndex) => ({
      kind: "other-part-unreadable" as const,
      barLabel: barLabel(barIndex),
      partId: part.id,
    })),
  );
}

/** Without other parts nothing is said of what to listen for, and the player may not know that it could be. */
export function listenNotices(
  { otherParts }: PartTimeline,
  entries: readonly unknown[],
): readonly Notice[] {
  return otherParts === "none" && entries.length > 0 ? [{ kind: "listen-with-score" }] : [];
}

function sharedStaffNotices(timeline: PartTimeline): readonly Notice[] {
  const players = playersOfStaff(timeline);
  return players.length > 1 ? [{ kind: "shared-staff", players }] : [];
}

function handNotices(changes: PartReport["changes"]): readonly Notice[] {
  const steps = changes.flatMap(({ needed }) => needed.steps);
  const assumed = steps.filter((step) => step.assumed).length;
  if (assumed === 0) return [];
  return [{ kind: "profile-assumed", all: assumed === steps.length }];
}

type GraceEntries = readonly Pick<PartReport["entries"][number], "graceNotes">[];

function graceNotices(entries: GraceEntries): readonly Notice[] {
  const count = entries.filter(({ graceNotes }) => graceNotes > 0).length;
  return count > 0 ? [{ kind: "grace-before-entry", count, seconds: GRACE_NOTE_SECONDS }] : [];
}
