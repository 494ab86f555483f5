import { resolve } from "node:path";

/** Where real scores with independent figures are kept: too large for this repository. */
export function corpusRoot(): string {
  return process.env["MUTA_CORPUS"] ?? resolve("../shared");
}
