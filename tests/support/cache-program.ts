import { openCache } from "../../src/cli/cache.js";
import { cacheKey } from "../../src/cli/cache-key.js";

// node cache-program.js FOLDER SEED KEYS SIZE [ROUNDS]: writes entries under the same keys again and
// again, and reads them; says what it has read that is not what anybody wrote.
const [folder = "", seed = "", keys = "0", size = "0", rounds = "Infinity"] = process.argv.slice(2);
const notices: string[] = [];
const cache = openCache(folder, {
  notice: (text) => notices.push(text),
  limitBytes: 64 * 1024 * 1024,
});
let wrong = 0;
let hits = 0;
console.log("begun");
for (let round = 0; round < Number(rounds); round += 1) {
  for (let k = 0; k < Number(keys); k += 1) {
    const inputs = [Buffer.from(String(k))];
    const key = cacheKey({ job: "test", inputs, options: {}, secret: "5a".repeat(32) });
    await cache.write(key, { k, by: seed, round, filling: seed.repeat(Number(size)) });
    const read = (await cache.read(key)) as { k: number; by: string; filling: string } | undefined;
    if (read === undefined) continue;
    hits += 1;
    if (read.k !== k || read.filling !== read.by.repeat(Number(size))) wrong += 1;
  }
}
console.log(JSON.stringify({ wrong, hits, notices }));
