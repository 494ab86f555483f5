import { selectParts } from "../instruments/select-parts.js";
import { InputError } from "../model/input-error.js";
import { openScore, type ListedPart, type ScoreDocument } from "../musicxml/document.js";
import { EXIT, type ExitCode } from "./exit-codes.js";
import { complain, failureOf, failureText, loadBytes } from "./load.js";
import { writeResult } from "./output.js";
import { UsageError } from "./usage-error.js";
import { wishFiles, type WishOptions } from "./wishes.js";

/**
 * The one part that is to be written anew.
 * @param done what is done to it, for the message: "rewritten"
 * @param narrow leaves those of the parts that are in question
 * @throws InputError `no-matching-part` where there is none, or several
 */
export function onePart(
  parts: readonly ListedPart[],
  pattern: string | undefined,
  done: string,
  narrow = (chosen: readonly ListedPart[]) => chosen,
): ListedPart {
  const [part, ...others] = narrow(selectParts(parts, pattern === undefined ? [] : [pattern]));
  if (part && others.length === 0) return part;
  const names = [...(part ? [part] : []), ...others].map(({ id, name }) => `${id} ${name}`.trim());
  throw new InputError(
    "no-matching-part",
    `one part is ${done} at a time; choose with --part from ${names.join(", ")}`,
  );
}

/** Where a document goes that is written anew, and what it must not be written over. */
export interface WritingOptions extends WishOptions {
  readonly profile?: string;
  readonly out?: string;
  readonly force: boolean;
}

/**
 * Opens a file, has it written anew, and delivers the result whole or not at all.
 * @param work may throw InputError, which is told
 */
export async function writeAnew(
  file: string,
  options: WritingOptions,
  work: (bytes: Buffer, score: ScoreDocument) => Buffer,
): Promise<ExitCode> {
  const { out, force, profile } = options;
  try {
    const bytes = await loadBytes(file);
    const written = work(bytes, openScore(bytes));
    const inputs = [file, ...wishFiles(options), ...(profile === undefined ? [] : [profile])];
    await writeResult(written, { path: out, force, inputs });
    return EXIT.clean;
  } catch (error) {
    complain(failureText(failureOf(error, file)));
    return EXIT.badInput;
  }
}

/** @throws UsageError for a name by which the result would be taken for a compressed file */
export function refuseCompressed(out: string | undefined): void {
  if (out !== undefined && /\.mxl$/i.test(out)) {
    throw new UsageError(`the result is not compressed: name it .musicxml, not ${out}`);
  }
}
