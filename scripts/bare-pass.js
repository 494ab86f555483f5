// The yardstick of many files: a bare saxes pass (no handlers) over every score of a folder of works.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { SaxesParser } from "saxes";

const [folder] = process.argv.slice(2);
for (const work of readdirSync(folder)) {
  for (const file of readdirSync(join(folder, work))) {
    new SaxesParser().write(readFileSync(join(folder, work, file), "utf8")).close();
  }
}
