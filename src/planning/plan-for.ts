import type { AnalysisContext } from "../analyses/context.js";
import { analysisContext, reportOn, type PartSource } from "../analyses/index.js";
import type { PlanReport, PlanWishes } from "../model/plan.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import { planPart, type ColleaguesOf } from "./plan-part.js";

/** What is taken where the player wishes for nothing. */
export const USUAL_PLAN_WISHES: PlanWishes = {
  prefer: "balanced",
  keep: [],
  without: [],
  fixed: [],
  allow: [],
};

/** What there is to know for a plan beyond the part itself; all may be left out. */
export interface PlanSettings {
  /** What the player allows; left out, the best by `balanced` of what is carried. */
  readonly wishes?: Partial<PlanWishes>;
  /** Tempo sheet, recordings, repeats left out. */
  readonly performance?: PerformanceWishes;
  /** The other players, of whom some may take bars over (`colleagueFinder`). */
  readonly colleaguesOf?: ColleaguesOf;
}

/**
 * Chooses the instrument of every passage of a part: what `muta plan` reports.
 *
 * @param profile the instruments the player carries, and how quick the hands are
 * @throws InputError all that `analysePart` throws; `no-matching-bar`, `no-matching-passage` or
 *   `no-instrument-left` for a wish that cannot be followed; `too-entangled` where the repeats join too many passages
 */
export function planFor(
  timeline: PartTimeline,
  profile: ChangeoverProfile,
  source: PartSource,
  settings: PlanSettings = {},
): PlanReport {
  return planInContext(timeline, profile, source, settings).plan;
}

/** The same with the part as it was analysed. */
export function planInContext(
  timeline: PartTimeline,
  profile: ChangeoverProfile,
  source: PartSource,
  { wishes = {}, performance = {}, colleaguesOf }: PlanSettings,
): { readonly context: AnalysisContext; readonly plan: PlanReport } {
  const all = { ...USUAL_PLAN_WISHES, ...wishes };
  const { context: analysed, notices } = analysisContext(timeline, profile, performance);
  const context = { ...analysed, mayLeave: all.allow };
  const report = reportOn({ context, notices }, timeline, source);
  return { context, plan: planPart(context, report, all, colleaguesOf) };
}
