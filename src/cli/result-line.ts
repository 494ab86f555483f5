import * as v from "valibot";
import type { FileAudit, FileJob } from "../model/season.js";
import { jsonLine } from "../reporters/util/json-text.js";
import { jobDigest } from "./job-line.js";
import { checkShape, readObject, type Checked, type Line } from "./json-lines.js";
import { fileAuditSchema } from "./result-shape.js";

declare const MUTA_VERSION: string;
/** Tells builds of one version apart: another build may have other rules. */
declare const MUTA_BUILD: string;

const SCHEMA = "muta.result/1";
const MADE_BY = `${MUTA_VERSION}+${MUTA_BUILD}`;

/** In bytes. That of a symphony's movement is some 20 000. */
export const LONGEST_RESULT = 128_000_000;

const text = v.string("must be a text");
const envelope = v.strictObject(
  {
    schema: v.literal(SCHEMA),
    muta: text,
    key: text,
    audit: v.looseObject({ file: text }, "is missing, or no group of fields"),
  },
  ({ expected }) => (expected === "never" ? "is not a field of a result" : "is missing"),
);

/** A line of NDJSON: which job it is of, what did it, and what the file gave. */
export function resultLine(job: FileJob, audit: FileAudit): string {
  return jsonLine({ schema: SCHEMA, muta: MADE_BY, key: jobDigest(job), audit });
}

/** A result: of which job, by its digest, and of which file. */
export interface Result {
  readonly key: string;
  readonly file: string;
  /** Null where another build of muta made it: its rules, and what its fields mean, are not known. */
  readonly audit: FileAudit | null;
}

/** The result of a line. */
export function readResult(line: Line): Checked<Result> {
  const read = readObject(line);
  if (!read.ok) return read;
  if (read.value["schema"] !== SCHEMA) {
    return {
      ok: false,
      fault: `is no result: schema must be "${SCHEMA}" (see: muta audit --jobs)`,
    };
  }
  const checked = checkShape<v.InferOutput<typeof envelope>>(envelope, read.value);
  if (!checked.ok) return checked;
  const { muta, key, audit: raw } = checked.value;
  const { file } = raw;
  if (muta !== MADE_BY) return { ok: true, value: { key, file, audit: null } };
  const audit = checkShape<FileAudit>(fileAuditSchema, raw);
  if (!audit.ok) return { ok: false, fault: `audit: ${audit.fault}` };
  if (audit.value.errors.some((error) => error.file !== file)) {
    return { ok: false, fault: "audit: has an error of another file" };
  }
  return { ok: true, value: { key, file, audit: audit.value } };
}
