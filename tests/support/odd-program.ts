import { runJobsOf } from "../../src/cli/pool.js";
import { ODD_JOBS } from "./odd-jobs.js";

// node odd-program.js WAYS...: lets jobs fail in those ways, two at once; a line of JSON for each.
const workshop = { jobs: ODD_JOBS, worker: new URL("./odd.js", import.meta.url) };
const items = process.argv.slice(2).map((how) => ({ how }));
for await (const outcome of runJobsOf(workshop, "fail", items, { workers: 2 })) {
  console.log(JSON.stringify(outcome));
}
