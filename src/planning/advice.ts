import { changeoverTime, pairKey } from "../analyses/changeover.js";
import { measureChange } from "../analyses/changes.js";
import { endMoment } from "../analyses/stretches.js";
import type { Verdict } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type {
  AdvisedChange,
  MovedPassage,
  PassageOption,
  Plan,
  PlanAdvice,
} from "../model/plan.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { InstrumentChange } from "../model/report.js";
import { changesOf, isUnsafe, placedChanges, type PlanBasis } from "./basis.js";
import { maxFraction } from "../theory/fraction.js";
import type { Gap } from "./visits.js";
import { SECOND_STAND_SAVES_SECONDS } from "./weights.js";

/** More notes than these left out are a passage for a colleague. */
const MOST_NOTES_LEFT_OUT = 16;

/**
 * What can be done about each tight or impossible change of a plan. First what makes it safe, then what
 * makes it possible; among those what costs no note before what does, and a cue last.
 * @param allowed what each passage may be played on
 */
export function adviseOn(
  basis: PlanBasis,
  { instruments }: Pick<Plan, "instruments">,
  allowed: readonly (readonly PassageOption[])[],
): readonly AdvisedChange[] {
  return placedChanges(basis, instruments)
    .filter(({ change }) => isUnsafe(change))
    .flatMap(({ change, visitIndex }) => {
      const gap = basis.visits[visitIndex]?.gap;
      if (!gap) return [];
      const advice = [
        ...otherPlace(basis, instruments, allowed, visitIndex),
        ...quickerHands(basis, gap, change),
        ...fewerNotes(basis, gap, change),
        ...cues(change),
      ];
      return [{ change, advice: [...advice].sort((a, b) => rankOf(a) - rankOf(b)) }];
    });
}

/** Lower is better; equals stay in the order in which they were thought of. */
function rankOf(advice: PlanAdvice): number {
  switch (advice.kind) {
    case "change-earlier":
    case "change-later":
      return 0;
    case "ask-for-cue":
      return 3;
    case "leave-out":
    case "second-mouthpiece":
    case "second-stand":
      return advice.verdict === "impossible" ? 2 : advice.verdict === "tight" ? 1 : 0;
  }
}

/** More passages than these on another instrument are another plan. */
const MOST_PASSAGES_MOVED = 4;

/**
 * The fewest passages before the change on the next instrument, or after it on the last one, with which the
 * part has fewer changes that are impossible, or no more of those and fewer in danger.
 */
function otherPlace(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
  allowed: readonly (readonly PassageOption[])[],
  visitIndex: number,
): readonly Extract<PlanAdvice, { readonly kind: "change-earlier" | "change-later" }>[] {
  const unsafe = (plan: readonly InstrumentId[]) => changesOf(basis, plan).filter(isUnsafe);
  const now = unsafe(instruments);
  const ways = [
    { kind: "change-earlier", first: visitIndex - 1, step: -1, like: visitIndex },
    { kind: "change-later", first: visitIndex, step: 1, like: visitIndex - 1 },
  ] as const;
  return ways
    .flatMap(({ kind, first, step, like }) => {
      const to = instruments[basis.visits[like]?.passage ?? 0];
      const moved = new Map<number, MovedPassage>();
      for (let k = first; moved.size < MOST_PASSAGES_MOVED; k += step) {
        const at = basis.visits[k]?.passage;
        if (at === undefined) break;
        if (moved.has(at)) continue;
        const passage = basis.passages[at];
        const option = allowed[at]?.find(({ instrument }) => instrument === to);
        const held = passage?.options.find(({ instrument }) => instrument === instruments[at]);
        // On the other instrument already: there the change would be no more.
        if (!passage || !option || !held || option === held) break;
        moved.set(at, { passage, option, harder: option.difficulty - held.difficulty });
        const then = unsafe(instruments.map((id, n) => moved.get(n)?.option.instrument ?? id));
        const fewer = [impossible(then) - impossible(now), then.length - now.length] as const;
        if (fewer[0] < 0 || (fewer[0] === 0 && fewer[1] < 0)) {
          const passages = [...moved.values()].sort((a, b) => a.passage.number - b.passage.number);
          return [{ kind, passages, unsafe: { before: now.length, after: then.length } }];
        }
      }
      return [];
    })
    .sort((a, b) => a.unsafe.after - b.unsafe.after || a.passages.length - b.passages.length);
}

function impossible(changes: readonly InstrumentChange[]): number {
  return changes.filter(({ verdict }) => verdict === "impossible").length;
}

/** A mouthpiece for each instrument, and a stand for each at the knee. */
function quickerHands(
  { context }: PlanBasis,
  { before, after }: Gap,
  { from, to, needed }: InstrumentChange,
): readonly PlanAdvice[] {
  const measure = (profile: ChangeoverProfile) =>
    measureChange(
      { ...context, profile },
      { ...before, instrument: from },
      { ...after, instrument: to },
      0,
    );
  const secondsOf = (action: string) =>
    needed.steps.reduce((sum, step) => sum + (step.action === action ? step.seconds : 0), 0);
  const found: PlanAdvice[] = [];
  const moving = secondsOf("move-mouthpiece");
  if (moving > 0) {
    const own = measure({ ...context.profile, sharedMouthpiece: [] });
    found.push({
      kind: "second-mouthpiece",
      savedSeconds: moving,
      neededSeconds: own.needed.seconds,
      verdict: own.verdict,
    });
  }
  const saved = Math.min(
    SECOND_STAND_SAVES_SECONDS,
    (secondsOf("put-down") + secondsOf("pick-up")) / 2,
  );
  if (saved > 0) {
    const { profile } = context;
    const pair = changeoverTime(profile, from, to, 0).seconds - saved;
    const pairSeconds = { ...profile.own.pairSeconds, [pairKey(from, to)]: pair };
    const own = measure({ ...profile, own: { ...profile.own, pairSeconds } });
    found.push({
      kind: "second-stand",
      savedSeconds: saved,
      neededSeconds: own.needed.seconds,
      verdict: own.verdict,
    });
  }
  return found;
}

/**
 * The fewest notes before the rest, and after it, without which the change is possible, and without which it
 * is safe.
 */
function fewerNotes(basis: PlanBasis, gap: Gap, change: InstrumentChange): readonly PlanAdvice[] {
  return (["last", "first"] as const).flatMap((which) => {
    const found: PlanAdvice[] = [];
    for (let notes = 1; notes <= MOST_NOTES_LEFT_OUT; notes++) {
      const advice = without(basis, gap, change, which, notes);
      if (!advice) break;
      if (!isUnsafe(advice)) return [...found, advice];
      const isFirst = found.length === 0 && change.verdict === "impossible";
      if (isFirst && advice.verdict === "tight") found.push(advice);
    }
    return found;
  });
}

type LeaveOut = Extract<PlanAdvice, { kind: "leave-out" }> & { readonly verdict: Verdict };

function without(
  { context }: PlanBasis,
  { before, after }: Gap,
  { from, to, rest }: InstrumentChange,
  which: "last" | "first",
  count: number,
): LeaveOut | undefined {
  const { performance } = context;
  const played = which === "last" ? before.notes : after.notes;
  const [kept, left] =
    which === "last"
      ? [played.slice(0, -count), played.slice(-count)]
      : [played.slice(count), played.slice(0, count)];
  const [firstKept] = kept;
  const [firstLeft] = left;
  const lastLeft = left.at(-1);
  if (!firstKept || !firstLeft || !lastLeft) return undefined;
  // Where two voices are written another note may go on sounding.
  const silentFrom = kept.map(({ endQuarters }) => endQuarters).reduce(maxFraction);
  const gained = measureChange(
    context,
    { ...before, instrument: from, notes: which === "last" ? kept : before.notes },
    which === "last"
      ? { ...after, instrument: to, silentFrom }
      : {
          ...after,
          instrument: to,
          notes: kept,
          startQuarters: firstKept.startQuarters,
          graceNotes: 0,
        },
    0,
  );
  return {
    kind: "leave-out",
    which,
    notes: count,
    from: performance.momentAt(firstLeft.startQuarters),
    to: endMoment(performance, lastLeft.endQuarters),
    gainedSeconds: gained.rest.seconds.short - rest.seconds.short,
    verdict: gained.verdict,
  };
}

function cues({ advice }: InstrumentChange): readonly PlanAdvice[] {
  return advice.flatMap((each) => (each.kind === "ask-for-cue" ? [each] : []));
}
