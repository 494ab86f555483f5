import { existsSync, readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe } from "vitest";

/** Where real scores with independent figures are kept: too large for this repository. */
export const CORPUS_ROOT = process.env["MUTA_CORPUS"] ?? resolve("../shared");

const scoresFolder = join(CORPUS_ROOT, "corpus");

export const corpusAvailable: boolean = existsSync(scoresFolder);

if (!corpusAvailable) {
  const reason = `no folder "corpus" in ${CORPUS_ROOT} (set MUTA_CORPUS)`;
  // A skipped check must not pass for a passed one where nobody reads the output.
  if (process.env["CI"]) throw new Error(`corpus tests cannot run: ${reason}`);
  console.warn(`corpus tests skipped: ${reason}`);
}

/** `describe` where the corpus is at hand, skipped otherwise. */
export const describeCorpus = corpusAvailable ? describe : describe.skip;

/** Every score of the corpus by the name of its folder; none when there is no corpus. */
export function corpusScores(): readonly { readonly name: string; readonly path: string }[] {
  if (!corpusAvailable) return [];
  return readdirSync(scoresFolder)
    .sort()
    .map((name) => ({ name, path: join(scoresFolder, name, "score.mxl") }))
    .filter(({ path }) => existsSync(path));
}
