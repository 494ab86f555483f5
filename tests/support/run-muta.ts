import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { onTestFinished } from "vitest";
import { A, attributes, B_FLAT, metronome, note, rest, scoreXml, words } from "./score-xml.js";

/** What a run of the command left behind. */
export interface Run {
  /** Null when it was ended for taking too long. */
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface RunOptions {
  readonly stdin?: string | Uint8Array;
  readonly env?: Readonly<Record<string, string>>;
  readonly cwd?: string;
  /** The reader of standard output goes away after its first piece, as `| head` does. */
  readonly hangUp?: boolean;
}

/** The command as it is in this repository; `dist/` must be built. */
export const MUTA = resolve("bin/muta.js");

/** A run that has not ended by then never will. */
const WATCHDOG_MS = 30_000;

/** What the surroundings may say about the page; each test sets its own. */
const PAGE_SETTINGS = ["COLUMNS", "NO_COLOR", "FORCE_COLOR", "TERM", "NODE_OPTIONS"];

/** Runs the command in a process of its own. */
export function runMuta(args: readonly string[], options: RunOptions = {}): Promise<Run> {
  return runProgram(process.execPath, [MUTA, ...args], options);
}

/** Runs any program; standard input is empty unless given. */
export function runProgram(
  program: string,
  args: readonly string[],
  { stdin = "", env = {}, cwd = process.cwd(), hangUp = false }: RunOptions = {},
): Promise<Run> {
  return new Promise((done, fail) => {
    const inherited = Object.entries(process.env).filter(([name]) => !PAGE_SETTINGS.includes(name));
    const child = spawn(program, args, {
      cwd,
      env: { ...Object.fromEntries(inherited), ...env },
      timeout: WATCHDOG_MS,
      killSignal: "SIGKILL",
    });
    const stdout: Buffer[] = [];
    const stderr: Buffer[] = [];
    child.stdout.on("data", (piece: Buffer) => {
      stdout.push(piece);
      if (hangUp) child.stdout.destroy();
    });
    child.stderr.on("data", (piece: Buffer) => stderr.push(piece));
    child.on("error", fail);
    child.on("close", (code) => {
      done({
        code,
        stdout: Buffer.concat(stdout).toString("utf8"),
        stderr: Buffer.concat(stderr).toString("utf8"),
      });
    });
    // A command that ends before it has read its input is no fault of the test.
    child.stdin.on("error", () => undefined);
    child.stdin.end(stdin);
  });
}

/** A new folder with these files in it, removed when the test ends. */
export function temporaryFolder(files: Readonly<Record<string, string | Uint8Array>> = {}): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), "muta-test-")));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

/**
 * Bars of a clarinet part: one on B-flat, so many bars' rest under "muta in La", one on A.
 * 4/4 at quarter = 120, so that a bar lasts 2 s, and 1.887 s at the fast end of its tempo (6 %).
 */
export function changeBars(restBars: number, enterOn: readonly [number, number] = A): string[] {
  const first = attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT });
  return [
    first + metronome("quarter", "120") + note("C5", 4),
    ...Array.from({ length: restBars }, (_, k) => (k === 0 ? words("muta in La") : "") + rest(4)),
    attributes({ fifths: 0, transpose: enterOn }) + note("E5", 4),
  ];
}

/** Rests by the verdict they lead to: the usual hands need 3.5 s (see `USUAL_PROFILE`). */
export const REST_BARS = { ample: 6, workable: 3, tight: 2, impossible: 1 } as const;

/** A whole part with one change of that verdict. */
export function partWithChange(verdict: keyof typeof REST_BARS): string {
  return scoreXml([{ bars: changeBars(REST_BARS[verdict]) }]);
}

/** The lines of a text; that after the last line feed is none. */
export function linesOf(text: string): readonly string[] {
  return text.replace(/\n$/, "").split("\n");
}
