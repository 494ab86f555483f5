import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { FixedBars, PlanPreference, PlanWishes } from "../model/plan.js";
import { clean } from "../reporters/util/clean.js";
import { UsageError } from "./usage-error.js";

/** What the player allows a plan, as given on the command line. */
export interface PlanWishOptions {
  /** Ids of instruments. */
  readonly keep: readonly string[];
  readonly without: readonly string[];
  readonly allow: readonly string[];
  /** Each "41-56=clarinet-a". */
  readonly fix: readonly string[];
}

/** @throws UsageError for an instrument that is not known, or bars that cannot be read */
export function planWishes(
  prefer: PlanPreference,
  { keep, without, allow, fix }: PlanWishOptions,
): PlanWishes {
  const wishes = {
    prefer,
    keep: keep.map((id) => instrumentOf("--keep", id)),
    without: without.map((id) => instrumentOf("--without", id)),
    allow: allow.map((id) => instrumentOf("--allow", id)),
    fixed: fix.map(fixedBars),
  };
  const both = wishes.keep.find((id) => wishes.without.includes(id));
  if (both !== undefined) throw new UsageError(`--keep and --without both name ${both}`);
  const unwanted = wishes.fixed.find(({ instrument }) => wishes.without.includes(instrument));
  if (unwanted) throw new UsageError(`--fix and --without both name ${unwanted.instrument}`);
  return wishes;
}

/** The instrument that an option names by its id. @throws UsageError that lists those there are */
export function instrumentOf(option: string, text: string): InstrumentId {
  const id = INSTRUMENT_IDS.find((each) => each === text.trim().toLowerCase());
  if (id !== undefined) return id;
  const known = INSTRUMENT_IDS.join(", ");
  throw new UsageError(`${option} knows no instrument "${clean(text)}"; it takes ${known}`);
}

/** "41-56=clarinet-a", or one bar: "41=clarinet-a". */
function fixedBars(text: string): FixedBars {
  const match = /^([^=–-]+)(?:[–-]([^=–-]+))?=(.+)$/u.exec(text);
  const [, from, to, id] = match ?? [];
  if (from === undefined || id === undefined) {
    throw new UsageError(`--fix takes bars and an instrument, such as 41-56=clarinet-a`);
  }
  return {
    fromBar: from.trim(),
    toBar: (to ?? from).trim(),
    instrument: instrumentOf("--fix", id),
  };
}
