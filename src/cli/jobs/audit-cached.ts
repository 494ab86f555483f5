import { readFile, stat } from "node:fs/promises";
import type { FileAudit, FileJob } from "../../model/season.js";
import { DEFAULT_MAX_BYTES } from "../../musicxml/source.js";
import { auditBytes, auditFile } from "../../season/audit-file.js";
import { cacheKey } from "../cache-key.js";
import { openCache, remember } from "../cache.js";
import { isErrno } from "../errno.js";

/** The audit of one file, and where results are kept. */
export interface CachedAudit {
  readonly job: FileJob;
  /** The folder of the cache; null for none. */
  readonly cache: string | null;
}

/** Audits one file, or takes the result of an earlier run on the same bytes with the same options. */
export async function auditCached({ job, cache: folder }: CachedAudit): Promise<FileAudit> {
  const bytes = folder === null ? undefined : await bytesOrNone(job.path);
  // Without bytes the reader of scores says what is wrong.
  if (folder === null || !bytes) return auditFile(job);
  // That results cannot be kept is no fault of the run; whoever asks for them anew only waits longer.
  const cache = openCache(folder, { notice: () => undefined });
  // Where the file lies makes no difference to what is in it.
  const key = cacheKey({ job: "audit", inputs: [bytes], options: { ...job, path: "" } });
  return remember(cache, key, () => auditBytes(bytes, job));
}

async function bytesOrNone(path: string): Promise<Buffer | undefined> {
  try {
    const found = await stat(path);
    // A pipe or a device may never come to an end.
    return found.isFile() && found.size <= DEFAULT_MAX_BYTES ? await readFile(path) : undefined;
  } catch (error) {
    if (isErrno(error)) return undefined;
    throw error;
  }
}
