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

/** The jobs that differ, each once, and the way back from their results to all jobs. */
export interface DistinctJobs {
  readonly distinct: readonly FileJob[];
  /** @param results one for each of `distinct` @returns one for each job, in the order of the jobs */
  readonly spread: <Result>(results: readonly Result[]) => readonly Result[];
}

/** A piece that comes back in a second programme is one job, and is read once. */
export function distinctJobs(jobs: readonly FileJob[]): DistinctJobs {
  const places = new Map<string, number>();
  const distinct: FileJob[] = [];
  const placeOf = jobs.map((job) => {
    const key = jobKey(job);
    const place = places.get(key) ?? distinct.length;
    if (place === distinct.length) {
      places.set(key, place);
      distinct.push(job);
    }
    return place;
  });
  const spread = <Result>(results: readonly Result[]): readonly Result[] => {
    if (results.length !== distinct.length) throw new Error("not one result for each job");
    return placeOf.map((place) => results[place] as Result);
  };
  return { distinct, spread };
}

/**
 * Does the jobs one after the other; a piece that comes back is read once.
 * @returns their results in the order of the jobs
 */
export async function runJobs(
  jobs: readonly FileJob[],
  audit: (job: FileJob) => Promise<FileAudit>,
): Promise<readonly FileAudit[]> {
  const { distinct, spread } = distinctJobs(jobs);
  const audits: FileAudit[] = [];
  for (const job of distinct) audits.push(await audit(job));
  return spread(audits);
}
