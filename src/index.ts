/**
 * The library: read a score, choose parts, analyse and plan them, write them anew. README.md has a longer example.
 *
 * @example
 * const { bytes, name } = await readScoreFile("part.musicxml");
 * const score = openScore(bytes);
 * const [part] = selectParts(score.parts, []);
 * const report = analysePart(score.timeline(part.id), USUAL_PROFILE, { ...score, file: name });
 */
export { analysePart, type PartSource } from "./analyses/index.js";
export { playerPart } from "./analyses/player-part.js";
export { analyseCount } from "./analyses/count-report.js";
export { analyseTempo } from "./analyses/tempo-report.js";

export { colleagueFinder } from "./planning/find-colleagues.js";
export { planFor, USUAL_PLAN_WISHES, type PlanSettings } from "./planning/plan-for.js";
export { rewritePlan, type PlanRequest, type RewrittenPlan } from "./planning/rewrite-plan.js";
export {
  rewriteBars,
  type BarRange,
  type RewriteRequest,
  type RewriteWarning,
  type Rewritten,
} from "./planning/rewrite.js";

export { markPart, type Marked, type MarkRequest } from "./planning/mark-part.js";
export type { MarkWording } from "./planning/marks.js";
export type * from "./model/marks.js";
export { markText } from "./reporters/wording/marks.js";

export { auditFile, auditScore } from "./season/audit-file.js";
export { jobKey, runJobs, seasonJobs } from "./season/jobs.js";
export { seasonReport } from "./season/report.js";
export type * from "./model/season.js";

export { midiNumber, soundingPitch } from "./theory/pitch.js";
export { partsOfPlayer, selectParts } from "./instruments/select-parts.js";
export { INSTRUMENTS } from "./instruments/table.js";
export { USUAL_PROFILE } from "./instruments/usual-profile.js";
export type * from "./model/count.js";
export type * from "./model/exposure.js";
export type * from "./model/finding.js";
export { InputError } from "./model/input-error.js";
export type * from "./model/instrument.js";
export type * from "./model/landmark.js";
export type * from "./model/other-part.js";
export type * from "./model/plan.js";
export type * from "./model/profile.js";
export type * from "./model/report.js";
export type * from "./model/score.js";
export type * from "./model/tempo.js";
export type * from "./model/time.js";
export { openScore, type ListedPart, type ScoreDocument } from "./musicxml/document.js";
export { decodeScore, readScoreFile, readScoreStream } from "./musicxml/source.js";
