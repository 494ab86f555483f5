import type { Disagreement } from "../../src/model/finding.js";
import { inScore, inScoreWithKeyFor, plantWrongKey, type WrongKey } from "./misprint-keys.js";
import {
  plantEarlyWords,
  plantEncoding,
  plantLateWarning,
  plantNothingPrinted,
  plantTwoWords,
  type Planted,
  type WrongEncoding,
} from "./misprint-plant.js";
import { labelOf } from "./misprint-report.js";
import { randomWindow } from "./renotate-cut.js";
import type { Random } from "./renotate-random.js";
import { comparePlaces, type SourcePart } from "./renotate-source.js";
import { planPart, type Passage, type Plan, type WrongWords } from "./renotate.js";

const MOST_BARS = 60;

export interface MisprintKind {
  readonly name: string;
  readonly kind: Disagreement["kind"];
  /** A part with the misprint, or with the print that would be right; undefined where there is no place. */
  readonly plan: (source: SourcePart, random: Random, isMisprint: boolean) => Planted | undefined;
}

/** Add a kind of misprint by adding a row. */
export const KINDS: readonly MisprintKind[] = [
  wordsAgainstTransposition("words say A, the transposition stays B-flat", {
    before: ["clarinet-bflat"],
    notated: "clarinet-bflat",
    words: "clarinet-a",
  }),
  wordsAgainstTransposition("words say B-flat, the transposition stays A", {
    before: ["clarinet-a"],
    notated: "clarinet-a",
    words: "clarinet-bflat",
  }),
  wordsAgainstTransposition("words say A, the transposition changes to B-flat", {
    before: ["clarinet-c", "clarinet-d", "clarinet-eflat"],
    notated: "clarinet-bflat",
    words: "clarinet-a",
  }),
  wordsAgainstTransposition("words say B-flat, the transposition changes to A", {
    before: ["clarinet-c", "clarinet-d", "clarinet-eflat"],
    notated: "clarinet-a",
    words: "clarinet-bflat",
  }),
  wordsAgainstTransposition("words keep B-flat, the transposition changes to A", {
    before: ["clarinet-bflat"],
    notated: "clarinet-a",
    words: "clarinet-bflat",
  }),
  wordsAgainstTransposition("words keep A, the transposition changes to B-flat", {
    before: ["clarinet-a"],
    notated: "clarinet-bflat",
    words: "clarinet-a",
  }),
  wordsAgainstTransposition(
    "words say A, the transposition and the key stay B-flat",
    { before: ["clarinet-bflat"], notated: "clarinet-bflat", words: "clarinet-a" },
    "transposition",
  ),
  wordsAgainstTransposition(
    "words and key say B-flat, the transposition changes to A",
    { before: ["clarinet-c", "clarinet-d"], notated: "clarinet-a", words: "clarinet-bflat" },
    "words",
  ),
  planted("a change in the file only", "nothing-printed", plantNothingPrinted),
  planted("words too late for the hands", "late-warning", plantLateWarning),
  encodedAgainst("the notes name A, the transposition stays B-flat", {
    notated: "clarinet-bflat",
    encoded: "clarinet-a",
    by: "notes",
  }),
  encodedAgainst("the notes name B-flat, the transposition stays A", {
    notated: "clarinet-a",
    encoded: "clarinet-bflat",
    by: "notes",
  }),
  encodedAgainst("a sound changes to A, the transposition stays B-flat", {
    notated: "clarinet-bflat",
    encoded: "clarinet-a",
    by: "sound",
  }),
  encodedAgainst("a sound changes to B-flat, the transposition stays A", {
    notated: "clarinet-a",
    encoded: "clarinet-bflat",
    by: "sound",
  }),
  planted("words for two instruments in one rest", "words-against-words", plantTwoWords),
  planted("words a passage too early", "words-before-transposition", plantEarlyWords),
  keyAgainstScore("the concert key as the signature", "concert"),
  keyAgainstScore("the signature of the instrument before", "instrument before"),
  keyAgainstScore("a signature with one accidental more or less", "one accidental off"),
];

/** @param keyFits which of the two the key signature is right for, where the score tells */
function wordsAgainstTransposition(
  name: string,
  wrong: WrongWords,
  keyFits?: "words" | "transposition",
): MisprintKind {
  return {
    name,
    kind: "words-against-transposition",
    plan: (source, random, isMisprint) => {
      const chosen = planPart(source, randomWindow(source, random, MOST_BARS), random, {
        wrong: isMisprint ? wrong : { ...wrong, notated: wrong.words },
        announced: true,
      });
      const plan = chosen && keyFits ? inScoreWithKeyFor(chosen, keyFits) : chosen;
      return plan && { plan, misprints: wrongWordsOf(plan, keyFits) };
    },
  };
}

function wrongWordsOf(
  { source, passages }: Plan,
  keyFits: "words" | "transposition" | undefined,
): Planted["misprints"] {
  return passages
    .filter(({ inHand, notated }) => inHand !== notated)
    .map((passage) => ({
      kind: "words-against-transposition",
      bar: labelOf(source, passage.entry),
      says: {
        ...lastName(source, passage),
        wordsMean: passage.inHand,
        transpositionFits: [passage.notated],
        keyFits,
      },
    }));
}

/** The words of a change that stand last on the page. */
function lastName(source: SourcePart, { change }: Passage) {
  const last = [...(change?.signs ?? [])].sort((a, b) => comparePlaces(a.at, b.at)).at(-1);
  return last && { words: last.text, wordsBarLabel: labelOf(source, last.at) };
}

function encodedAgainst(name: string, wrong: WrongEncoding): MisprintKind {
  return planted(name, "encoded-against-transposition", (plan, random) =>
    plantEncoding(plan, random, wrong),
  );
}

function keyAgainstScore(name: string, wrong: WrongKey): MisprintKind {
  return planted(
    name,
    "key-against-score",
    (plan, random) => plantWrongKey(plan, random, wrong),
    inScore,
  );
}

/** A misprint that is planted in a plan without any. */
function planted(
  name: string,
  kind: Disagreement["kind"],
  plant: (plan: Plan, random: Random) => Planted | undefined,
  prepare: (plan: Plan) => Plan = (plan) => plan,
): MisprintKind {
  return {
    name,
    kind,
    plan: (source, random, isMisprint) => {
      const cut = randomWindow(source, random, MOST_BARS);
      const clean = planPart(source, cut, random, { announced: true });
      if (!clean) return undefined;
      const plan = prepare(clean);
      return isMisprint ? plant(plan, random) : { plan, misprints: [] };
    },
  };
}
