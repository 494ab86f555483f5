import { INSTRUMENTS } from "../../src/instruments/table.js";
import { printPlan } from "./renotate-print.js";
import { expectedWarnings, labelOf, type Report } from "./misprint-report.js";
import { readBack } from "./renotate-expect.js";
import type { Random } from "./renotate-random.js";
import {
  announcement,
  declaration,
  instrumentId,
  keyOf,
  label,
  needsName,
  partName,
  printedText,
  TARGETS,
  type PlannedSign,
  type Target,
} from "./renotate-signs.js";
import { comparePlaces, type Seam } from "./renotate-source.js";
import type { Passage, Plan, PlannedChange } from "./renotate.js";

// Each function plants one misprint in a plan without any, and gives undefined where the plan has no place.

/** A plan with a misprint, and what is to be reported of it besides what warnings it makes. */
export interface Planted {
  readonly plan: Plan;
  readonly misprints: readonly Report[];
}

/** A change of a plan with the passages around it. */
interface Site {
  readonly passage: Passage;
  readonly change: PlannedChange;
  readonly before: Passage;
  readonly after: Passage | undefined;
  /** Instruments in hand so far. */
  readonly used: readonly Target[];
}

/** A change that only the file knows of. */
export function plantNothingPrinted(plan: Plan, random: Random): Planted | undefined {
  const sites = sitesOf(plan).filter(({ passage, change, used }) => {
    const isEncoded = plan.noteInstruments || encodedSigns(change).length > 0;
    return isEncoded || !needsName(passage.inHand, used);
  });
  const site = pickOne(sites, random);
  return site && { plan: withSigns(plan, site, encodedSigns(site.change)), misprints: [] };
}

/** Words, label or name too late for the hands. */
export function plantLateWarning(plan: Plan, random: Random): Planted | undefined {
  const site = pickOne(sitesOf(plan), random);
  if (!site) return undefined;
  const { passage, change, used } = site;
  const { seam } = change;
  const byName = needsName(passage.inHand, used);
  const late = [...seam.inside, seam.enter].filter((at) => comparePlaces(at, seam.leave) > 0);
  const kind = random.below(4);
  const preparing = (): PlannedSign => ({
    kind: "words",
    at: random.pick(late.slice(-3)),
    text: printedText("prepare", passage.inHand, byName, random),
  });
  const displays = late.filter(({ at }) => at === 0);
  const display = (): readonly PlannedSign[] =>
    displays.length === 0
      ? []
      : [
          {
            kind: "part-name-display",
            at: random.pick(displays.slice(-3)),
            text: partName(passage.inHand, undefined, random),
          },
        ];
  const signs = [
    ...(kind === 0 || kind === 2 ? [preparing()] : []),
    ...(kind === 1 || kind === 2 ? [label(seam, passage.inHand, byName, random)] : []),
    ...(kind === 3 ? display() : []),
  ];
  const planted = withSigns(plan, site, [...signs, ...encodedSigns(change)]);
  const warnings = expectedWarnings(planted, readBack(printPlan(planted)));
  const isPlanted = warnings.length === 1 && warnings[0]?.kind === "late-warning";
  return isPlanted ? { plan: planted, misprints: [] } : undefined;
}

/** Signs for two instruments in one rest; the transposition fits one, which is followed. */
export function plantTwoWords(plan: Plan, random: Random): Planted | undefined {
  const site = pickOne(sitesOf(plan), random);
  if (!site) return undefined;
  const { passage, change, before, after, used } = site;
  const { seam } = change;
  const right = passage.inHand;
  const taken = [right, before.inHand, ...(after ? [after.inHand] : [])].map(keyOf);
  const wrong = pickOne(
    TARGETS.filter((target) => !taken.includes(keyOf(target))),
    random,
  );
  if (!wrong) return undefined;
  const prepares = (target: Target) =>
    announcement(seam, target, needsName(target, [...used, right, wrong]), random);
  const labels = (target: Target) =>
    label(seam, target, needsName(target, [...used, right, wrong]), random);
  const [notFollowed, ...followed] = random.chance(0.5)
    ? [prepares(wrong), labels(right)]
    : [labels(wrong), prepares(right)];
  if (random.chance(0.3)) followed.push(labels(right));
  const other = [...followed].sort((a, b) => comparePlaces(a.at, b.at)).at(-1);
  const signs = [notFollowed, ...followed].sort((a, b) => comparePlaces(a.at, b.at));
  return {
    plan: withSigns(plan, site, [...signs, ...encodedSigns(change)]),
    misprints: [
      {
        kind: "words-against-words",
        bar: labelOf(plan.source, passage.entry),
        says: {
          words: notFollowed.text,
          wordsBarLabel: labelOf(plan.source, notFollowed.at),
          otherWords: other?.text,
          otherWordsBarLabel: other && labelOf(plan.source, other.at),
          followed: right,
        },
      },
    ],
  };
}

/** Words in a rest before; the notes after it are still for the instrument in hand. */
export function plantEarlyWords(plan: Plan, random: Random): Planted | undefined {
  const { source } = plan;
  const site = pickOne(sitesOf(plan), random);
  const seam = site && pickOne(seamsInside(plan, site.before), random);
  if (!seam || keyOf(site.passage.inHand) === keyOf(site.before.inHand)) return undefined;
  const { passage, change, used } = site;
  const byName = needsName(passage.inHand, used);
  const early = announcement(seam, passage.inHand, byName, random);
  const labels = random.chance(0.3)
    ? [{ ...label(change.seam, passage.inHand, byName, random), at: change.seam.enter }]
    : [];
  return {
    plan: withSigns(plan, site, [early, ...labels]),
    misprints: [
      {
        kind: "words-before-transposition",
        bar: labelOf(source, passage.entry),
        says: {
          words: early.text,
          wordsBarLabel: labelOf(source, early.at),
          wordsMean: passage.inHand,
          passedBarLabel: labelOf(source, seam.enter),
        },
      },
    ],
  };
}

/** What the file says besides the transposition, which is for another instrument. */
export interface WrongEncoding {
  readonly notated: Target;
  readonly encoded: Target;
  readonly by: "notes" | "sound";
}

/** An encoded instrument that no notes are written for, from some entry to the next change. */
export function plantEncoding(
  plan: Plan,
  random: Random,
  { notated, encoded, by }: WrongEncoding,
): Planted | undefined {
  if (plan.noteInstruments !== (by === "notes")) return undefined;
  const places = plan.passages.flatMap((passage, k) => {
    const next = plan.passages[k + 1]?.notated;
    const fits = passage.notated === notated && next !== encoded;
    return fits ? seamsInside(plan, passage).map((seam) => ({ k, passage, seam })) : [];
  });
  const place = pickOne(places, random);
  if (!place) return undefined;
  const { k, passage, seam } = place;
  const declared = withDeclared(plan, encoded, random);
  const at = random.chance(0.5) ? seam.enter : random.pick(seam.inside);
  const sign: PlannedSign = { kind: "instrument-change", at, text: soundOf(encoded) };
  const spoilt: Passage = {
    entry: seam.enter,
    notated,
    inHand: notated,
    encoded,
    change: { seam, transposeAt: undefined, signs: by === "sound" ? [sign] : [] },
  };
  const name = /<instrument-name>([^<]*)</.exec(
    declared.find(({ target }) => target === encoded)?.xml ?? "",
  )?.[1];
  return {
    plan: {
      ...plan,
      ...(by === "notes" && { declared }),
      passages: [...plan.passages.slice(0, k), passage, spoilt, ...plan.passages.slice(k + 1)],
    },
    misprints: [
      {
        kind: "encoded-against-transposition",
        bar: labelOf(plan.source, seam.enter),
        says: {
          encoded: by === "notes" ? name : INSTRUMENTS[encoded].sounds[0],
          encodedBarLabel: labelOf(plan.source, by === "notes" ? seam.enter : at),
          encodedMeans: encoded,
          transpositionFits: [notated],
          followed: notated,
        },
      },
    ],
  };
}

function soundOf(target: Target): string {
  return `<instrument-change id="${instrumentId(0)}"><instrument-sound>${INSTRUMENTS[target].sounds[0]}</instrument-sound></instrument-change>`;
}

function withDeclared({ declared }: Plan, target: Target, random: Random): Plan["declared"] {
  if (declared.some((each) => each.target === target)) return declared;
  return [...declared, { target, xml: declaration(instrumentId(declared.length), target, random) }];
}

function sitesOf({ passages }: Plan): readonly Site[] {
  return passages.flatMap((passage, k) => {
    const before = passages[k - 1];
    const { change } = passage;
    const used = passages.slice(0, k).map(({ inHand }) => inHand);
    return before && change ? [{ passage, change, before, after: passages[k + 1], used }] : [];
  });
}

/** Rests inside a passage, in which no change is. */
function seamsInside({ source, cut, passages }: Plan, passage: Passage): readonly Seam[] {
  const until = passages[passages.indexOf(passage) + 1]?.entry ?? { bar: cut.to, at: 0 };
  return source.seams.filter(
    ({ lastNote, enter }) =>
      comparePlaces(lastNote, passage.entry) >= 0 && comparePlaces(enter, until) < 0,
  );
}

/** The signs that only a program reads, those that were encoded with words among them. */
function encodedSigns({ signs }: PlannedChange): readonly PlannedSign[] {
  return signs.flatMap(({ kind, at, text, sound }): readonly PlannedSign[] => {
    if (kind === "instrument-change") return [{ kind, at, text }];
    return sound === undefined ? [] : [{ kind: "instrument-change", at, text: sound }];
  });
}

function withSigns(plan: Plan, { passage }: Site, signs: readonly PlannedSign[]): Plan {
  return {
    ...plan,
    passages: plan.passages.map((each) =>
      each === passage && each.change ? { ...each, change: { ...each.change, signs } } : each,
    ),
  };
}

export function pickOne<T>(items: readonly T[], random: Random): T | undefined {
  return items.length === 0 ? undefined : random.pick(items);
}
