import { randomBytes } from "node:crypto";
import { link, readFile, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { cacheFolder } from "./cache-folder.js";
import { writeDraft } from "./cache.js";
import { isErrno } from "./errno.js";

/** Where results are kept, and what their keys are made with. */
export interface CachePlace {
  readonly folder: string;
  /** In hexadecimal. */
  readonly secret: string;
}

const SECRET_BYTES = 32;

/** The cache of the user; null where the system names no folder for it. */
export async function cachePlace(): Promise<CachePlace | null> {
  const folder = cacheFolder();
  return folder === undefined ? null : { folder, secret: await cacheSecret(folder) };
}

/**
 * The secret of a cache, made by the first run that asks for it, in hexadecimal. Nothing depends on it but
 * whether results are found again: one that is lost or damaged makes all results strange, one that cannot be
 * kept lasts for this run.
 */
export async function cacheSecret(folder: string): Promise<string> {
  const path = join(folder, "secret");
  const known = await readSecret(path);
  if (known !== undefined) return known;
  const own = randomBytes(SECRET_BYTES);
  await keepSecret(path, own);
  // That of another run, where it was faster.
  return (await readSecret(path)) ?? own.toString("hex");
}

async function readSecret(path: string): Promise<string | undefined> {
  try {
    const bytes = await readFile(path);
    return bytes.length === SECRET_BYTES ? bytes.toString("hex") : undefined;
  } catch (error) {
    if (isErrno(error)) return undefined;
    throw error;
  }
}

async function keepSecret(path: string, secret: Buffer): Promise<void> {
  try {
    const draft = await writeDraft(path, secret);
    try {
      await putInPlace(draft, path);
    } finally {
      await rm(draft, { force: true });
    }
  } catch (error) {
    // Nothing can be written there: the results of this run will not be kept either.
    if (!isErrno(error)) throw error;
  }
}

/** The first of several runs wins, or what one of them has kept already would be lost. */
async function putInPlace(draft: string, path: string): Promise<void> {
  try {
    await link(draft, path);
  } catch (error) {
    if (!isErrno(error)) throw error;
    // Damaged, or a disk without links.
    if ((await readSecret(path)) === undefined) await rename(draft, path);
  }
}
