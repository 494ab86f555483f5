import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { describe } from "vitest";
import { corpusRoot } from "./corpus-root.js";

export const CORPUS_ROOT = corpusRoot();

const scoresFolder = join(CORPUS_ROOT, "corpus");

export const corpusAvailable: boolean = existsSync(scoresFolder);

/** `describe` where the corpus is at hand, skipped otherwise (see announce-corpus.ts). */
export const describeCorpus = corpusAvailable ? describe : describe.skip;

/** Every score of the corpus by the name of its folder; none when there is no corpus. */
export function corpusScores(): readonly { readonly name: string; readonly path: string }[] {
  if (!corpusAvailable) return [];
  return readdirSync(scoresFolder)
    .sort()
    .map((name) => ({ name, path: join(scoresFolder, name, "score.mxl") }))
    .filter(({ path }) => existsSync(path));
}
