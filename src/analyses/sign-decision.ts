import { INSTRUMENTS } from "../instruments/table.js";
import type { Disagreement } from "../model/finding.js";
import type { InstrumentId } from "../model/instrument.js";
import type { Position } from "../model/score.js";
import { likest } from "./first-instrument.js";
import type { PageSign } from "./page-evidence.js";
import {
  fitsName,
  nameCandidates,
  resolveInstrument,
  type ResolveContext,
  type ResolvedInstrument,
} from "./resolve-instrument.js";

/** What the signs at a note come to, and in what they contradict each other or the transposition. */
export interface Decision {
  readonly instrument: InstrumentId;
  readonly disagreements: readonly Disagreement[];
}

/** Where the signs take effect, and how bars are called. */
export interface DecisionPlace {
  readonly at: Position;
  readonly labelOf: (place: Position) => string;
}

/** Whether the player sees a sign on the page; the others are in the file only. */
export function isPrinted({ kind }: Pick<PageSign, "kind">): boolean {
  return kind === "words" || kind === "part-name-display";
}

/**
 * Decides what is meant by the signs that take effect at one note.
 *
 * What is printed outweighs what is only encoded, and of two names that contradict each other the one that
 * the transposition fits is followed, or the last. Words are followed against the transposition, because the
 * player obeys them; what only the file says (an `<instrument-change>`, the notes' instruments) is not, where
 * both mean clarinets that stand in for each other: it is often left over from a template.
 *
 * @returns undefined when the signs mean no instrument of the table
 */
export function decideSigns(
  signs: readonly PageSign[],
  context: ResolveContext,
  place: DecisionPlace,
): Decision | undefined {
  const printed = signs.filter((sign) => isPrinted(sign) && sign.name !== undefined);
  const encoded = signs.filter(
    (sign) => !isPrinted(sign) && (sign.name !== undefined || sign.sound !== undefined),
  );
  const followed = followedName(printed, context);
  const hints = {
    name: followed?.name ?? encoded.findLast(({ name }) => name !== undefined)?.name,
    // A printed key alone means the size in hand, whatever the file's sound is.
    sound:
      followed && followed.name?.family === undefined
        ? undefined
        : encoded.findLast(({ sound }) => sound !== undefined)?.sound,
  };
  const byAll = resolveInstrument(hints, context);
  const resolved = followed ? byAll : (unlessStandIn(byAll, context) ?? byAll);
  if (!resolved) return undefined;
  const { instrument } = resolved;
  return {
    instrument,
    disagreements: [
      ...againstTransposition(followed, resolved, context, place),
      ...againstEachOther(printed, followed, instrument, context, place),
      ...encodedFaults(encoded, followed, instrument, context, place),
    ],
  };
}

/** The name that is heeded: the last, unless only an earlier one fits the transposition. */
function followedName(printed: readonly PageSign[], context: ResolveContext): PageSign | undefined {
  const last = printed.at(-1);
  if (!last || printed.every((sign) => meanTheSame(sign, last, context))) return last;
  const { transposition, current, clef } = context;
  const fitting = printed.findLast(
    ({ name }) =>
      name !== undefined &&
      transposition !== undefined &&
      current !== undefined &&
      fitsName(name, { transposition, current, clef }),
  );
  return fitting ?? last;
}

/** Whether some instrument is meant by both. */
function meanTheSame(a: PageSign, b: PageSign, { current }: ResolveContext): boolean {
  if (!a.name || !b.name) return true;
  const others = nameCandidates(b.name, current);
  return nameCandidates(a.name, current).some((id) => others.includes(id));
}

/** The instrument of the transposition, where that of the signs does not fit it but could stand in for it. */
function unlessStandIn(
  resolved: ResolvedInstrument | undefined,
  context: ResolveContext,
): ResolvedInstrument | undefined {
  if (!resolved || resolved.fitsTransposition) return resolved;
  const { standInGroup } = INSTRUMENTS[resolved.instrument];
  const byTransposition = resolveInstrument({}, context);
  return byTransposition &&
    standInGroup !== undefined &&
    INSTRUMENTS[byTransposition.instrument].standInGroup === standInGroup
    ? byTransposition
    : undefined;
}

function againstTransposition(
  followed: PageSign | undefined,
  { instrument, fitsTransposition, transpositionFits }: ResolvedInstrument,
  context: ResolveContext,
  { at, labelOf }: DecisionPlace,
): readonly Disagreement[] {
  if (!followed || fitsTransposition || context.transposition === undefined) return [];
  return [
    {
      kind: "words-against-transposition",
      barIndex: at.barIndex,
      barLabel: labelOf(at),
      words: followed.text,
      wordsBarLabel: labelOf(followed.at),
      wordsMean: instrument,
      transpositionFits: mostLike(transpositionFits, instrument, context),
    },
  ];
}

/** What is in hand already, where the transposition is for that; else what is most like the instrument meant. */
function mostLike(
  fits: readonly InstrumentId[],
  instrument: InstrumentId,
  { current }: ResolveContext,
): readonly InstrumentId[] {
  return current !== undefined && fits.includes(current) ? [current] : likest(fits, instrument);
}

function againstEachOther(
  printed: readonly PageSign[],
  followed: PageSign | undefined,
  instrument: InstrumentId,
  context: ResolveContext,
  { at, labelOf }: DecisionPlace,
): readonly Disagreement[] {
  const other =
    followed &&
    printed.findLast((sign) => sign !== followed && !meanTheSame(sign, followed, context));
  if (!followed || !other) return [];
  return [
    {
      kind: "words-against-words",
      barIndex: at.barIndex,
      barLabel: labelOf(at),
      words: other.text,
      wordsBarLabel: labelOf(other.at),
      otherWords: followed.text,
      otherWordsBarLabel: labelOf(followed.at),
      followed: instrument,
    },
  ];
}

/** What only the file says against the transposition, one finding for all signs that say it. */
function encodedFaults(
  encoded: readonly PageSign[],
  followed: PageSign | undefined,
  instrument: InstrumentId,
  context: ResolveContext,
  { at, labelOf }: DecisionPlace,
): readonly Disagreement[] {
  if (context.transposition === undefined) return [];
  for (const sign of encoded.toReversed()) {
    const meant = resolveInstrument({ name: sign.name, sound: sign.sound }, context);
    if (!meant || meant.fitsTransposition) continue;
    // Words that say the same are a finding already.
    if (followed && meant.instrument === instrument) continue;
    return [
      {
        kind: "encoded-against-transposition",
        barIndex: at.barIndex,
        barLabel: labelOf(at),
        encoded: sign.text,
        encodedBarLabel: labelOf(sign.at),
        encodedMeans: meant.instrument,
        transpositionFits: mostLike(meant.transpositionFits, meant.instrument, context),
        followed: instrument,
      },
    ];
  }
  return [];
}
