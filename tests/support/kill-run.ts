import { spawn } from "node:child_process";
import { setImmediate as turn, setTimeout as sleep } from "node:timers/promises";
import { MUTA } from "./run-muta.js";

/** When a run is ended: by the clock, or as soon as something holds that is asked for again and again. */
export type Moment = { readonly afterMs: number } | { readonly when: () => boolean };

export interface EndedRun {
  /** The signal that ended it; null where it came to its own end. */
  readonly signal: NodeJS.Signals | null;
  readonly code: number | null;
  readonly ms: number;
}

/** Begins the command and sends it a signal, which may come too late. */
export async function killMuta(
  args: readonly string[],
  options: { readonly cwd: string; readonly env: Readonly<Record<string, string>> },
  signal: NodeJS.Signals,
  moment: Moment,
): Promise<EndedRun> {
  const start = performance.now();
  const child = spawn(process.execPath, [MUTA, ...args], {
    ...{ cwd: options.cwd, env: { ...process.env, ...options.env }, stdio: "ignore" },
  });
  const over = new AbortController();
  const ended = new Promise<EndedRun>((resolve, reject) => {
    child.on("error", reject);
    child.on("exit", (code, by) => {
      over.abort();
      resolve({ code, signal: by, ms: performance.now() - start });
    });
  });
  await Promise.race([ended, comes(moment, over.signal)]);
  child.kill(signal);
  return ended;
}

async function comes(moment: Moment, over: AbortSignal): Promise<void> {
  if ("afterMs" in moment) await sleep(moment.afterMs);
  else while (!over.aborted && !moment.when()) await turn();
}
