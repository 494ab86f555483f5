// How the command is bundled; the tests bundle programs of their own in the same way.
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";

/**
 * What runs in a worker: ours, and the loop of tinypool, which it looks for in `entry/` beside the file
 * it is bundled in.
 */
export const WORKER_ENTRIES = {
  worker: "src/cli/worker.ts",
  "entry/worker": join(
    dirname(createRequire(import.meta.url).resolve("tinypool/package.json")),
    "dist/entry/worker.js",
  ),
};

/** The options of esbuild but for the entries and the folder. */
export function bundleOptions() {
  const { version } = JSON.parse(readFileSync("package.json", "utf8"));
  return {
    bundle: true,
    splitting: true,
    format: "esm",
    platform: "node",
    target: "node20",
    minifySyntax: true,
    legalComments: "none",
    define: { MUTA_VERSION: JSON.stringify(version), MUTA_BUILD: JSON.stringify(sourcesHash()) },
    // CommonJS packages in the bundle still call require() for Node's own modules.
    banner: {
      js: 'import { createRequire as mutaCreateRequire } from "node:module"; const require = mutaCreateRequire(import.meta.url);',
    },
  };
}

/** Tells one build from another of the same version: SHA-256 of all that goes into the bundle. */
function sourcesHash() {
  const hash = createHash("sha256");
  const files = readdirSync("src", { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name).replaceAll("\\", "/"))
    .sort();
  for (const file of [...files, "package-lock.json"]) {
    const content = readFileSync(file);
    hash.update(`${file} ${content.length}\n`).update(content);
  }
  return hash.digest("hex").slice(0, 16);
}
