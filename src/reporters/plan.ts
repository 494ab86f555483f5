import { VERDICTS } from "../model/finding.js";
import type {
  AdvisedChange,
  ColleagueRest,
  PassageOption,
  Plan,
  PlanAdvice,
  PlanReport,
} from "../model/plan.js";
import type { RunReport, InstrumentChange } from "../model/report.js";
import { csvText, decimals, guard } from "./csv.js";
import type { RenderOptions } from "./index.js";
import { place } from "./json.js";
import { planPage } from "./text-plan-page.js";
import { jsonText } from "./util/json-text.js";
import { noticeText } from "./wording/notices.js";
import { partName } from "./wording/parts.js";
import { planAdviceText, sightText } from "./wording/plans.js";

/** What a run of `plan` has to say. */
export type PlansReport = RunReport<PlanReport>;

/** The formats of `muta plan`. To add one: a function and a row. */
export const PLAN_REPORTERS = {
  text: ({ parts }, options) => parts.map((part) => planPage(part, options)).join("\n"),
  json: ({ parts, errors }) =>
    jsonText({ schema: "muta.plan/1", parts: parts.map(partDocument), errors }),
  csv: ({ parts }, options) =>
    csvText([HEADER, ...parts.flatMap(rowsOf)], options.delimiter ?? ",", options.bom),
} satisfies Record<string, (report: PlansReport, options: RenderOptions) => string>;

export type PlanFormat = keyof typeof PLAN_REPORTERS;

function partDocument(report: PlanReport) {
  const { file, title, movement, part, wishes, passages, notices } = report;
  return {
    file,
    title,
    movement,
    part: { id: part.id, name: part.name },
    wishes,
    passages: passages.map(({ from, to, options, ...passage }) => ({
      ...passage,
      from: place(from),
      to: place(to),
      options: options.map(optionDocument),
    })),
    printed: planDocument(report.printed),
    best: planDocument(report.best),
    plans: report.plans.map(planDocument),
    advice: {
      printed: report.advicePrinted.map(advisedDocument),
      best: report.adviceBest.map(advisedDocument),
      lacksScore: report.lacksScore,
    },
    notices: notices.map((notice) => ({ ...notice, text: noticeText(notice) })),
  };
}

function optionDocument(option: PassageOption) {
  return {
    ...option,
    difficulty: decimals(option.difficulty, 6),
    sight: { ...option.sight, text: sightText(option.sight) },
  };
}

function planDocument(plan: Plan) {
  const { kind, instruments, cost, meanDifficulty, transposedNotes, verdicts, tightest } = plan;
  return {
    kind,
    instruments,
    cost: decimals(cost, 6),
    meanDifficulty: decimals(meanDifficulty, 6),
    transposedNotes,
    verdicts,
    tightest: tightest?.number ?? null,
    changes: plan.changes.map(changeDocument),
  };
}

function changeDocument(change: InstrumentChange) {
  const { number, from, to, leave, enter, rest, needed, lookUp, verdict } = change;
  return {
    number,
    from,
    to,
    leave: place(leave),
    enter: place(enter),
    restSecondsShort: decimals(rest.seconds.short, 6),
    neededSeconds: decimals(needed.seconds, 6),
    lookUpSeconds: decimals(lookUp.seconds, 6),
    verdict,
  };
}

function advisedDocument({ change, advice }: AdvisedChange) {
  return {
    change: changeDocument(change),
    advice: advice.map((each) => ({
      ...adviceDocument(each),
      sentence: planAdviceText(each, change.verdict),
    })),
  };
}

/** Passages by their number, places as everywhere. */
function adviceDocument(advice: PlanAdvice) {
  switch (advice.kind) {
    case "change-earlier":
    case "change-later": {
      const passages = advice.passages.map(({ passage, option, harder }) => ({
        passage: passage.number,
        harder: decimals(harder, 6),
        option: optionDocument(option),
      }));
      return { ...advice, passages, then: advice.then && changeDocument(advice.then) };
    }
    case "colleague": {
      const { gained, part, sight } = advice;
      return {
        ...advice,
        from: place(advice.from),
        to: place(advice.to),
        gained: gained && { ...gained, seconds: decimals(gained.seconds, 6) },
        part: {
          id: part.id,
          name: part.name,
          ...(part.player !== undefined && { player: part.player }),
        },
        sight: { ...sight, text: sightText(sight) },
        before: restDocument(advice.before),
        after: restDocument(advice.after),
      };
    }
    case "leave-out":
      return { ...advice, from: place(advice.from), to: place(advice.to) };
    case "second-mouthpiece":
    case "second-stand":
    case "ask-for-cue":
      return advice;
  }
}

function restDocument(rest: ColleagueRest | null) {
  return rest && { ...rest, seconds: decimals(rest.seconds, 6) };
}

const HEADER = [
  "file", "title", "movement", "part", "plan", "preferred", "passage", "from_bar", "from_pass", "to_bar", "to_pass",
  "notes", "times_played", "printed", "instrument", "written_fifths", "steps", "semitones", "difficulty",
  "plan_changes", ...[...VERDICTS].reverse().map((verdict) => `plan_${verdict}`), "plan_tightest_seconds",
  "plan_difficulty",
]; // prettier-ignore

/** One row for each plan and passage. */
function rowsOf(report: PlanReport): readonly (readonly (string | number)[])[] {
  const { file, title, movement, part, passages, printed, plans, best } = report;
  return [printed, ...plans].flatMap((plan) =>
    passages.flatMap((passage, k) => {
      const option = passage.options.find(({ instrument }) => instrument === plan.instruments[k]);
      if (!option) return [];
      return [
        [
          guard(file),
          guard(title),
          guard(movement),
          guard(partName(part)),
          plan.kind,
          plan === best ? "yes" : "no",
          passage.number,
          guard(passage.from.barLabel),
          passage.from.pass,
          guard(passage.to.barLabel),
          passage.to.pass,
          passage.noteCount,
          passage.timesPlayed,
          passage.printed,
          option.instrument,
          option.writtenFifths ?? "",
          option.sight.diatonic,
          option.sight.chromatic,
          decimals(option.difficulty, 3),
          plan.changes.length,
          ...[...VERDICTS].reverse().map((verdict) => plan.verdicts[verdict]),
          plan.tightest ? decimals(plan.tightest.lookUp.seconds, 3) : "",
          decimals(plan.meanDifficulty, 3),
        ],
      ];
    }),
  );
}
