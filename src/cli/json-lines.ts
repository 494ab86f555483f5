import { createReadStream } from "node:fs";
import { TextDecoder } from "node:util";
import * as v from "valibot";
import { isErrno } from "./errno.js";
import { PROTOTYPE_NAMES } from "./profile-file.js";
import { UsageError } from "./usage-error.js";

/** A line of a file, without its line feed. */
export interface Line {
  /** From 1. */
  readonly number: number;
  /** Null where the line is longer than allowed. */
  readonly bytes: Buffer | null;
}

/** What a line was found to be, or why it is of no use: `profile.name: must be a text`. */
export type Checked<Value> =
  { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly fault: string };

/**
 * The lines of a file, or of standard input for `-`, read as they are asked for. Empty ones are passed over.
 * Whoever leaves them early closes the file.
 * @param limitBytes the longest line; of a longer one no more than that is ever held
 * @throws UsageError where the file cannot be read
 */
export async function* readLines(path: string, limitBytes: number): AsyncGenerator<Line> {
  const stream = path === "-" ? process.stdin : createReadStream(path);
  try {
    yield* linesOf(stream as AsyncIterable<Buffer>, limitBytes);
  } catch (error) {
    if (!isErrno(error)) throw error;
    const name = path === "-" ? "standard input" : path;
    const what =
      error.code === "ENOENT"
        ? "there is no such file"
        : `cannot be read (${error.code ?? error.message})`;
    throw new UsageError(`${name}: ${what}`);
  } finally {
    stream.destroy();
  }
}

const LINE_FEED = 0x0a;

/** The lines of a stream; see `readLines`. */
export async function* linesOf(
  stream: AsyncIterable<Buffer>,
  limitBytes: number,
): AsyncGenerator<Line> {
  let number = 1;
  let pieces: Buffer[] = [];
  let length = 0;
  const line = (): Line => ({ number, bytes: length > limitBytes ? null : Buffer.concat(pieces) });
  for await (const chunk of stream) {
    let from = 0;
    for (;;) {
      const end = chunk.indexOf(LINE_FEED, from);
      const piece = chunk.subarray(from, end < 0 ? chunk.length : end);
      length += piece.length;
      if (length > limitBytes) pieces = [];
      else pieces.push(piece);
      if (end < 0) break;
      if (length > 0) yield line();
      number++;
      pieces = [];
      length = 0;
      from = end + 1;
    }
  }
  if (length > 0) yield line();
}

const DECODER = new TextDecoder("utf-8", { fatal: true });

/** The JSON object on a line. What is in it is still to be checked; no field has a name that all objects have. */
export function readObject({ bytes }: Line): Checked<Readonly<Record<string, unknown>>> {
  if (bytes === null) return { ok: false, fault: "the line is too long" };
  let value: unknown;
  try {
    value = JSON.parse(DECODER.decode(bytes));
  } catch (error) {
    if (!(error instanceof SyntaxError) && !(error instanceof TypeError)) throw error;
    const fault = error instanceof SyntaxError ? "is not readable as JSON" : "is not valid UTF-8";
    return { ok: false, fault };
  }
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return { ok: false, fault: "is no JSON object" };
  }
  const name = prototypeName(value);
  if (name !== undefined) return { ok: false, fault: `"${name}" is not the name of a field` };
  return { ok: true, value: value as Readonly<Record<string, unknown>> };
}

/** A name among the fields that the schemas would pass over in silence. A loop, since it may be nested deeply. */
function prototypeName(root: object): string | undefined {
  const open: object[] = [root];
  for (let next = open.pop(); next; next = open.pop()) {
    if (!Array.isArray(next)) {
      const name = Object.keys(next).find((key) => PROTOTYPE_NAMES.includes(key));
      if (name !== undefined) return name;
    }
    for (const each of Object.values(next) as unknown[]) {
      if (typeof each === "object" && each !== null) open.push(each);
    }
  }
  return undefined;
}

/**
 * Holds plain data against its shape. What comes back is the very data that went in, its fields in their order,
 * so that what is written from it is the same to the byte.
 * @param schema without defaults and without anything that makes one value of another
 */
export function checkShape<Value>(schema: v.GenericSchema, raw: unknown): Checked<Value> {
  const result = v.safeParse(schema, raw, { abortEarly: true });
  if (result.success) return { ok: true, value: raw as Value };
  const [issue] = result.issues;
  const path = v.getDotPath(issue);
  return { ok: false, fault: path === null ? issue.message : `${path}: ${issue.message}` };
}

/** What is wrong with a line, for one line on standard error: `jobs.ndjson: line 3: is not readable as JSON`. */
export function lineFault(path: string, { number }: Line, fault: string): string {
  return `${path === "-" ? "standard input" : path}: line ${number}: ${fault}`;
}
