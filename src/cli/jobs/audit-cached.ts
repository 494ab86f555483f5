import { closeSync, fstatSync, openSync, readSync, statSync } from "node:fs";
import type { FileAudit, FileJob } from "../../model/season.js";
import { DEFAULT_MAX_BYTES } from "../../musicxml/source.js";
import { auditBytes, auditFile } from "../../season/audit-file.js";
import { cacheKey } from "../cache-key.js";
import type { CachePlace } from "../cache-secret.js";
import { openCache, remember } from "../cache.js";
import { isErrno } from "../errno.js";

/** The audit of one file, and where results are kept. */
export interface CachedAudit {
  readonly job: FileJob;
  /** The cache; null for none. */
  readonly cache: CachePlace | null;
}

/** Audits one file, or takes the result of an earlier run on the same bytes with the same options. */
export async function auditCached({ job, cache }: CachedAudit): Promise<FileAudit> {
  const room = takeRoom();
  try {
    const bytes = bytesOrNone(job.path, room);
    // Without bytes the reader of scores says what is wrong.
    return await (bytes ? auditOrRemember(bytes, job, cache) : auditFile(job));
  } finally {
    idle = room;
  }
}

async function auditOrRemember(
  bytes: Buffer,
  job: FileJob,
  place: CachePlace | null,
): Promise<FileAudit> {
  if (!place) return auditBytes(bytes, job);
  const { folder, secret } = place;
  // That results cannot be kept is no fault of the run; whoever asks for them anew only waits longer.
  const cache = openCache(folder, { notice: () => undefined });
  // Where the file lies makes no difference to what is in it.
  const options = { ...job, path: "" };
  const key = cacheKey({ job: "audit", inputs: [bytes], options, secret });
  return remember(cache, key, () => auditBytes(bytes, job));
}

/** Room for the bytes of one file; it grows to that of the largest. */
interface Room {
  buffer: Buffer;
}

/**
 * Kept from file to file: where all results are at hand, making room is half of the work; where none is, the
 * engine looks through all it holds after every few files, because it reckons with what lies in such rooms.
 */
let idle: Room | undefined;

/** One of its own for every job at work. */
function takeRoom(): Room {
  const room = idle ?? { buffer: Buffer.alloc(0) };
  idle = undefined;
  return room;
}

/** The bytes of a file, in the room given; undefined where they cannot be had. */
function bytesOrNone(path: string, room: Room): Buffer | undefined {
  try {
    // A pipe or a device may never come to an end, nor be opened.
    if (!statSync(path).isFile()) return undefined;
    const file = openSync(path, "r");
    try {
      const { size } = fstatSync(file);
      return size > DEFAULT_MAX_BYTES ? undefined : readWhole(file, size, room);
    } finally {
      closeSync(file);
    }
  } catch (error) {
    if (isErrno(error)) return undefined;
    throw error;
  }
}

/** @returns undefined where the file is not as long as it was said to be: somebody is writing it */
function readWhole(file: number, size: number, room: Room): Buffer | undefined {
  // A byte more than there is, to see the end.
  if (room.buffer.length <= size) room.buffer = Buffer.allocUnsafeSlow(size + 1);
  let length = 0;
  for (let read = 1; read > 0 && length <= size; length += read) {
    read = readSync(file, room.buffer, length, size + 1 - length, null);
  }
  return length === size ? room.buffer.subarray(0, size) : undefined;
}
