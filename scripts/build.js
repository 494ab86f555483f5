// Bundles the command and the library, so that the packed tarball needs nothing else installed.
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { build } from "esbuild";
import { bundleOptions, WORKER_ENTRIES } from "./bundle-options.js";

rmSync("dist", { recursive: true, force: true });

const { metafile } = await build({
  ...bundleOptions(),
  entryPoints: { cli: "src/cli/main.ts", index: "src/index.ts", ...WORKER_ENTRIES },
  outdir: "dist",
  metafile: true,
});

writeFileSync("dist/THIRD-PARTY-LICENSES.txt", licencesOf(metafile));
const tsc = join(
  dirname(createRequire(import.meta.url).resolve("typescript/package.json")),
  "bin/tsc",
);
execFileSync(process.execPath, [tsc, "-p", "tsconfig.build.json"], { stdio: "inherit" });

/** The licence text of every package whose code is in the bundle. */
function licencesOf(metafile) {
  const folders = new Set();
  for (const input of Object.keys(metafile.inputs)) {
    const match = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(input);
    if (match) folders.add(match[1]);
  }
  return [...folders]
    .sort()
    .map((folder) => {
      const {
        name,
        version: packageVersion,
        license,
      } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
      const file = ["LICENSE", "LICENSE.md", "LICENSE.txt", "license", "LICENCE"]
        .map((each) => join(folder, each))
        .find((each) => existsSync(each));
      const text = file ? readFileSync(file, "utf8").trim() : `(no licence file; ${license})`;
      return `${name} ${packageVersion} (${license})\n\n${text}\n`;
    })
    .join(`\n${"-".repeat(72)}\n\n`);
}
