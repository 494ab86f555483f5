import { analysePart, type PartSource } from "../analyses/index.js";
import { playerPart } from "../analyses/player-part.js";
import { partsOfPlayer, selectParts } from "../instruments/select-parts.js";
import { USUAL_PROFILE } from "../instruments/usual-profile.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { CheckReport, InputFailure } from "../model/report.js";
import type { PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { failureOf, loadScore } from "./load.js";
import { orUsageError } from "./wishes.js";

/** Which parts of the files are wanted. */
export interface PartOptions {
  readonly part: readonly string[];
  readonly player?: number;
}

/** The player's profile, or the usual one. */
export async function loadProfile(path: string | undefined): Promise<ChangeoverProfile> {
  if (path === undefined) return USUAL_PROFILE;
  // Loaded only when asked for: most runs need neither the schema nor the YAML parser.
  const { readProfile } = await import("./profile-file.js");
  return orUsageError(path, () => readProfile(path));
}

/** Analyses the parts of all files; one bad file does not stop the others. */
export async function analyseFiles(
  files: readonly string[],
  options: PartOptions,
  profile: ChangeoverProfile,
  wishes: PerformanceWishes,
): Promise<CheckReport> {
  return overParts(files, options, (timeline, source) =>
    analysePart(timeline, profile, source, wishes),
  );
}

/**
 * Does the same to the wanted parts of all files; one bad file or part does not stop the others.
 * @param choose the parts that are wanted of those in a file, by the patterns given
 * @param work may throw InputError, which becomes a row of `errors`
 */
export async function overParts<Result>(
  files: readonly string[],
  { part: patterns, player }: PartOptions,
  work: (timeline: PartTimeline, source: PartSource, score: ScoreDocument) => Result,
  choose: typeof selectParts = selectParts,
): Promise<{ readonly parts: readonly Result[]; readonly errors: readonly InputFailure[] }> {
  const results: Result[] = [];
  const errors: InputFailure[] = [];
  for (const file of files) {
    try {
      const score = await loadScore(file);
      const parts = choose(score.parts, patterns);
      const wanted = player === undefined ? parts : partsOfPlayer(parts, player);
      for (const { id } of wanted) {
        try {
          const { title, movement, otherParts } = score;
          const source = { file, title, movement, orchestra: otherParts(id) };
          const staff = score.timeline(id);
          const timeline = player === undefined ? staff : playerPart(staff, player);
          results.push(work(timeline, source, score));
        } catch (error) {
          errors.push(failureOf(error, file));
        }
      }
    } catch (error) {
      errors.push(failureOf(error, file));
    }
  }
  return { parts: results, errors };
}
