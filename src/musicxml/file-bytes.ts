import { closeSync, fstatSync, openSync, readSync, statSync, type Stats } from "node:fs";
import { InputError, type InputErrorCode } from "../model/input-error.js";
import { sizeText, type ReadLimits } from "./archive.js";

/** The longest full scores have some 50 MB; this leaves room and still fits any machine. */
const DEFAULT_MAX_BYTES = 256 * 1024 * 1024;

export const DEFAULT_LIMITS: ReadLimits = { maxBytes: DEFAULT_MAX_BYTES };

/** The system takes no more than 2 GiB in one read. */
const MAX_READ_BYTES = 1 << 30;

/** Room for the bytes of one file after another; it grows to that of the largest. */
export interface Room {
  buffer: Buffer;
}

/**
 * The bytes of a file as they are, packed or not.
 * @param room where they are put, and are until it is used again; a room of their own where none is given
 * @throws InputError `not-found`, `not-a-file`, `unreadable`, `too-large`
 */
export function readFileBytes(
  path: string,
  limits: ReadLimits = DEFAULT_LIMITS,
  room: Room = { buffer: Buffer.alloc(0) },
): Buffer {
  try {
    // Asked before opening: opening a pipe would wait for a writer.
    refuseSpecial(statSync(path));
    const file = openSync(path, "r");
    try {
      // Asked again of what was opened, which may be another file by now.
      const now = fstatSync(file);
      refuseSpecial(now);
      if (now.size > limits.maxBytes) throw tooLarge(limits, now.size);
      if (room.buffer.length < now.size) room.buffer = Buffer.allocUnsafeSlow(now.size);
      return readInto(file, room.buffer.subarray(0, now.size));
    } finally {
      closeSync(file);
    }
  } catch (error) {
    throw error instanceof InputError ? error : systemFailure(error);
  }
}

/** @returns what of it could be filled: less where somebody is making the file shorter */
function readInto(file: number, bytes: Buffer): Buffer {
  let length = 0;
  while (length < bytes.length) {
    const wanted = Math.min(bytes.length - length, MAX_READ_BYTES);
    const read = readSync(file, bytes, length, wanted, length);
    if (read === 0) break;
    length += read;
  }
  return bytes.subarray(0, length);
}

function refuseSpecial(stats: Stats): void {
  if (stats.isFile()) return;
  throw new InputError(
    "not-a-file",
    stats.isDirectory()
      ? "this is a folder, not a file"
      : stats.isFIFO()
        ? "this is a pipe, not a file: give - to read from standard input"
        : "this is a device or socket, not a file",
  );
}

export function tooLarge(limits: ReadLimits, bytes?: number): InputError {
  const size = bytes === undefined ? "the input is" : `the file has ${sizeText(bytes)},`;
  return new InputError("too-large", `${size} more than the limit of ${sizeText(limits.maxBytes)}`);
}

/** What the operating system refused, in plain words; anything else is a bug and goes on as it is. */
export function systemFailure(error: unknown): unknown {
  if (!(error instanceof Error) || !("code" in error) || typeof error.code !== "string") {
    return error;
  }
  const [code, message] = ((): readonly [InputErrorCode, string] => {
    switch (error.code) {
      case "ENOENT":
      case "ENOTDIR":
      // A name with a NUL character in it, which no file system has.
      case "ERR_INVALID_ARG_VALUE":
        return ["not-found", "no such file"];
      case "EISDIR":
        return ["not-a-file", "this is a folder, not a file"];
      case "EACCES":
      case "EPERM":
        return ["unreadable", "no permission to read it"];
      default:
        return ["unreadable", `it cannot be read (${error.code})`];
    }
  })();
  return new InputError(code, message, { cause: error });
}
