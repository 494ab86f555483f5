import { homedir } from "node:os";
import { isAbsolute, join, resolve } from "node:path";

/**
 * Where results are kept from one run to the next: `MUTA_CACHE`, else the user's folder for caches
 * (XDG Base Directory Specification 0.8: a relative XDG_CACHE_HOME is not to be heeded).
 * @returns undefined where the system names no home either
 */
export function cacheFolder(
  env: Readonly<Record<string, string | undefined>> = process.env,
  platform: NodeJS.Platform = process.platform,
): string | undefined {
  const own = env["MUTA_CACHE"] ?? "";
  if (own !== "") return resolve(own);
  const base = platform === "win32" ? env["LOCALAPPDATA"] : env["XDG_CACHE_HOME"];
  if (base !== undefined && isAbsolute(base)) return join(base, "muta");
  const home = env["HOME"] ?? homeOrNone();
  return home === undefined || !isAbsolute(home) ? undefined : join(home, ".cache", "muta");
}

/** A user that the system does not know (in a container, say) has no home. */
function homeOrNone(): string | undefined {
  try {
    return homedir();
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "ERR_SYSTEM_ERROR") return;
    throw error;
  }
}
