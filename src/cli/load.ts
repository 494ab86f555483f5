import { InputError } from "../model/input-error.js";
import type { InputFailure } from "../model/report.js";
import { openScore, type ScoreDocument } from "../musicxml/document.js";
import { readScoreFile, readScoreStream } from "../musicxml/source.js";
import { UsageError } from "./usage-error.js";
import { cleanTo } from "../reporters/util/clean.js";

/** Standard input is there once only. */
export function refuseSecondStdin(files: readonly string[]): void {
  if (files.filter((file) => file === "-").length > 1) {
    throw new UsageError("standard input (-) can be read only once");
  }
}

/** Reads a file, or standard input for `-`: UTF-8, unpacked. @throws InputError */
export async function loadBytes(file: string): Promise<Buffer> {
  const source =
    file === "-"
      ? await readScoreStream(process.stdin, "standard input")
      : await readScoreFile(file);
  return source.bytes;
}

/** Opens a file, or standard input for `-`. @throws InputError */
export async function loadScore(file: string): Promise<ScoreDocument> {
  return openScore(await loadBytes(file));
}

/** What went wrong with an input, as a row. Anything that is no `InputError` is a bug and is thrown on. */
export function failureOf(error: unknown, file: string): InputFailure {
  if (!(error instanceof InputError)) throw error;
  const { code, message, part, bar } = error;
  return {
    file,
    code,
    message,
    ...(part !== undefined && { part }),
    ...(bar !== undefined && { bar }),
  };
}

/** Long enough for the list of the parts or instruments there are. */
const LONGEST_COMPLAINT = 4000;

/** "part.xml: part P2, bar 41: message", in one line without control characters. */
export function failureText({ file, part, bar, message }: InputFailure): string {
  const place = [
    ...(part !== undefined && part !== "" ? [`part ${part}`] : []),
    ...(bar !== undefined && bar !== "" ? [`bar ${bar}`] : []),
  ].join(", ");
  const name = file === "-" ? "standard input" : file;
  return cleanTo([name, place, message].filter(Boolean).join(": "), LONGEST_COMPLAINT);
}

/** One line on standard error. */
export function complain(text: string): void {
  process.stderr.write(`muta: ${text}\n`);
}
