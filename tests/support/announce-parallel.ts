import { spawnSync } from "node:child_process";

/** Whether the GNU Parallel that docs/past-one-machine.md speaks of is installed (another `parallel` is in moreutils). */
export function hasParallel(): boolean {
  const { status, stdout } = spawnSync("parallel", ["--version"], { encoding: "utf8" });
  return status === 0 && stdout.startsWith("GNU parallel");
}

/** Runs once before all tests: a missing GNU Parallel is one line here, and a failure where CI is set. */
export default function announceParallel(): void {
  if (hasParallel()) return;
  const reason = "there is no GNU Parallel (Debian: apt-get install parallel)";
  // A skipped check must not pass for a passed one where nobody reads the output.
  if (process.env["CI"])
    throw new Error(`the tests of docs/past-one-machine.md cannot run: ${reason}`);
  console.warn(`tests with GNU Parallel skipped: ${reason}`);
}
