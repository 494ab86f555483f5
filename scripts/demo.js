// The main job on the demo piece: the second clarinet's part, as the player would check it.
import { spawnSync } from "node:child_process";

const part = "fixtures/demo/lanterns-on-the-weir-clarinet-2.musicxml";
console.log(`$ muta check ${part}\n`);
const run = spawnSync(process.execPath, ["bin/muta.js", "check", part], { stdio: "inherit" });
process.exitCode = run.status ?? 70;
