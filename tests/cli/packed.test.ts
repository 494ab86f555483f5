import { execFileSync } from "node:child_process";
import { createRequire } from "node:module";
import {
  copyFileSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { homedir, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { auditJob } from "../support/audit-job.js";
import { partWithChange, runProgram, type Run } from "../support/run-muta.js";

interface Manifest {
  readonly version: string;
  readonly bin: { readonly muta: string };
  readonly exports: { readonly ".": { readonly types: string; readonly default: string } };
  readonly dependencies?: Readonly<Record<string, string>>;
}

/** npm in a process of its own, with nothing of the surrounding npm run. */
function npm(cwd: string, ...args: readonly string[]): string {
  const env = Object.entries(process.env).filter(
    ([name]) => !name.toLowerCase().startsWith("npm_"),
  );
  return execFileSync("npm", args, {
    cwd,
    encoding: "utf8",
    env: { ...Object.fromEntries(env), npm_config_update_notifier: "false" },
    stdio: ["ignore", "pipe", "pipe"],
    shell: process.platform === "win32",
  });
}

describe("the package, installed somewhere else", () => {
  let folder = "";
  let home = "";
  let installed = "";
  let packed: readonly string[] = [];
  let manifest: Manifest;

  beforeAll(() => {
    folder = realpathSync(mkdtempSync(join(tmpdir(), "muta-packed-")));
    // Built before the tests; a second build now would pull dist/ from under those beside this one.
    const listing = npm(
      resolve("."),
      "pack",
      "--ignore-scripts",
      "--json",
      "--pack-destination",
      folder,
    );
    const [tarball] = JSON.parse(listing) as { filename: string; files: { path: string }[] }[];
    packed = tarball!.files.map(({ path }) => path);
    home = mkdtempSync(join(folder, "elsewhere-"));
    writeFileSync(join(home, "package.json"), '{ "name": "elsewhere", "private": true }');
    npm(home, "install", "--offline", "--no-audit", "--no-fund", join(folder, tarball!.filename));
    installed = join(home, "node_modules", "muta");
    manifest = JSON.parse(readFileSync(join(installed, "package.json"), "utf8")) as Manifest;
  }, 120_000);

  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  function runInstalled(args: readonly string[], stdin = ""): Promise<Run> {
    return runProgram(process.execPath, [join(installed, manifest.bin.muta), ...args], {
      cwd: home,
      stdin,
    });
  }

  /** The text of every file of the package but the licences of others. */
  function texts(pattern: RegExp): readonly { readonly path: string; readonly text: string }[] {
    return packed
      .filter((path) => pattern.test(path))
      .map((path) => ({ path, text: readFileSync(join(installed, path), "utf8") }));
  }

  it("brings no other package with it", () => {
    expect(readdirSync(join(home, "node_modules")).filter((name) => !name.startsWith("."))).toEqual(
      ["muta"],
    );
  });

  it("has the command on the path of the project", () => {
    expect(readdirSync(join(home, "node_modules", ".bin"))).toContain("muta");
    expect(npm(home, "exec", "--offline", "--", "muta", "--version").trim()).toBe(manifest.version);
  });

  it("checks a part", async () => {
    const run = await runInstalled(["check", "-", "--fail-on", "tight"], partWithChange("tight"));
    expect(run).toMatchObject({ code: 1, stderr: "" });
    expect(run.stdout).toContain("1 change: 1 tight.");
  });

  it("lists parts, and writes and reads a profile", async () => {
    writeFileSync(join(home, "part.musicxml"), partWithChange("tight"));
    expect(await runInstalled(["parts", "part.musicxml"])).toMatchObject({ code: 0, stderr: "" });
    expect(await runInstalled(["profile", "--out", "hands.yaml"])).toMatchObject({ code: 0 });
    const args = ["check", "part.musicxml", "--profile", "hands.yaml", "--format", "csv"];
    const run = await runInstalled(args);
    expect(run).toMatchObject({ code: 0, stderr: "" });
    expect(run.stdout.split("\r\n")).toHaveLength(3);
  });

  it("is a library, too", async () => {
    writeFileSync(join(home, "part.musicxml"), partWithChange("tight"));
    const script = `
      import { analysePart, openScore, readScoreFile, selectParts, USUAL_PROFILE } from "muta";
      const { bytes, name } = await readScoreFile("part.musicxml");
      const score = openScore(bytes);
      const [part] = selectParts(score.parts, []);
      const report = analysePart(score.timeline(part.id), USUAL_PROFILE, { ...score, file: name });
      console.log(report.changes.map(({ from, to, verdict }) => [from, to, verdict].join(" ")).join());`;
    writeFileSync(join(home, "use.mjs"), script);
    const run = await runProgram(process.execPath, ["use.mjs"], { cwd: home });
    expect(run).toEqual({ code: 0, stdout: "clarinet-bflat clarinet-a tight\n", stderr: "" });
  });

  it("does what the example of the readme says", async () => {
    const [, program = "", printed] =
      /```js\n([\s\S]*?)```[\s\S]*?```\n([\s\S]*?)```/.exec(readFileSync("README.md", "utf8")) ??
      [];
    copyFileSync(
      "fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml",
      join(home, "part.musicxml"),
    );
    writeFileSync(join(home, "example.mjs"), program);
    const run = await runProgram(process.execPath, ["example.mjs"], { cwd: home });
    expect(run).toEqual({ code: 0, stdout: printed, stderr: "" });
    const check = await runInstalled(["check", "my-part.musicxml", "--format", "csv"]);
    expect(check.stdout.trim().split("\r\n")).toHaveLength(1 + 2);
  });

  it("has what its manifest names, the readme and the licences", () => {
    const { types, default: entry } = manifest.exports["."];
    for (const path of [types, entry, manifest.bin.muta]) {
      expect(packed).toContain(path.replace(/^\.\//, ""));
    }
    for (const path of ["README.md", "LICENSE", "dist/THIRD-PARTY-LICENSES.txt"]) {
      expect(packed).toContain(path);
    }
  });

  // The loop of the workers is looked for beside the file that starts them.
  it("has what its workers run, and can run it", async () => {
    for (const path of ["dist/worker.js", "dist/entry/worker.js"]) expect(packed).toContain(path);
    writeFileSync(join(home, "part.musicxml"), partWithChange("tight"));
    const order = { job: "auditCached", data: JSON.stringify(auditJob("part.musicxml")) };
    const script = `
      import { Worker, MessageChannel } from "node:worker_threads";
      const folder = new URL("./node_modules/muta/dist/", import.meta.url);
      const worker = new Worker(new URL("entry/worker.js", folder), { workerData: [{ workerId: 1 }] });
      const { port1, port2 } = new MessageChannel();
      const sharedBuffer = new Int32Array(new SharedArrayBuffer(8));
      const filename = new URL("worker.js", folder).href;
      worker.postMessage({ filename, name: "default", port: port2, sharedBuffer, useAtomics: false }, [port2]);
      worker.once("message", () => port1.postMessage({ taskId: 1, task: ${JSON.stringify(order)}, filename, name: "default" }));
      port1.once("message", ({ result, error }) => {
        console.log(error ?? JSON.parse(result).value.seats[0].changes[0].verdict);
        process.exit();
      });`;
    writeFileSync(join(home, "work.mjs"), script);
    const run = await runProgram(process.execPath, ["work.mjs"], { cwd: home });
    expect(run).toEqual({ code: 0, stdout: "tight\n", stderr: "" });
    const licences = readFileSync(join(installed, "dist/THIRD-PARTY-LICENSES.txt"), "utf8");
    expect(licences).toMatch(/^tinypool [\d.]+ \(MIT\)$/m);
  });

  it("has no tests, fixtures, sources or maps", () => {
    expect(
      packed.filter((path) => /test|fixture|^src\/|^scripts\/|\.map$|(?<!\.d)\.ts$/.test(path)),
    ).toEqual([]);
    expect(packed.filter((path) => !/^(?:dist|bin)\/|^[^/]+$/.test(path))).toEqual([]);
  });

  it("says nothing of the machine it was built on", () => {
    const places = [resolve("."), homedir(), pathToFileURL(resolve(".")).href, folder];
    for (const { path, text } of texts(/\.(?:js|ts|json|md)$/)) {
      expect(
        places.filter((place) => place.length > 1 && text.includes(place)),
        path,
      ).toEqual([]);
      expect(text, path).not.toContain("sourceMappingURL");
    }
  });

  // What only the development of the package needs is not installed with it.
  it("has types that name nothing which is not there", () => {
    const imports = texts(/\.d\.ts$/).flatMap(({ text }) =>
      [...text.matchAll(/(?:\bfrom\s+|import\(\s*)"([^".][^"]*)"/g)].map(([, name = ""]) => name),
    );
    const known = Object.keys(manifest.dependencies ?? {});
    expect(imports.filter((name) => !name.startsWith("node:") && !known.includes(name))).toEqual(
      [],
    );
  });

  it("has types that a strict program can use", () => {
    const program = `
      import { analysePart, openScore, USUAL_PROFILE, type PartReport } from "muta";
      const score = openScore(Buffer.from(""));
      const report: PartReport = analysePart(score.timeline("P1"), USUAL_PROFILE, { ...score, file: "" });
      // @ts-expect-error: a report has no such field, so the types are really there
      report.noSuchField;
      export const quarters: number = report.changes[0]?.rest.quarters.valueOf() ?? 0;`;
    writeFileSync(join(home, "use.mts"), program);
    const require = createRequire(import.meta.url);
    const nodeTypes = join(require.resolve("@types/node/package.json"), "..", "..");
    const options = [
      "--noEmit",
      "--strict",
      "--skipLibCheck",
      "--module",
      "nodenext",
      "--target",
      "es2022",
    ];
    const compile = () =>
      execFileSync(
        process.execPath,
        [
          require.resolve("typescript/bin/tsc"),
          ...options,
          "--types",
          "node",
          "--typeRoots",
          nodeTypes,
          "use.mts",
        ],
        { cwd: home, encoding: "utf8" },
      );
    expect(compile()).toBe("");
  });
});
