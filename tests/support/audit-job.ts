import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { CachedAudit } from "../../src/cli/jobs/audit-cached.js";

/** The audit of all clarinets of a file with the usual hands, kept nowhere. */
export function auditJob(path: string): CachedAudit {
  const job = { path, file: path, parts: [], tacet: false, seats: [], profile: USUAL_PROFILE };
  return { job: { ...job, wishes: {} }, cache: null };
}
