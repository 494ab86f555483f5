import { InputError } from "../model/input-error.js";
import type { PerformanceWishes, RepeatChoice } from "../model/tempo.js";
import { failureOf, failureText } from "./load.js";
import { UsageError } from "./usage-error.js";

/** What the user knows of the performance, as given on the command line. */
export interface WishOptions {
  /** A tempo sheet. */
  readonly tempo?: string;
  /** Tables of timings. */
  readonly recording: readonly string[];
  readonly repeats?: string;
}

/**
 * Reads the files that the options name.
 * @throws UsageError when one cannot be used
 */
export async function loadWishes(options: WishOptions): Promise<PerformanceWishes> {
  const { tempo, recording, repeats } = options;
  // Loaded only when asked for: most runs need neither the schemas nor the parsers.
  const tempoSheet =
    tempo === undefined
      ? undefined
      : await orUsageError(tempo, async () => {
          const { readTempoSheet } = await import("./tempo-sheet-file.js");
          return readTempoSheet(tempo);
        });
  const recordings = [];
  for (const path of recording) {
    recordings.push(
      await orUsageError(path, async () => {
        const { readRecording } = await import("./recording-file.js");
        return readRecording(path);
      }),
    );
  }
  return {
    ...(tempoSheet && { tempoSheet }),
    ...(recordings.length > 0 && { recordings }),
    ...(repeats !== undefined && { repeats: repeatChoice(repeats) }),
  };
}

/** The files among the options, which are never written to. */
export function wishFiles({ tempo, recording }: WishOptions): readonly string[] {
  return [...(tempo === undefined ? [] : [tempo]), ...recording];
}

/** Reads a file that an option names; one that cannot be used is a wrong use of the command. */
export async function orUsageError<T>(path: string, read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    if (error instanceof InputError) throw new UsageError(failureText(failureOf(error, path)));
    throw error;
  }
}

/** "all", "first-only", "none", or the bars that the repeats taken end at: "24,89". */
function repeatChoice(text: string): RepeatChoice {
  if (text === "all" || text === "first-only" || text === "none") return text;
  const labels = text.split(",").map((label) => label.trim());
  if (labels.some((label) => label === "")) {
    throw new UsageError(
      `--repeats takes all, first-only, none, or the bars the repeats end at, such as 24,89; not "${text}"`,
    );
  }
  return labels;
}
