import { selectParts } from "../instruments/select-parts.js";
import { InputError } from "../model/input-error.js";
import type { ListedPart } from "../musicxml/document.js";
import { UsageError } from "./usage-error.js";

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

/** @throws UsageError for a name by which the result would be taken for a compressed file */
export function refuseCompressed(out: string | undefined): void {
  if (out !== undefined && /\.mxl$/i.test(out)) {
    throw new UsageError(`the result is not compressed: name it .musicxml, not ${out}`);
  }
}
