import { readFile } from "node:fs/promises";
import * as v from "valibot";
import { parse, YAMLError } from "yaml";
import { USUAL_PROFILE } from "../instruments/usual-profile.js";
import { InputError } from "../model/input-error.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile, HandlingSeconds } from "../model/profile.js";

const seconds = v.pipe(
  v.number("must be a number of seconds"),
  v.minValue(0, "must not be negative"),
  v.maxValue(600, "must be at most 600 seconds"),
);
const instrumentId = v.picklist(INSTRUMENT_IDS, `must be one of: ${INSTRUMENT_IDS.join(", ")}`);
const pair = v.pipe(
  v.string(),
  v.check(
    (text) =>
      text.split(">").length === 2 && text.split(">").every((id) => isInstrumentId(id.trim())),
    "must be two instruments, such as clarinet-bflat>clarinet-a",
  ),
);
const handling = v.strictObject({
  putDownSeconds: v.optional(seconds),
  pickUpSeconds: v.optional(seconds),
  settleSeconds: v.optional(seconds),
});

const profileSchema = v.strictObject({
  name: v.optional(v.string("must be a text")),
  usual: v.optional(handling),
  instruments: v.optional(v.record(instrumentId, handling)),
  sharedMouthpiece: v.optional(v.array(v.array(instrumentId))),
  moveMouthpieceSeconds: v.optional(seconds),
  pageTurnSeconds: v.optional(seconds),
  pairSeconds: v.optional(v.record(pair, seconds)),
  carries: v.optional(v.array(instrumentId)),
});

function isInstrumentId(text: string): text is InstrumentId {
  return (INSTRUMENT_IDS as readonly string[]).includes(text);
}

const LARGEST_PROFILE = 100_000;

/**
 * Reads a player's profile, YAML or JSON. What it leaves out is taken from the usual figures.
 * @throws InputError `bad-profile` naming the field and what is wrong with it
 */
export async function readProfile(path: string): Promise<ChangeoverProfile> {
  const text = await readText(path);
  if (text.length > LARGEST_PROFILE)
    throw new InputError("bad-profile", "the profile is too large");
  return parseProfile(text);
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    const what =
      code === "ENOENT" ? "there is no such file" : `cannot be read (${code || "unknown fault"})`;
    throw new InputError("bad-profile", what, { cause: error });
  }
}

/** Reads a profile from its text; see `readProfile`. */
export function parseProfile(text: string): ChangeoverProfile {
  const result = v.safeParse(profileSchema, parseYaml(text));
  if (!result.success) {
    const [issue] = result.issues;
    const path = v.getDotPath(issue);
    const message =
      issue.type === "strict_object" && issue.expected === "never"
        ? "is not a field of a profile"
        : issue.message;
    throw new InputError("bad-profile", path === null ? message : `${path}: ${message}`);
  }
  const given = result.output;
  const instruments: Partial<Record<InstrumentId, Partial<HandlingSeconds>>> = {
    ...USUAL_PROFILE.instruments,
  };
  for (const [id, figures] of Object.entries(given.instruments ?? {})) {
    if (isInstrumentId(id)) instruments[id] = { ...instruments[id], ...defined(figures) };
  }
  return {
    name: given.name ?? "your profile",
    assumed: false,
    usual: { ...USUAL_PROFILE.usual, ...defined(given.usual ?? {}) },
    instruments,
    sharedMouthpiece: given.sharedMouthpiece ?? USUAL_PROFILE.sharedMouthpiece,
    moveMouthpieceSeconds: given.moveMouthpieceSeconds ?? USUAL_PROFILE.moveMouthpieceSeconds,
    pageTurnSeconds: given.pageTurnSeconds ?? USUAL_PROFILE.pageTurnSeconds,
    pairSeconds: Object.fromEntries(
      Object.entries(given.pairSeconds ?? {}).map(([key, value]) => [
        key.replace(/\s/g, ""),
        value,
      ]),
    ),
    carries: given.carries ?? USUAL_PROFILE.carries,
  };
}

function parseYaml(text: string): unknown {
  try {
    // JSON is YAML; aliases are bounded so that a few lines cannot unfold into gigabytes.
    return parse(text, { maxAliasCount: 20 });
  } catch (error) {
    if (!(error instanceof YAMLError) && !(error instanceof ReferenceError)) throw error;
    const [firstLine = ""] = error.message.split("\n");
    throw new InputError("bad-profile", `not readable as YAML or JSON: ${firstLine}`, {
      cause: error,
    });
  }
}

function defined<T extends object>(figures: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(figures).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}
