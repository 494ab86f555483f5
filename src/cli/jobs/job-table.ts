import { auditCached } from "./audit-cached.js";

/**
 * Work that can be done in a worker: plain JSON in, plain JSON out. It may throw; that costs its own
 * result only.
 */
export type Job = (data: never) => Promise<unknown>;

/** Jobs by the name under which a worker is asked for them. */
export type JobTable = Readonly<Record<string, Job>>;

/** Everything a worker of ours can be asked for. */
export const JOBS = { auditCached } satisfies JobTable;
