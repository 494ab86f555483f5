import { setTimeout as sleep } from "node:timers/promises";
import { showProgress } from "../../src/cli/progress.js";

// Three steps with a bar, a note between them, and a result on standard output.
const progress = await showProgress(3);
progress.advance("first");
await sleep(150);
progress.note("muta: a note");
progress.advance("second");
await sleep(150);
progress.advance("third");
progress.stop();
process.stdout.write("result\n");
