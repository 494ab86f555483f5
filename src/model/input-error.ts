/** Why an input could not be read. Part of the output, so a code is never renamed. */
export const INPUT_ERROR_CODES = [
  // The file as such.
  "not-found",
  "not-a-file",
  "unreadable",
  "empty",
  "too-large",
  "unknown-format",
  "bad-encoding",
  // A compressed file.
  "bad-archive",
  "encrypted-archive",
  "unsafe-path-in-archive",
  "no-score-in-archive",
  // The document.
  "not-well-formed",
  "truncated",
  "not-musicxml",
  "entity-declaration",
  "too-deep",
  "no-parts",
  "endless-repeat",
  // What the player asked of it.
  "no-matching-part",
  "unknown-instrument",
  "bad-profile",
  "bad-tempo-sheet",
  "bad-recording",
  "bad-season",
  "no-matching-bar",
  "no-matching-repeat",
  "no-matching-passage",
  "no-instrument-left",
  "too-entangled",
  "not-rewritable",
] as const;
export type InputErrorCode = (typeof INPUT_ERROR_CODES)[number];

/** Where in the score the trouble is, and the error that brought it to light. */
export interface InputErrorDetails {
  readonly part?: string | undefined;
  readonly bar?: string | undefined;
  readonly cause?: unknown;
}

/** What could end a line, ring a bell or turn the direction of writing on a terminal. */
const UNPRINTABLE = /[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]+/gu;

/**
 * An input that cannot be read: a fault of the file, never of the program. In a batch it becomes
 * a row and the other files go on.
 *
 * The message is one plain line without the name of the file, which the caller puts before it.
 * Text quoted from the file loses its control characters here, so no message can be a trick.
 * @example new InputError("truncated", "the file ends inside <note>", { part: "P1", bar: "12" })
 */
export class InputError extends Error {
  override readonly name = "InputError";
  readonly code: InputErrorCode;
  declare readonly part?: string;
  declare readonly bar?: string;

  constructor(code: InputErrorCode, message: string, details: InputErrorDetails = {}) {
    super(
      message.replace(UNPRINTABLE, " ").trim(),
      details.cause === undefined ? {} : { cause: details.cause },
    );
    this.code = code;
    if (details.part !== undefined) this.part = details.part;
    if (details.bar !== undefined) this.bar = details.bar;
  }
}
