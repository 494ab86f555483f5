import { perform, type JobOrder } from "../../src/cli/jobs/perform.js";
import { stayAlive } from "../../src/cli/jobs/stay-alive.js";
import { ODD_JOBS } from "./odd-jobs.js";

// src/cli/worker.ts with other jobs.
stayAlive();

export default (order: JobOrder): Promise<string> => perform(ODD_JOBS, order);
