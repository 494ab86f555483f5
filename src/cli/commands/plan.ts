import { analysisContext, reportOn } from "../../analyses/index.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../../model/instrument.js";
import type { FixedBars, PlanPreference, PlanWishes } from "../../model/plan.js";
import { planPart } from "../../planning/plan-part.js";
import { PLAN_REPORTERS, type PlanFormat } from "../../reporters/plan.js";
import { loadProfile, overParts, type PartOptions } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { UsageError } from "../usage-error.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta plan`. */
export interface PlanOptions extends DeliveryOptions, PartOptions {
  readonly prefer: PlanPreference;
  /** Ids of instruments. */
  readonly keep: readonly string[];
  readonly without: readonly string[];
  readonly allow: readonly string[];
  /** Each "41-56=clarinet-a". */
  readonly fix: readonly string[];
  readonly format?: PlanFormat;
}

/** Runs `muta plan`: the choice of instruments that is best for the whole part. */
export async function runPlan(files: readonly string[], options: PlanOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
  const allowed = planWishes(options);
  const wishes = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  const report = await overParts(files, options, (timeline, source) => {
    const { context, notices } = analysisContext(timeline, profile, wishes);
    const analysed = { context: { ...context, mayLeave: allowed.allow }, notices };
    return planPart(analysed.context, reportOn(analysed, timeline, source), allowed);
  });
  await deliver(report, files, options, (rendering) => PLAN_REPORTERS[format](report, rendering));
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}

/** @throws UsageError for an instrument that is not known, or bars that cannot be read */
function planWishes({ prefer, keep, without, allow, fix }: PlanOptions): PlanWishes {
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

function instrumentOf(option: string, text: string): InstrumentId {
  const id = INSTRUMENT_IDS.find((each) => each === text);
  if (id === undefined) {
    throw new UsageError(
      `${option}: "${text}" is no instrument known here; such as clarinet-bflat or clarinet-a`,
    );
  }
  return id;
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
    instrument: instrumentOf("--fix", id.trim()),
  };
}
