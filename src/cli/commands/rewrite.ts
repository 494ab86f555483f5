import type { PlanPreference } from "../../model/plan.js";
import type { ScoreDocument } from "../../musicxml/document.js";
import { USUAL_PLAN_WISHES } from "../../planning/plan-for.js";
import { rewritePlan } from "../../planning/rewrite-plan.js";
import {
  rewriteBars,
  type BarRange,
  type RewriteWarning,
  type Rewritten,
} from "../../planning/rewrite.js";
import { clean } from "../../reporters/util/clean.js";
import { loadProfile } from "../analyse-files.js";
import type { ExitCode } from "../exit-codes.js";
import { complain } from "../load.js";
import { onePart, refuseCompressed, writeAnew, type WritingOptions } from "../one-part.js";
import { instrumentOf, planWishes, type PlanWishOptions } from "../plan-wishes.js";
import { UsageError } from "../usage-error.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta rewrite`: some bars for one instrument, or a whole plan. */
export interface RewriteOptions extends PlanWishOptions, WritingOptions {
  readonly bars?: readonly string[];
  readonly for?: string;
  readonly plan?: PlanPreference | "best";
  readonly part?: string;
}

/** What is to be done to the part of a file that is open. */
type Job = (bytes: Buffer, score: ScoreDocument, partId: string) => Rewritten;

/** Runs `muta rewrite`: one part, of which some bars or what a plan moves are written for another instrument. */
export async function runRewrite(file: string, options: RewriteOptions): Promise<ExitCode> {
  const job = options.plan === undefined ? barsJob(options) : await planJob(options.plan, options);
  refuseCompressed(options.out);
  return writeAnew(file, options, (bytes, score) => {
    const part = onePart(score.parts, options.part, "rewritten");
    const result = job(bytes, score, part.id);
    for (const warning of result.warnings) complain(warningText(warning, options));
    return result.bytes;
  });
}

function barsJob(options: RewriteOptions): Job {
  const { bars, for: wanted } = options;
  if (bars === undefined || wanted === undefined) {
    const missing = bars
      ? "--for"
      : wanted === undefined
        ? "--bars with --for, or --plan"
        : "--bars";
    throw new UsageError(`say what to rewrite: ${missing} is missing`);
  }
  refuseOptions(planOptionsOf(options), "without --plan");
  const instrument = instrumentOf("--for", wanted);
  return (bytes, score, partId) => {
    const labels = new Set(score.barSlices(partId).map(({ label }) => label));
    const ranges = bars.map((text) => barRange(text, labels));
    return rewriteBars(bytes, score, { partId, ranges, instrument });
  };
}

async function planJob(plan: PlanPreference | "best", options: RewriteOptions): Promise<Job> {
  const named = [
    ...(options.bars ? ["--bars"] : []),
    ...(options.for === undefined ? [] : ["--for"]),
  ];
  refuseOptions(named, "with --plan");
  const wishes = planWishes(plan === "best" ? USUAL_PLAN_WISHES.prefer : plan, options);
  const performance = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  return (bytes, score, partId) =>
    rewritePlan(bytes, score, { partId, profile, wishes, performance });
}

/** The options given that only a plan heeds. */
function planOptionsOf(options: RewriteOptions): readonly string[] {
  const lists = ["keep", "without", "allow", "fix", "recording"] as const;
  const single = ["profile", "tempo", "repeats"] as const;
  return [
    ...lists.filter((name) => options[name].length > 0),
    ...single.filter((name) => options[name] !== undefined),
  ].map((name) => `--${name}`);
}

function refuseOptions(named: readonly string[], where: string): void {
  const [first] = named;
  if (first !== undefined) throw new UsageError(`${first} means nothing ${where}`);
}

/** "41-56", "41–56" or "41"; a printed number may have a dash of its own. */
function barRange(text: string, labels: ReadonlySet<string>): BarRange {
  const whole = text.trim();
  if (labels.has(whole)) return { from: whole, to: whole };
  const [, from, to] = /^(\S+?)\s*[-–]\s*(\S+)$/.exec(whole) ?? [];
  return from === undefined || to === undefined ? { from: whole, to: whole } : { from, to };
}

function warningText(warning: RewriteWarning, { for: wanted, plan }: RewriteOptions): string {
  switch (warning.kind) {
    case "already-so":
      return plan === undefined
        ? `nothing to rewrite: these bars are for ${wanted ?? ""} already`
        : "nothing to rewrite: the part is printed as the plan has it";
    case "out-of-range":
      return `${warning.instrument ?? wanted ?? ""} does not have all the notes of ${barList(warning.bars)}`;
    case "tied-in":
      return `${barList(warning.bars)} begins in a note tied from before, where nobody can change`;
    case "words-left":
      return `bar ${clean(warning.bar)} still says "${clean(warning.text)}": see whether it is right`;
    case "words-followed":
      return `words and transposition disagreed over ${rangeText(warning)}: they are written as if the words were right; ask the librarian`;
    case "shared-staff":
      return "several players read this staff, and it was written as if one played it all: see whether each of them can make the changes";
  }
}

function rangeText({ from, to }: { readonly from: string; readonly to: string }): string {
  return from === to ? `bar ${clean(from)}` : `bars ${clean(from)}–${clean(to)}`;
}

function barList(bars: readonly string[]): string {
  return `bar${bars.length === 1 ? "" : "s"} ${bars.map(clean).join(", ")}`;
}
