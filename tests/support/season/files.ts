import { readdirSync } from "node:fs";
import { join } from "node:path";

/** All files below a folder, those in folders in it too, in a fixed order. */
export function filesBelow(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}
