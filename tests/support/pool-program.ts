import { writeSync } from "node:fs";
import { abortOnInterrupt } from "../../src/cli/interrupt.js";
import { runJobs } from "../../src/cli/pool.js";
import { auditJob } from "./audit-job.js";

// node pool-program.js WORKERS FILES...: audits them, a line of JSON for each file, until Ctrl-C.
const [workers, ...files] = process.argv.slice(2);
const interrupt = abortOnInterrupt();
const items = files.map(auditJob);
const options = { workers: Number(workers), signal: interrupt.signal };
for await (const outcome of runJobs("auditCached", items, options)) {
  writeSync(1, `${JSON.stringify(outcome)}\n`);
}
writeSync(2, interrupt.signal.aborted ? "interrupted\n" : "complete\n");
interrupt.release();
