import type { FileAudit, FileJob } from "../../model/season.js";
import type { Room } from "../../musicxml/file-bytes.js";
import { auditBytes, auditFile } from "../../season/audit-file.js";
import { cacheKey } from "../cache-key.js";
import type { CachePlace } from "../cache-secret.js";
import { openCache, remember } from "../cache.js";

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
    return await auditFile(job, room, (bytes) => auditOrRemember(bytes, job, cache));
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
