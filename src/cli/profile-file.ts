import * as v from "valibot";
import { USUAL_PROFILE } from "../instruments/usual-profile.js";
import { InputError } from "../model/input-error.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { ChangeoverProfile } from "../model/profile.js";
import { HALL_CELSIUS } from "./celsius.js";
import { parseYamlFile, readUserText } from "./user-file.js";

const seconds = v.pipe(
  v.number("must be a number of seconds, with a point: 1.5"),
  v.minValue(0, "must not be negative"),
  v.maxValue(600, "must be at most 600 seconds"),
);
const INSTRUMENT_MESSAGE = `must be one of: ${INSTRUMENT_IDS.join(", ")}`;
const PAIR_MESSAGE = "must be two instruments, such as clarinet-bflat>clarinet-a";
/** As the name of a field they would reach what all objects have. */
export const PROTOTYPE_NAMES: readonly string[] = ["__proto__", "constructor", "prototype"];
const instrumentId = v.picklist(INSTRUMENT_IDS, INSTRUMENT_MESSAGE);
const pair = v.pipe(
  v.string(),
  v.check(
    (text) =>
      text.split(">").length === 2 && text.split(">").every((id) => isInstrumentId(id.trim())),
    PAIR_MESSAGE,
  ),
);
/** Both for a field that is no field of its group, and for a value that is no group at all. */
const groupMessage = ({ expected }: { readonly expected: string | null }) =>
  expected === "never" ? "is not a field of a profile" : "must be a group of fields";
const handling = v.strictObject(
  {
    putDownSeconds: v.exactOptional(seconds),
    pickUpSeconds: v.exactOptional(seconds),
    settleSeconds: v.exactOptional(seconds),
  },
  groupMessage,
);
const limit = v.pipe(
  v.number("must be a number"),
  v.minValue(0.1, "must be more than nothing"),
  v.maxValue(600, "must be at most 600"),
);
const celsius = v.pipe(
  v.number("must be a number of °C, with a point: 18.5"),
  v.minValue(HALL_CELSIUS.least, HALL_CELSIUS.message),
  v.maxValue(HALL_CELSIUS.most, HALL_CELSIUS.message),
);
const coolingSeconds = v.pipe(
  v.number("must be a number of seconds"),
  v.minValue(1, "must be at least 1 second"),
  v.maxValue(36_000, "must be at most 36000 seconds"),
);
const instrumentList = v.array(instrumentId, "must be a list of instruments");

/** Hand times as far as somebody gave them. */
const timesFields = {
  usual: v.exactOptional(handling),
  instruments: v.exactOptional(v.record(instrumentId, handling, groupMessage)),
  moveMouthpieceSeconds: v.exactOptional(seconds),
  pageTurnSeconds: v.exactOptional(seconds),
  pairSeconds: v.exactOptional(v.record(pair, seconds, groupMessage)),
};
const sharedMouthpieces = v.array(instrumentList, "must be a list of groups of instruments");
const limits = v.strictObject(
  {
    tonguingPerSecond: v.exactOptional(limit),
    phraseSeconds: v.exactOptional(limit),
    softPhraseSeconds: v.exactOptional(limit),
    softHighSeconds: v.exactOptional(limit),
  },
  groupMessage,
);
const temperature = v.strictObject(
  {
    hallCelsius: v.exactOptional(celsius),
    playingCelsius: v.exactOptional(celsius),
    coolingSeconds: v.exactOptional(coolingSeconds),
  },
  groupMessage,
);

const profileSchema = v.strictObject(
  {
    name: v.exactOptional(v.string("must be a text")),
    ...timesFields,
    sharedMouthpiece: v.exactOptional(sharedMouthpieces),
    carries: v.exactOptional(instrumentList),
    limits: v.exactOptional(limits),
    temperature: v.exactOptional(temperature),
  },
  groupMessage,
);

/** A `ChangeoverProfile` as plain data: what `parseProfile` makes of a file. */
export const wholeProfileSchema = v.strictObject(
  {
    name: v.string("must be a text"),
    own: v.strictObject(timesFields, groupMessage),
    limits,
    temperature,
    sharedMouthpiece: sharedMouthpieces,
    carries: instrumentList,
  } satisfies Record<keyof ChangeoverProfile, v.GenericSchema>,
  groupMessage,
);

function isInstrumentId(text: string): text is InstrumentId {
  return (INSTRUMENT_IDS as readonly string[]).includes(text);
}

/** In bytes. */
const LARGEST_PROFILE = 100_000;

/**
 * Reads a player's profile, YAML or JSON. What it leaves out is taken from the usual figures.
 * @throws InputError `bad-profile` naming the field and what is wrong with it
 */
export async function readProfile(path: string): Promise<ChangeoverProfile> {
  return parseProfile(await readUserText(path, LARGEST_PROFILE, "bad-profile"));
}

/** Reads a profile from its text; see `readProfile`. */
export function parseProfile(text: string): ChangeoverProfile {
  // An empty file leaves everything out.
  const raw = parseYamlFile(text, "bad-profile").value ?? {};
  refusePrototypeNames(raw);
  const result = v.safeParse(profileSchema, raw);
  if (!result.success) {
    const [issue] = result.issues;
    const path = v.getDotPath(issue);
    throw new InputError(
      "bad-profile",
      path === null ? issue.message : `${path}: ${issue.message}`,
    );
  }
  const { name, sharedMouthpiece, carries, pairSeconds, limits, temperature, ...times } =
    result.output;
  return {
    name: name ?? "your profile",
    own: {
      ...times,
      ...(pairSeconds && { pairSeconds: withoutSpaces(pairSeconds) }),
    },
    limits: limits ?? {},
    temperature: temperature ?? {},
    sharedMouthpiece: sharedMouthpiece ?? USUAL_PROFILE.sharedMouthpiece,
    carries: carries ?? USUAL_PROFILE.carries,
  };
}

function withoutSpaces(pairs: Readonly<Record<string, number>>): Readonly<Record<string, number>> {
  return Object.fromEntries(
    Object.entries(pairs).map(([pair, figure]) => [pair.replace(/\s/g, ""), figure]),
  );
}

/** The schema passes over such names in silence; here nothing is dropped in silence. */
function refusePrototypeNames(raw: unknown): void {
  if (typeof raw !== "object" || raw === null) return;
  for (const [field, group] of Object.entries(raw) as [string, unknown][]) {
    if (typeof group !== "object" || group === null) continue;
    const name = Object.keys(group).find((key) => PROTOTYPE_NAMES.includes(key));
    if (name === undefined) continue;
    const wanted = field === "pairSeconds" ? PAIR_MESSAGE : INSTRUMENT_MESSAGE;
    throw new InputError("bad-profile", `${field}.${name}: ${wanted}`);
  }
}
