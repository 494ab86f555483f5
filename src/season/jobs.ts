import type { FileAudit, FileJob, Season, SeasonMovement } from "../model/season.js";

/** The work of a season, one job for each movement, in its order. */
export function seasonJobs(season: Season): readonly FileJob[] {
  return season.programmes.flatMap(({ works }) =>
    works.flatMap(({ movements }) => movements.map((movement) => jobFor(season, movement))),
  );
}

function jobFor({ players, profile }: Season, movement: SeasonMovement): FileJob {
  const { path, file, parts, tacet, partOf, wishes } = movement;
  return {
    ...{ path, file, parts, tacet, profile, wishes },
    seats: players.map(({ name, part, staffPlayer, profile: own }) => ({
      player: name,
      // A player may be called "constructor".
      part: (Object.hasOwn(partOf, name) ? partOf[name] : undefined) ?? part,
      ...(staffPlayer !== undefined && { staffPlayer }),
      profile: own,
    })),
  };
}

/** Two jobs with the same key, on the same bytes, have the same result. */
export function jobKey(job: FileJob): string {
  return JSON.stringify(job);
}

/**
 * Does the jobs one after the other; a piece that comes back in a second programme is read once.
 * @returns their results in the order of the jobs
 */
export async function runJobs(
  jobs: readonly FileJob[],
  audit: (job: FileJob) => Promise<FileAudit>,
): Promise<readonly FileAudit[]> {
  const done = new Map<string, FileAudit>();
  const audits: FileAudit[] = [];
  for (const job of jobs) {
    const key = jobKey(job);
    const result = done.get(key) ?? (await audit(job));
    done.set(key, result);
    audits.push(result);
  }
  return audits;
}
