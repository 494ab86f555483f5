import { clearAway } from "./engine.js";
import { JOBS } from "./jobs/job-table.js";
import { perform, type JobOrder } from "./jobs/perform.js";
import { stayAlive } from "./jobs/stay-alive.js";

// The entry of a worker: bundled as dist/worker.js, and run by the pool only.
stayAlive();

export default async (order: JobOrder): Promise<string> => {
  const result = await perform(JOBS, order);
  clearAway();
  return result;
};
