import type { AnalysisContext } from "../analyses/context.js";
import { passageOfNotes } from "../analyses/passages.js";
import type { PlanReport, PlanWishes } from "../model/plan.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PerformanceWishes } from "../model/tempo.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { asUtf8 } from "../musicxml/edit-bars.js";
import { placeOf, plannedNotes, segmentsOfPlan, type PlannedNote } from "./plan-page.js";
import { planInContext } from "./plan-for.js";
import { PlanWords } from "./plan-words.js";
import { outOfRange, refuseSounding, sixthSpelling, writeDocument } from "./rewrite-document.js";
import type { RewriteWarning, Rewritten } from "./rewrite.js";
import { segmentAt } from "./segments.js";

/** Whose plan is to be written out. */
export interface PlanRequest {
  readonly partId: string;
  /** The instruments the player carries, and how quick the hands are. */
  readonly profile: ChangeoverProfile;
  /** What the player allows; left out, the best by `balanced`. */
  readonly wishes?: Partial<PlanWishes>;
  /** Tempo sheet, recordings, repeats left out. */
  readonly performance?: PerformanceWishes;
}

export interface RewrittenPlan extends Rewritten {
  /** What was written out is its `best`. */
  readonly plan: PlanReport;
}

/**
 * Writes a part out as the best plan for it has it: every passage that the plan puts on another instrument is
 * written for that, sounding the same, and the words for changes are put in and taken away. Everything else in
 * the document stays as it is, byte for byte.
 *
 * @param bytes the document that `score` was opened from
 * @throws InputError `not-rewritable` for a score at sounding pitch, a key signature of its own kind, or a change
 *   inside a bar that has no place for it (several staves; two instruments at once), and all that `planFor` throws
 */
export function rewritePlan(
  bytes: Buffer,
  score: ScoreDocument,
  { partId, profile, wishes = {}, performance = {} }: PlanRequest,
): RewrittenPlan {
  const source = { file: "", title: score.title, movement: score.movement };
  const printed = score.timeline(partId);
  refuseSounding(printed);
  const { context, plan } = planInContext(printed, profile, source, { wishes, performance });
  const { timeline, inHand } = context;
  const planned = plannedNotes(context, plan);
  if (!planned.some(({ isWritten }) => isWritten)) {
    return { bytes: asUtf8(bytes), warnings: [{ kind: "already-so" }], plan };
  }
  const segments = segmentsOfPlan(timeline, planned, inHand.transpositionOf);
  const words = new PlanWords(context, planned);
  const result = writeDocument(bytes, score, partId, {
    segments,
    words: words.bars,
    unprinted: inHand.transpositionOf(planned[0]?.noteIndex ?? 0),
    sixthAs: (by) =>
      sixthSpelling(timeline, by, (at) => !segmentAt(segments, placeOf(at))?.writing),
  });
  const labelOf = (barIndex: number) => timeline.bars[barIndex]?.barLabel ?? "";
  const written = planned.filter(({ isWritten }) => isWritten);
  const instruments = [...new Set(written.map(({ instrument }) => instrument))];
  const strange = instruments.map((instrument) => {
    const own = new Set(
      written.flatMap((each) => (each.instrument === instrument ? [each.noteIndex] : [])),
    );
    const bars = outOfRange(timeline, inHand, instrument, (noteIndex) => own.has(noteIndex));
    return { instrument, bars };
  });
  const { rewriter } = result;
  const left = words.left((barIndex, text) => rewriter.hasRemoved(barIndex, text));
  const warnings: readonly RewriteWarning[] = [
    ...strange
      .filter(({ bars }) => bars.length > 0)
      .map(({ instrument, bars }) => ({
        kind: "out-of-range" as const,
        bars: bars.map(labelOf),
        instrument,
      })),
    ...(rewriter.tiedIn.length > 0
      ? [{ kind: "tied-in" as const, bars: rewriter.tiedIn.map(labelOf) }]
      : []),
    ...left.map(({ text, at }) => ({
      kind: "words-left" as const,
      text,
      bar: labelOf(at.barIndex),
    })),
    ...followedWords(context, plan, written),
    ...(plan.notices.some(({ kind }) => kind === "shared-staff")
      ? [{ kind: "shared-staff" } as const]
      : []),
  ];
  return { bytes: result.bytes, warnings, plan };
}

/** Passages whose words and transposition disagree, and which are written by the words. */
function followedWords(
  context: AnalysisContext,
  { passages }: PlanReport,
  written: readonly PlannedNote[],
): readonly RewriteWarning[] {
  const passageOf = passageOfNotes(context);
  const numbers = new Set(written.map(({ noteIndex }) => passageOf.get(noteIndex)));
  return passages
    .filter(({ number, disputed }) => disputed && numbers.has(number))
    .map(({ from, to }) => ({ kind: "words-followed", from: from.barLabel, to: to.barLabel }));
}
