import { spawnSync } from "node:child_process";
import { performance } from "node:perf_hooks";

/** How long some work takes, in milliseconds. */
export function time(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}

export function median(values) {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** The most resident memory that a whole run of the command takes, in kilobytes. */
export function peakKilobytes(args) {
  const { status, stderr } = spawnSync(
    process.execPath,
    ["--import", "./scripts/print-peak-memory.js", ...args],
    { encoding: "utf8" },
  );
  // Every worker tells what the process took until it left.
  const kilobytes = [...stderr.matchAll(/peak memory (\d+) kB/g)].map(([, figure]) =>
    Number(figure),
  );
  if (status !== 0 || kilobytes.length === 0) throw new Error(`the run failed: ${stderr}`);
  return Math.max(...kilobytes);
}
