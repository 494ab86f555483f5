import { existsSync } from "node:fs";
import { join } from "node:path";
import { corpusRoot } from "./corpus-root.js";

/** Runs once before all tests: a missing corpus is one line here, and a failure where CI is set. */
export default function announceCorpus(): void {
  if (existsSync(join(corpusRoot(), "corpus"))) return;
  const reason = `no folder "corpus" in ${corpusRoot()} (set MUTA_CORPUS)`;
  // A skipped check must not pass for a passed one where nobody reads the output.
  if (process.env["CI"]) throw new Error(`corpus tests cannot run: ${reason}`);
  console.warn(`corpus tests skipped: ${reason}`);
}
