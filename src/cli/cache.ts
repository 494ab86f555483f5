import { createHash, randomUUID } from "node:crypto";
import { mkdir, readdir, readFile, rename, rm, stat, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { isErrno } from "./errno.js";

/** Results of earlier runs. Never a source of errors: what cannot be read is not there. */
export interface ResultCache {
  /** What was stored under a key (see `cacheKey`), as plain data; undefined where nothing good is. */
  readonly read: (key: string) => Promise<unknown>;
  /** Stores plain data, whole or not at all. */
  readonly write: (key: string, value: unknown) => Promise<void>;
}

export interface CacheOptions {
  /** Hears, once, why results cannot be kept. */
  readonly notice: (text: string) => void;
  /** About how much all entries may take together. */
  readonly limitBytes?: number;
}

/** `--no-cache`. */
export const NO_CACHE: ResultCache = {
  read: () => Promise.resolve(undefined),
  write: () => Promise.resolve(),
};

const DEFAULT_LIMIT_BYTES = 256 * 1024 * 1024;

/** Entries lie in as many folders, by the first digit of their key. Keys are hashes, so evenly. */
const SHARDS = 16;

/** What one entry may take of its shard; a single result is not to drive out all others. */
const LARGEST_SHARE = 0.25;

/** A full shard is emptied to this part of its limit, so that it is not full again at once. */
const KEPT_SHARE = 0.8;

/** An entry that was used is only marked as young again when it is older than this. */
const YOUNG_MS = 24 * 3600 * 1000;

/** What a killed run left half-written is removed when nobody can be writing it any more. */
const ABANDONED_MS = 3600 * 1000;

const KEY = /^[0-9a-f]{64}$/;
/** How the names of files begin that are being written. */
const DRAFT = ".draft-";

/**
 * A result from the cache, or worked out now and stored. What comes back is plain data either way.
 * @param key holds everything that the result depends on (see `cacheKey`)
 */
export async function remember<Value>(
  cache: ResultCache,
  key: string,
  work: () => Promise<Value>,
): Promise<Value> {
  const known = await cache.read(key);
  if (known !== undefined) return known as Value;
  const value = await work();
  await cache.write(key, value);
  return value;
}

/**
 * The cache in a folder, which is made when the first result is stored. Several runs may use it at once.
 *
 * An entry is a file named by its key: one line with the SHA-256 of key and text, then the text (JSON).
 * It is written beside its place and renamed, so it is there whole or not at all, and the sum tells
 * where a disk or another program damaged it.
 */
export function openCache(folder: string, options: CacheOptions): ResultCache {
  const limitBytes = (options.limitBytes ?? DEFAULT_LIMIT_BYTES) / SHARDS;
  let broken = false;
  return {
    read: async (key) => readEntry(entryPath(folder, key), key),
    write: async (key, value) => {
      if (value === undefined) throw new RangeError("nothing to store");
      if (broken) return;
      const content = entryContent(key, JSON.stringify(value));
      if (content.byteLength > limitBytes * LARGEST_SHARE) return;
      const path = entryPath(folder, key);
      try {
        await writeEntry(path, key, content);
        if (tidiesUp(key)) await tidy(join(path, ".."), limitBytes);
      } catch (error) {
        if (!isErrno(error)) throw error;
        broken = true;
        options.notice(
          `results cannot be kept for the next run in ${folder}: ${error.code ?? error.message}`,
        );
      }
    },
  };
}

function entryPath(folder: string, key: string): string {
  if (!KEY.test(key)) throw new RangeError("no key of the cache");
  return join(folder, key.slice(0, 1), key.slice(1));
}

function entryContent(key: string, text: string): Buffer {
  return Buffer.from(`${checkSum(key, text)}\n${text}`);
}

/** The key is part of the sum: a good entry under the name of another is none. */
function checkSum(key: string, text: string): string {
  return createHash("sha256").update(key).update(text).digest("hex");
}

async function readEntry(path: string, key: string): Promise<unknown> {
  const content = await readOrNone(path);
  if (content === undefined) return undefined;
  const text = content.toString("utf8", 65);
  // Compared as bytes: damaged text could decode to the same characters.
  if (!content.equals(entryContent(key, text))) return undefined;
  await rejuvenate(path);
  return parseOrNone(text);
}

/** A sum can be right over what is no JSON, where somebody made the entry by hand. */
function parseOrNone(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** Whatever keeps an entry from being read, the result can be worked out anew. */
async function readOrNone(path: string): Promise<Buffer | undefined> {
  try {
    return await readFile(path);
  } catch (error) {
    if (isErrno(error)) return undefined;
    throw error;
  }
}

/** The entries used last are dropped last. */
async function rejuvenate(path: string): Promise<void> {
  try {
    const now = Date.now();
    const { mtimeMs } = await stat(path);
    if (Math.abs(now - mtimeMs) > YOUNG_MS) await utimes(path, now / 1000, now / 1000);
  } catch (error) {
    // Another run has just dropped it, or the folder may only be read: it has been read all the same.
    if (!isErrno(error)) throw error;
  }
}

/** Replaces what a rename cannot on Windows while another run reads it. */
const TAKEN = new Set(["EPERM", "EACCES", "EBUSY"]);

/**
 * Writes what is to be renamed to a path, beside it and for nobody else to read; the folder is made.
 * @returns the path of the draft; where it cannot be written whole, nothing is left of it
 */
export async function writeDraft(path: string, content: Buffer): Promise<string> {
  const folder = join(path, "..");
  const draft = join(folder, `${DRAFT}${randomUUID()}`);
  await mkdir(folder, { recursive: true, mode: 0o700 });
  try {
    await writeFile(draft, content, { flag: "wx", mode: 0o600 });
  } catch (error) {
    await rm(draft, { force: true });
    throw error;
  }
  return draft;
}

async function writeEntry(path: string, key: string, content: Buffer): Promise<void> {
  const draft = await writeDraft(path, content);
  try {
    await rename(draft, path);
  } catch (error) {
    await rm(draft, { force: true });
    // Another run has stored the same result and has it open.
    if (isErrno(error) && TAKEN.has(error.code ?? "")) {
      if ((await readEntry(path, key)) !== undefined) return;
    }
    throw error;
  }
}

/** One write in 32 looks after its shard: keys are hashes, so no count has to be kept anywhere. */
function tidiesUp(key: string): boolean {
  return parseInt(key.slice(-2), 16) < 8;
}

/** Removes drafts nobody writes any more and, past the limit, the entries that were not used longest. */
async function tidy(shard: string, limitBytes: number): Promise<void> {
  const now = Date.now();
  const entries: { path: string; size: number; usedMs: number }[] = [];
  for (const name of await readdir(shard)) {
    const path = join(shard, name);
    const found = await statOrNone(path);
    if (!found?.isFile()) continue;
    if (!name.startsWith(DRAFT)) entries.push({ path, size: found.size, usedMs: found.mtimeMs });
    else if (now - found.mtimeMs > ABANDONED_MS) await rm(path, { force: true });
  }
  let total = entries.reduce((sum, { size }) => sum + size, 0);
  if (total <= limitBytes) return;
  for (const { path, size } of entries.sort((a, b) => a.usedMs - b.usedMs)) {
    if (total <= limitBytes * KEPT_SHARE) return;
    await rm(path, { force: true });
    total -= size;
  }
}

async function statOrNone(path: string) {
  try {
    return await stat(path);
  } catch (error) {
    // Another run tidies up at the same time.
    if (isErrno(error) && error.code === "ENOENT") return undefined;
    throw error;
  }
}
