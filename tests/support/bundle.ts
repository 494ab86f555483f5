import { mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "esbuild";
import { bundleOptions, WORKER_ENTRIES } from "../../scripts/bundle-options.js";

/**
 * Programs for processes of their own, bundled as the command is (with the worker entries), in a new
 * folder with a manifest that makes them modules. The caller removes the folder.
 * @param entries source files by the names of the programs
 */
export async function bundlePrograms(entries: Readonly<Record<string, string>>): Promise<Programs> {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), "muta-bundle-")));
  await build({
    ...bundleOptions(),
    entryPoints: { ...WORKER_ENTRIES, ...entries },
    outdir: folder,
    logLevel: "error",
  });
  writeFileSync(join(folder, "package.json"), '{ "type": "module", "private": true }');
  return {
    folder,
    path: (name) => join(folder, `${name}.js`),
    remove: () => {
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export interface Programs {
  readonly folder: string;
  /** The file of a program. */
  readonly path: (name: string) => string;
  readonly remove: () => void;
}
