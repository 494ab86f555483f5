import { createHash } from "node:crypto";
import { resolve } from "node:path";
import * as v from "valibot";
import type { FileJob, SeatWish } from "../model/season.js";
import type { SheetTempo } from "../model/tempo.js";
import type { TempoRange } from "../model/time.js";
import { jsonLine } from "../reporters/util/json-text.js";
import { sortedJson } from "./cache-key.js";
import { checkShape, readObject, type Checked, type Line } from "./json-lines.js";
import { wholeProfileSchema } from "./profile-file.js";
import { placeFields } from "./user-file.js";

const SCHEMA = "muta.job/1";

/** In bytes. A job is some 500; a tempo sheet and the profiles of a large section may make it longer. */
export const LONGEST_JOB = 8_000_000;

const SLOWEST_QUARTERS = 0.01;
const FASTEST_QUARTERS = 100_000;

const text = v.string("must be a text");
const texts = v.array(text, "must be a list of texts");
const group = ({ expected }: { readonly expected: string | null }) =>
  expected === "never" ? "is not a field of a job" : "is missing, or no group of fields";
const perMinute = v.pipe(
  v.number("must be a number of quarters a minute"),
  v.minValue(SLOWEST_QUARTERS, "is too slow"),
  v.maxValue(FASTEST_QUARTERS, "is too fast"),
);

const sheetTempo = v.strictObject(
  {
    barLabel: v.pipe(text, v.nonEmpty("must be the printed number of a bar")),
    beat: placeFields.beat.wrapped,
    pass: placeFields.pass,
    quartersPerMinute: v.pipe(
      v.strictObject(
        { slow: perMinute, likely: perMinute, fast: perMinute } satisfies Record<
          keyof TempoRange,
          v.GenericSchema
        >,
        group,
      ),
      v.check(
        ({ slow, likely, fast }) => slow <= likely && likely <= fast,
        "must not have the slow one above the fast one",
      ),
    ),
    text,
  } satisfies Record<keyof SheetTempo, v.GenericSchema>,
  group,
);

const seat = v.strictObject(
  {
    player: text,
    part: text,
    staffPlayer: v.exactOptional(
      v.pipe(
        v.number("must be the number of a player"),
        v.safeInteger("must be a whole number"),
        v.minValue(1, "must be 1 or more"),
      ),
    ),
    profile: wholeProfileSchema,
  } satisfies Record<keyof SeatWish, v.GenericSchema>,
  group,
);

const jobSchema = v.strictObject(
  {
    path: v.pipe(
      text,
      v.nonEmpty("must name a file"),
      v.check((path) => !path.includes("\0"), "must name a file"),
    ),
    file: text,
    parts: texts,
    tacet: v.boolean("must be true or false"),
    seats: v.array(seat, "must be a list of players"),
    profile: wholeProfileSchema,
    // A season has no other wishes.
    wishes: v.strictObject(
      { tempoSheet: v.exactOptional(v.array(sheetTempo, "must be a list of tempi")) },
      group,
    ),
  } satisfies Record<keyof FileJob, v.GenericSchema>,
  group,
);

/**
 * A job with the whole path of its file, so that it can be done from any folder, on any machine that has the
 * file under the same path.
 */
export function fromAnywhere(job: FileJob): FileJob {
  return { ...job, path: resolve(job.path) };
}

/** A line of NDJSON that holds all that the work on one file depends on, besides its bytes. */
export function jobLine(job: FileJob): string {
  return jsonLine({ schema: SCHEMA, ...fromAnywhere(job) });
}

/** The job of a line; a path that is not whole is from the folder that this runs in. */
export function readJob(line: Line): Checked<FileJob> {
  const read = readObject(line);
  if (!read.ok) return read;
  const { schema, ...raw } = read.value;
  if (schema !== SCHEMA) {
    return { ok: false, fault: `is no job: schema must be "${SCHEMA}" (see: muta audit --list)` };
  }
  const job = checkShape<FileJob>(jobSchema, raw);
  return job.ok ? { ok: true, value: fromAnywhere(job.value) } : job;
}

/** Tells a job from all others, on every machine: SHA-256 in hexadecimal, the order of its fields left aside. */
export function jobDigest(job: FileJob): string {
  return createHash("sha256")
    .update(sortedJson(fromAnywhere(job)))
    .digest("hex");
}
