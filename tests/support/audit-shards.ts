import { linesOf, runMuta, type Run } from "./run-muta.js";

/** `muta audit` in a folder. */
export function audit(cwd: string, args: readonly string[], stdin = ""): Promise<Run> {
  return runMuta(["audit", ...args], { cwd, stdin });
}

/** The jobs of a season, a line each. */
export async function jobsOf(cwd: string, season: readonly string[]): Promise<readonly string[]> {
  return quietLines(await audit(cwd, [...season, "--list", "--format", "ndjson"]));
}

/** The results of jobs, a line each, in their order. */
export async function resultsOf(cwd: string, jobs: readonly string[]): Promise<readonly string[]> {
  const results = quietLines(await audit(cwd, ["--jobs", "-", "--workers", "2"], ndjson(jobs)));
  if (results.length !== jobs.length)
    throw new Error(`${results.length} results of ${jobs.length} jobs`);
  return results;
}

/** A file of such lines. */
export function ndjson(lines: readonly string[]): string {
  return lines.map((line) => `${line}\n`).join("");
}

/** A line with some of its fields made others. */
export function altered(line: string, fields: Readonly<Record<string, unknown>>): string {
  return JSON.stringify({ ...(JSON.parse(line) as object), ...fields });
}

function quietLines({ code, stdout, stderr }: Run): readonly string[] {
  if (code !== 0 || stderr !== "") throw new Error(`exit code ${code}: ${stderr}`);
  return linesOf(stdout);
}
