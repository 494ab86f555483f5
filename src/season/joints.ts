import { changeoverTime, changeVerdict } from "../analyses/changeover.js";
import type { Disagreement, Evidence, Hazard } from "../model/finding.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { Advice } from "../model/report.js";
import type { AuditedChange, Closing, Opening, RestStep } from "../model/season.js";
import type { PlaceOnPage, SecondsRange } from "../model/time.js";
import { NO_SECONDS, sumSeconds } from "../theory/seconds.js";
import { weakestSource } from "../timing/tempo-range.js";

/** What lies between the end of one file and the beginning of another. */
export interface Between {
  /** The pauses; null where the one follows the other at once. */
  readonly pause: { readonly seconds: SecondsRange; readonly assumed: boolean } | null;
  /** How long movements last in which the player has nothing; they are part of the rest. */
  readonly tacetSeconds: SecondsRange;
}

/**
 * The change from the last note of one file to the first of another, by the rules of a change inside a file
 * (`measureChange`): the verdict counts the short seconds of the rest and of the pause, and nobody begins before
 * the hands are ready as long as the pause lasts. Page turns are left out: two files do not tell of one.
 */
export function measureJoint(
  closes: Closing,
  opens: Opening,
  between: Between,
  profile: ChangeoverProfile,
): AuditedChange {
  const needed = changeoverTime(profile, closes.instrument, opens.instrument, 0).seconds;
  const { graceSeconds } = opens;
  const notated = sumSeconds([closes.rest.seconds, opens.rest.seconds, between.tacetSeconds]);
  const rest = {
    short: Math.max(0, notated.short - graceSeconds),
    likely: Math.max(0, notated.likely - graceSeconds),
    long: Math.max(0, notated.long - graceSeconds),
  };
  const inside = sumSeconds([closes.rest.pauseSeconds, opens.rest.pauseSeconds]);
  const pause = sumSeconds([between.pause?.seconds ?? NO_SECONDS, inside]);
  const lookUpSeconds = rest.short + pause.short - needed;
  // A movement without the player is waited out like a pause: its bars are not on the player's page.
  const blindSeconds = Math.max(0, needed - pause.short - between.tacetSeconds.short);
  const steps = withoutGrace([...closes.rest.steps, ...opens.rest.steps], graceSeconds);
  const lookUpBars = lookUpSeconds > 0 ? barsAfter(steps, blindSeconds) : 0;
  const isBlind = blindSeconds > 0;
  const hazards = isBlind ? hazardsIn(closes, opens, blindSeconds, lookUpBars) : [];
  const { evidence, disagreements } = reasons(closes, opens);
  const verdict = changeVerdict(rest.short + pause.short, needed, isBlind ? lookUpBars : Infinity);
  const hasPause = between.pause !== null || inside.short > 0;
  return {
    from: closes.instrument,
    to: opens.instrument,
    leave: closes.at,
    enter: opens.at,
    rest: {
      quarters: closes.rest.quarters + opens.rest.quarters,
      counted: {
        bars: closes.rest.counted.bars + opens.rest.counted.bars,
        beats: closes.rest.counted.beats + opens.rest.counted.beats,
      },
      seconds: rest,
      tempoSource: weakestSource(
        [closes.rest, opens.rest]
          .filter(({ quarters }) => quarters > 0)
          .map((each) => each.tempoSource),
      ),
      held: [...closes.rest.held, ...opens.rest.held],
    },
    pause: hasPause
      ? { seconds: pause, assumed: (between.pause?.assumed ?? true) || inside.short > 0 }
      : null,
    neededSeconds: needed,
    lookUp: { seconds: lookUpSeconds, bars: lookUpBars },
    verdict,
    hazards,
    evidence,
    disagreements,
    advice: adviceOn(opens.at, lookUpSeconds, verdict, hazards, disagreements),
  };
}

/** Words for the next movement that do not ask for the instrument it is written for. */
export function jointDisagreements(
  { words }: Closing,
  { at, instrument, transpositionFits }: Opening,
): readonly Disagreement[] {
  const last = words.at(-1);
  const [meant] = last?.means ?? [];
  if (!last || meant === undefined || last.means.includes(instrument)) return [];
  return [
    {
      kind: "words-against-transposition",
      barIndex: at.barIndex,
      barLabel: at.barLabel,
      words: last.evidence.text,
      wordsBarLabel: last.evidence.barLabel,
      wordsMean: meant,
      transpositionFits: transpositionFits.length > 0 ? transpositionFits : [instrument],
    },
  ];
}

function reasons(closes: Closing, opens: Opening) {
  const evidence: readonly Evidence[] = [
    ...closes.words.map((each) => each.evidence),
    ...opens.evidence,
  ];
  return { evidence, disagreements: jointDisagreements(closes, opens) };
}

function adviceOn(
  { barLabel, pass }: PlaceOnPage,
  lookUpSeconds: number,
  verdict: AuditedChange["verdict"],
  hazards: readonly Hazard<PlaceOnPage>[],
  [misprint]: readonly Disagreement[],
): readonly Advice[] {
  return [
    ...(verdict === "impossible"
      ? [{ kind: "not-playable-as-printed" as const, missingSeconds: -lookUpSeconds }]
      : []),
    ...(hazards.length > 0
      ? [{ kind: "ask-for-cue" as const, when: "entry" as const, barLabel, pass }]
      : []),
    ...(misprint ? [{ kind: "check-print" as const, barLabel: misprint.barLabel }] : []),
  ];
}

/** Grace notes before the beat bring the entry forward. */
function withoutGrace(steps: readonly RestStep[], graceSeconds: number): readonly RestStep[] {
  let left = graceSeconds;
  return [...steps]
    .reverse()
    .map((step) => {
      const taken = Math.min(left, step.seconds);
      left -= taken;
      const share = step.seconds > 0 ? taken / step.seconds : 0;
      return { ...step, seconds: step.seconds - taken, bars: step.bars * (1 - share) };
    })
    .reverse();
}

/** Bars that are left of a rest after so many seconds of it. */
function barsAfter(steps: readonly RestStep[], seconds: number): number {
  let gone = seconds;
  let bars = 0;
  for (const step of steps) {
    const blind = Math.min(gone, step.seconds);
    gone -= blind;
    bars += step.seconds > 0 ? step.bars * (1 - blind / step.seconds) : 0;
  }
  return bars;
}

/** What begins while the player looks down, as in `findHazards`: also with the entry, where the hands are no earlier. */
function hazardsIn(
  closes: Closing,
  opens: Opening,
  blindSeconds: number,
  lookUpBars: number,
): readonly Hazard<PlaceOnPage>[] {
  const found: { readonly after: number; readonly hazard: Hazard<PlaceOnPage> }[] = [];
  let before: Pick<RestStep, "meter" | "tempo"> = closes;
  let after = 0;
  const entry: RestStep = { ...opens, bars: 0, seconds: 0 };
  for (const step of [...closes.rest.steps, ...opens.rest.steps, entry]) {
    const { at, meter, tempo, seconds } = step;
    if (after > blindSeconds) break;
    if (meter !== before.meter) {
      found.push({ after, hazard: { kind: "meter-change", at, from: before.meter, to: meter } });
    }
    const gradual = tempo.first !== tempo.last;
    const [from, to] = [before.tempo.last, gradual ? tempo.last : tempo.first];
    if (tempo.isNew && from !== to) {
      const hazard = { kind: "tempo-change", at, from, to, mark: tempo.text, gradual } as const;
      found.push({ after, hazard });
    }
    before = step;
    after += seconds;
  }
  const trailing = closes.rest.seconds.short;
  const pauses = [
    ...closes.rest.pauses,
    ...opens.rest.pauses.map((each) => ({ ...each, afterSeconds: each.afterSeconds + trailing })),
  ];
  for (const { hazard, afterSeconds } of pauses) {
    if (afterSeconds <= blindSeconds) found.push({ after: afterSeconds, hazard });
  }
  if (lookUpBars < 1) {
    found.push({ after: Infinity, hazard: { kind: "late-look-up", at: opens.at, lookUpBars } });
  }
  // Stable: what comes at one moment stays in the order above.
  return found
    .sort((a, b) => (a.after === b.after ? 0 : a.after - b.after))
    .map((each) => each.hazard);
}
