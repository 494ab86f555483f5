import { labelOf } from "./misprint-report.js";
import { pickOne, type Planted } from "./misprint-plant.js";
import { concertFifths, movedKey, printPlan } from "./renotate-print.js";
import type { Random } from "./renotate-random.js";
import { comparePlaces, type Place, type SourcePart } from "./renotate-source.js";
import type { Passage, Plan } from "./renotate.js";

/** What copyists write instead of the right signature. */
export type WrongKey = "concert" | "instrument before" | "one accidental off";

/** Of two signatures with six accidentals each neither has fewer. */
const MOST_ACCIDENTALS = 5;

/** The same part in a score: players below read the concert key. */
export function inScore(plan: Plan): Plan {
  return { ...plan, inScore: true };
}

/**
 * The same where words are against the transposition, with a key signature that is right for one of them.
 * @returns undefined where the signature would not tell
 */
export function inScoreWithKeyFor(plan: Plan, right: "words" | "transposition"): Plan | undefined {
  const { source, passages } = plan;
  const disputed = passages.find(({ inHand, notated }) => inHand !== notated);
  if (!disputed) return inScore(plan);
  const target = right === "words" ? disputed.inHand : disputed.notated;
  const inSource = source.bars[disputed.entry.bar]?.fifths ?? 0;
  const { fifths } = movedKey(source, inSource, target);
  if (fifths === 0 && concertFifths(source, inSource) === 0) return undefined;
  if (right === "transposition") return inScore(plan);
  if (!keySpot(plan, disputed)) return undefined;
  return {
    ...inScore(plan),
    passages: passages.map((each) => (each === disputed ? { ...each, wrongFifths: fifths } : each)),
  };
}

/** A wrong key signature at a change, or at the beginning of the piece. */
export function plantWrongKey(plan: Plan, random: Random, wrong: WrongKey): Planted | undefined {
  const { source, passages } = plan;
  const k = pickOne([...passages.keys()], random);
  const passage = k === undefined ? undefined : passages[k];
  const spot = passage && keySpot(plan, passage);
  if (!spot || k === undefined) return undefined;
  const { keyAt, noteAt } = spot;
  const fifths = source.bars[noteAt.bar]?.fifths ?? 0;
  const expected = movedKey(source, fifths, passage.notated).fifths;
  const concert = concertFifths(source, fifths);
  const before = passages[k - 1];
  const wrongFifths = {
    concert,
    "instrument before": before && movedKey(source, fifths, before.notated).fifths,
    "one accidental off": expected + random.pick([-1, 1]),
  }[wrong];
  if (wrongFifths === undefined || Math.abs(expected) > MOST_ACCIDENTALS) return undefined;
  if ((wrongFifths - expected) % 12 === 0 || isOpen(plan, wrongFifths, concert)) return undefined;
  return {
    plan: {
      ...plan,
      passages: passages.map((each) => (each === passage ? { ...each, wrongFifths } : each)),
    },
    misprints: [
      {
        kind: "key-against-score",
        bar: labelOf(source, noteAt),
        says: {
          keyBarLabel: labelOf(source, keyAt),
          scoreKeyBarLabel: labelOf(source, { bar: concertKeyBar(plan, noteAt) }),
          instrument: passage.notated,
          writtenFifths: wrongFifths,
          expectedFifths: expected,
        },
      },
    ],
  };
}

/** Where a passage's own signature is printed, and the first note under it; undefined where another comes between. */
function keySpot({ source, cut, passages }: Plan, passage: Passage) {
  const start = { bar: cut.from, at: 0 };
  // The first bar of a whole part has its own attributes.
  if (!passage.change && cut.from === 0) return undefined;
  const keyAt = passage.change ? passage.change.transposeAt : start;
  const noteAt = source.notes.find((note) => comparePlaces(note, passage.entry) >= 0);
  const next = passages[passages.indexOf(passage) + 1]?.change?.transposeAt;
  if (!keyAt || !noteAt || noteAt.bar >= cut.to) return undefined;
  if (next && comparePlaces(next, noteAt) <= 0) return undefined;
  const isFirst = passage.change === undefined;
  const isReplaced = keyBars(source).some((bar) => {
    const order = comparePlaces({ bar, at: 0 }, keyAt);
    return (order > 0 || (isFirst && order === 0)) && comparePlaces({ bar, at: 0 }, noteAt) <= 0;
  });
  return isReplaced ? undefined : { keyAt, noteAt };
}

/** Bars of the source in which a signature is printed. */
function keyBars({ bars }: SourcePart): readonly number[] {
  return bars.flatMap(({ elements }, bar) =>
    elements.some(({ name, xml }) => name === "attributes" && xml.includes("<fifths>"))
      ? [bar]
      : [],
  );
}

/** A part without signatures, and an open one against an open one, are left alone by design. */
function isOpen(plan: Plan, wrongFifths: number, concert: number): boolean {
  const [own = ""] = printPlan(plan).split("</part>");
  return wrongFifths === 0 && (concert === 0 || !/<fifths>-?[1-9]/.test(own));
}

/** Where the players below have last had a new key. */
function concertKeyBar({ source, cut }: Plan, { bar }: Place): number {
  for (let k = bar; k > cut.from; k--) {
    if (source.bars[k]?.fifths !== source.bars[k - 1]?.fifths) return k;
  }
  return cut.from;
}
