import { randomUUID } from "node:crypto";
import { link, open, realpath, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { isErrno } from "./errno.js";
import { UsageError } from "./usage-error.js";

/** Where a result goes and what it may replace. */
export interface OutputTarget {
  /** A path; undefined or `-` for standard output. */
  readonly path: string | undefined;
  readonly force: boolean;
  /** The files that were read, which are never written to. */
  readonly inputs: readonly string[];
}

/** What other programs read, and a page of text under such a name would be no such thing. */
const OTHER_KINDS: ReadonlySet<string> = new Set([
  ...["ods", "xls", "xlsx", "xlsm", "odt", "doc", "docx", "rtf", "pdf", "htm", "html"],
]);

/**
 * The format a file name asks for by its ending: its reader will expect that; else text.
 * @throws UsageError where the ending is that of a kind of file that cannot be written
 */
export function formatByEnding<const Format extends string>(
  path: string | undefined,
  formats: readonly Format[],
): Format | "text" {
  const ending = /\.([a-z]+)$/i.exec(path ?? "")?.[1]?.toLowerCase();
  const format = formats.find((each) => each === ending);
  if (format === undefined && ending !== undefined && OTHER_KINDS.has(ending)) {
    throw new UsageError(
      `muta cannot write .${ending}: end the name in ${formats.map((each) => `.${each}`).join(", ")} or .txt`,
    );
  }
  return format ?? "text";
}

/**
 * Writes a result whole or not at all: to a file beside the target first, which then takes its name.
 * @throws UsageError when the target exists and `force` is off, is an input, or cannot be written
 */
export async function writeResult(text: string | Uint8Array, target: OutputTarget): Promise<void> {
  const { path, force, inputs } = target;
  if (path === undefined || path === "-") {
    await writeStdout(text);
    return;
  }
  await refuseInput(path, inputs);
  try {
    await writeWhole(text, path, force);
  } catch (error) {
    throw writeFault(error, path);
  }
}

/**
 * Writes lines as they come, to a file whole or not at all, as `writeResult` does.
 * @returns whether all were taken; not where the reader of standard output went away (`| head`), and then no
 *   more lines are asked for
 * @throws UsageError as `writeResult` does, and what making the lines throws
 */
export async function writeLines(
  lines: Iterable<string> | AsyncIterable<string>,
  { path, force, inputs }: OutputTarget,
): Promise<boolean> {
  if (path === undefined || path === "-") {
    for await (const line of lines) {
      if (!(await writeStdout(line))) return false;
    }
    return true;
  }
  await refuseInput(path, inputs);
  try {
    await writeWhole(lines, path, force);
  } catch (error) {
    throw error instanceof UsageError ? error : writeFault(error, path);
  }
  return true;
}

async function writeWhole(
  text: string | Uint8Array | Iterable<string> | AsyncIterable<string>,
  path: string,
  force: boolean,
): Promise<void> {
  const draft = join(dirname(path), `.muta-${randomUUID()}`);
  const file = await open(draft, "wx");
  try {
    try {
      await writeFile(file, text, "utf8");
      await file.sync();
    } finally {
      await file.close();
    }
    if (!force) await claim(draft, path);
    else await rename(draft, path);
  } finally {
    await rm(draft, { force: true });
  }
}

/** @throws UsageError where a path is that of one of the inputs */
export async function refuseInput(path: string, inputs: readonly string[]): Promise<void> {
  const real = await realPathOrSame(path);
  for (const input of inputs) {
    if (input !== "-" && (await realPathOrSame(input)) === real) {
      throw new UsageError(`${path} is one of the inputs and is not written to`);
    }
  }
}

const NO_LINKS = new Set(["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS"]);

/** Gives the draft its name where that is free; nothing can slip in between a check and the write. */
async function claim(draft: string, path: string): Promise<void> {
  try {
    await link(draft, path);
  } catch (error) {
    if (!isErrno(error) || !NO_LINKS.has(error.code ?? "")) throw error;
    // A file system without links (a memory stick): the name is taken first, then replaced.
    await (await open(path, "wx")).close();
    await rename(draft, path);
  }
}

/** What cannot be reached cannot be an input; its name stands for itself, and writing will tell why. */
async function realPathOrSame(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (isErrno(error)) return path;
    throw error;
  }
}

function writeFault(error: unknown, path: string): Error {
  if (!isErrno(error)) return error instanceof Error ? error : new Error(String(error));
  if (error.code === "EEXIST") return new UsageError(`${path} exists; give --force to replace it`);
  return new UsageError(`cannot write ${path}: ${error.code ?? error.message}`);
}

/**
 * Resolves when the text has been taken; a reader that went away (`| head`) is no fault.
 * @returns whether it was taken
 * @throws UsageError when standard output cannot be written, on a full disk say
 */
export function writeStdout(text: string | Uint8Array): Promise<boolean> {
  return new Promise((resolve, reject) => {
    process.stdout.write(text, (error) => {
      if (!error) resolve(true);
      else if (isErrno(error) && error.code === "EPIPE") resolve(false);
      else reject(writeFault(error, "standard output"));
    });
  });
}
