import { changeoverTime, pairKey } from "../analyses/changeover.js";
import { measureChange } from "../analyses/changes.js";
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
import { takersOfBars, type Colleague } from "./colleagues.js";
import { fewerNotes } from "./fewer-notes.js";
import type { Gap } from "./visits.js";
import { SECOND_STAND_SAVES_SECONDS } from "./weights.js";

/**
 * What can be done about each tight or impossible change of a plan. First what makes it safe, then what
 * makes it possible; among those what costs no note before what does, and a cue last.
 * @param allowed what each passage may be played on
 * @param colleagues asked for only where a change is in danger: to read their parts takes time
 */
export function adviseOn(
  basis: PlanBasis,
  { instruments }: Pick<Plan, "instruments">,
  allowed: readonly (readonly PassageOption[])[],
  colleagues: () => readonly Colleague[],
): readonly AdvisedChange[] {
  return placedChanges(basis, instruments)
    .filter(({ change }) => isUnsafe(change))
    .flatMap(({ change, visitIndex }) => {
      const gap = basis.visits[visitIndex]?.gap;
      if (!gap) return [];
      const advice = [
        ...otherPlace(basis, instruments, allowed, visitIndex),
        ...quickerHands(basis, gap, change),
        ...takersOfBars(basis, instruments, { change, visitIndex }, colleagues()),
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
    case "colleague":
      return rankOfVerdict(advice.gained?.verdict);
    case "leave-out":
    case "second-mouthpiece":
    case "second-stand":
      return rankOfVerdict(advice.verdict);
  }
}

function rankOfVerdict(verdict: Verdict | undefined): number {
  return verdict === "impossible" ? 2 : verdict === "tight" ? 1 : 0;
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
  const now = changesOf(basis, instruments).filter(isUnsafe);
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
        const changes = placedChanges(
          basis,
          instruments.map((id, n) => moved.get(n)?.option.instrument ?? id),
        );
        const left = changes.map(({ change }) => change).filter(isUnsafe);
        const fewer = [impossible(left) - impossible(now), left.length - now.length] as const;
        if (fewer[0] < 0 || (fewer[0] === 0 && fewer[1] < 0)) {
          const passages = [...moved.values()].sort((a, b) => a.passage.number - b.passage.number);
          // Earlier: on the way into the first passage moved; later: on the way out of the last.
          const place = step < 0 ? k : k + 1;
          const then = changes.find((each) => each.visitIndex === place)?.change ?? null;
          return [{ kind, passages, then, unsafe: { before: now.length, after: left.length } }];
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

function cues({ advice }: InstrumentChange): readonly PlanAdvice[] {
  return advice.flatMap((each) => (each.kind === "ask-for-cue" ? [each] : []));
}
