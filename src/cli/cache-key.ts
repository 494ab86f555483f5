import { createHash } from "node:crypto";

declare const MUTA_VERSION: string;
/** Tells builds of one version apart, so that a changed rule never shows old results. */
declare const MUTA_BUILD: string;

/** What a result depends on, besides the program. */
export interface KeyParts {
  /** What was done: two jobs on the same bytes have results of their own. */
  readonly job: string;
  /** Every file the result is made from, in a fixed order. */
  readonly inputs: readonly Uint8Array[];
  /** Everything else it is made from, as plain data; the order of its fields does not matter. */
  readonly options: unknown;
}

/** Numbers may come out different in the last place in another version of the engine. */
const ENGINE = process.versions.node.split(".")[0] ?? "";

/** SHA-256 over all a result depends on, in hexadecimal. Every piece goes in with its length. */
export function cacheKey({ job, inputs, options }: KeyParts): string {
  const hash = createHash("sha256");
  const words = [MUTA_VERSION, MUTA_BUILD, ENGINE, job, sortedJson(options)];
  for (const piece of [...words.map((word) => Buffer.from(word)), ...inputs]) {
    hash.update(`${piece.byteLength}:`).update(piece);
  }
  return hash.digest("hex");
}

/** JSON with the fields of every object in the order of their names. */
export function sortedJson(value: unknown): string {
  const text = JSON.stringify(value, (_, each: unknown) =>
    typeof each === "object" && each !== null && !Array.isArray(each)
      ? Object.fromEntries(Object.entries(each).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)))
      : each,
  ) as string | undefined;
  return text ?? "";
}
