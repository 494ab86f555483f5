import type { WriteStream } from "node:tty";
import { clean } from "../reporters/util/clean.js";
import { widthOf } from "../reporters/util/layout.js";

/** How far a long run has come, for whoever watches. */
export interface Progress {
  /** One more is done; the name of it is shown. */
  readonly advance: (name: string) => void;
  /** A line that stays, above the bar. */
  readonly note: (text: string) => void;
  /** Takes the bar away. */
  readonly stop: () => void;
}

/** As much of a stream as is asked for. */
export type ProgressStream = Pick<WriteStream, "write" | "isTTY" | "columns">;

const BAR_CELLS = 24;
const LEAST_COLUMNS = 20;

/**
 * A bar on standard error where that is a terminal, else none: logs and pipes get notes only. Plain
 * characters without colours, whatever the settings; standard output is never touched.
 * @param total how many there are to do; null where nobody knows yet
 */
export async function showProgress(
  total: number | null,
  stream: ProgressStream = process.stderr,
): Promise<Progress> {
  const note = (text: string): void => {
    stream.write(`${text}\n`);
  };
  if (!stream.isTTY || process.env["TERM"] === "dumb" || total === 0) {
    return { advance: () => undefined, note, stop: () => undefined };
  }
  // Loaded only where there is somebody to watch.
  const { default: cliProgress } = await import("cli-progress");
  const bar = new cliProgress.SingleBar({
    stream: withoutSavedCursor(stream),
    format: (_, { value }, { name }: { readonly name?: string }) =>
      barLine(value, total, name ?? "", columnsOf(stream)),
    fps: 10,
    clearOnComplete: true,
    // Nothing is changed on the terminal that a sudden end could leave changed.
    hideCursor: false,
    linewrap: true,
    gracefulExit: false,
    // A note takes the line of the bar; the next turn draws it anew.
    forceRedraw: true,
  });
  bar.start(total ?? 0, 0, {});
  return {
    advance: (name) => {
      bar.increment(1, { name });
    },
    note: (text) => {
      stream.write("\r\u001b[K");
      note(text);
    },
    stop: () => {
      bar.stop();
    },
  };
}

const SAVED_CURSOR = new Set(["\u001b7", "\u001b8"]);

/**
 * The bar goes back to where it began in the end; by then notes have moved it down, and it would wipe
 * out one of them.
 */
function withoutSavedCursor(stream: ProgressStream): NodeJS.WritableStream {
  const facade: ProgressStream = {
    isTTY: stream.isTTY,
    get columns() {
      return stream.columns;
    },
    write: (text: string | Uint8Array) =>
      typeof text === "string" && SAVED_CURSOR.has(text) ? true : stream.write(text),
  };
  return facade as unknown as NodeJS.WritableStream;
}

function columnsOf({ columns }: ProgressStream): number {
  return Number.isInteger(columns) && columns > 0 ? Math.max(LEAST_COLUMNS, columns) : 80;
}

/**
 * "[######------------------] 15 of 60  name", no wider than the terminal (the last column stays free,
 * or some terminals begin a new line).
 * @param total null where nobody knows it: then only the count is shown, "15 done  name"
 * @param columns cells of the terminal
 */
export function barLine(done: number, total: number | null, name: string, columns: number): string {
  const count = total === null ? `${done} done` : `${done} of ${total}`;
  const bar = total === null ? count : `${barCells(done, total)} ${count}`;
  const line = bar.length < columns ? `${bar}  ${clean(name)}` : count;
  return cutToWidth(line, columns - 1).trimEnd();
}

function barCells(done: number, total: number): string {
  const filled = Math.floor((BAR_CELLS * Math.min(done, total)) / total);
  return `[${"#".repeat(filled)}${"-".repeat(BAR_CELLS - filled)}]`;
}

/** Whole characters as a reader sees them, as many as there is room for. */
function cutToWidth(text: string, cells: number): string {
  if (widthOf(text) <= cells) return text;
  let cut = "";
  for (const { segment } of new Intl.Segmenter().segment(text)) {
    if (widthOf(cut + segment) > cells) break;
    cut += segment;
  }
  return cut;
}
