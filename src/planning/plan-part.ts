import type { AnalysisContext } from "../analyses/context.js";
import { headingOf } from "../analyses/heading.js";
import { isOfCheckOnly, VERDICTS, type Notice, type Verdict } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { InstrumentId } from "../model/instrument.js";
import {
  PLAN_PREFERENCES,
  type PassageOption,
  type Plan,
  type PlanReport,
  type PlanWishes,
} from "../model/plan.js";
import type { InstrumentChange, PartReport } from "../model/report.js";
import { adviseOn } from "./advice.js";
import { changesOf, type PlanBasis } from "./basis.js";
import type { Colleague } from "./colleagues.js";
import { TooEntangledError } from "./eliminate.js";
import { allowedOptions, plannablePassages } from "./passages.js";
import { bestPlan, planCost, type PlanProblem } from "./plan.js";
import { passageVisits } from "./visits.js";
import { PLAN_WEIGHTS } from "./weights.js";

/** The other players whose parts could be read, and what there is to say of those that could not. */
export interface ColleaguesFound {
  readonly colleagues: readonly Colleague[];
  readonly notices: readonly Notice[];
}

/** Finds the colleagues of a player. */
export type ColleaguesOf = (player: AnalysisContext) => ColleaguesFound;

const NO_COLLEAGUES: ColleaguesFound = { colleagues: [], notices: [] };

/**
 * The printed choice of instruments and the best ones, with advice on the changes that stay dangerous.
 * @param colleaguesOf the other players of the score; called only where a change is in danger
 * @throws InputError when a wish cannot be followed (see `allowedOptions`), or `too-entangled` when the
 *   repeats of the part join too many passages for an exact plan
 */
export function planPart(
  context: AnalysisContext,
  report: PartReport,
  wishes: PlanWishes,
  colleaguesOf: ColleaguesOf = () => NO_COLLEAGUES,
): PlanReport {
  const visits = passageVisits(context);
  const passages = plannablePassages(context, report.passages, visits);
  const basis: PlanBasis = { context, passages, visits };
  const allowed = allowedOptions(context, passages, wishes);
  const problem = problemOf(basis, allowed);
  const plans = PLAN_PREFERENCES.map((kind) => {
    const { options } = solve(problem, kind);
    const instruments = options.map((option, k) => allowed[k]?.[option]?.instrument);
    return { ...describePlan(basis, instruments as InstrumentId[], wishes), kind };
  });
  const printed: Plan = {
    ...describePlan(
      basis,
      passages.map((passage) => passage.printed),
      wishes,
    ),
    kind: "printed",
  };
  const best = plans.find(({ kind }) => kind === wishes.prefer);
  if (!best) throw new Error(`no plan for ${wishes.prefer}`);
  let asked: ColleaguesFound | undefined;
  const colleagues = () => (asked ??= colleaguesOf(context)).colleagues;
  const advicePrinted = adviseOn(basis, printed, allowed, colleagues);
  const adviceBest = adviseOn(basis, best, allowed, colleagues);
  return {
    ...headingOf(context.timeline, context, report),
    notices: [
      ...report.notices.filter((notice) => !isOfCheckOnly(notice)),
      ...(asked?.notices ?? []),
    ],
    wishes,
    passages,
    printed,
    best,
    plans,
    advicePrinted,
    adviceBest,
    lacksScore: asked?.colleagues.length === 0 && context.timeline.otherParts === "none",
  };
}

function solve(problem: PlanProblem, kind: keyof typeof PLAN_WEIGHTS) {
  try {
    return bestPlan(problem, PLAN_WEIGHTS[kind]);
  } catch (error) {
    if (!(error instanceof TooEntangledError)) throw error;
    throw new InputError(
      "too-entangled",
      "its repeats join too many passages for an exact plan; fix some of them with --fix",
    );
  }
}

function problemOf(
  { visits }: PlanBasis,
  options: readonly (readonly PassageOption[])[],
): PlanProblem {
  return {
    passages: options.map((each) => ({ options: each })),
    visits: visits.map(({ passage, noteCount, gap }) => ({
      passage,
      notes: noteCount,
      verdict: (from, to) => {
        if (!gap) throw new Error("nothing is changed before the first note");
        return gap.change(from, to).verdict;
      },
    })),
  };
}

/** What a choice of instruments comes to, one for each passage. */
export function describePlan(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
  { prefer }: Pick<PlanWishes, "prefer">,
): Omit<Plan, "kind"> {
  const { passages, visits } = basis;
  const problem = problemOf(
    basis,
    passages.map(({ options }) => options),
  );
  const chosen = passages.map(({ options }, k) =>
    options.findIndex(({ instrument }) => instrument === instruments[k]),
  );
  let notes = 0;
  let load = 0;
  let transposedNotes = 0;
  for (const { passage, noteCount } of visits) {
    const option = passages[passage]?.options[chosen[passage] ?? 0];
    notes += noteCount;
    load += noteCount * (option?.difficulty ?? 0);
    if (option?.printed === false) transposedNotes += noteCount;
  }
  const changes = changesOf(basis, instruments);
  return {
    instruments,
    cost: planCost(problem, PLAN_WEIGHTS[prefer], chosen),
    meanDifficulty: load / Math.max(1, notes),
    transposedNotes,
    changes,
    verdicts: countVerdicts(changes),
    tightest: [...changes].sort((a, b) => a.lookUp.seconds - b.lookUp.seconds)[0] ?? null,
  };
}

function countVerdicts(changes: readonly InstrumentChange[]): Readonly<Record<Verdict, number>> {
  const counts = Object.fromEntries(VERDICTS.map((verdict) => [verdict, 0])) as Record<
    Verdict,
    number
  >;
  for (const { verdict } of changes) counts[verdict]++;
  return counts;
}
