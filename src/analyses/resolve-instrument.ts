import {
  INSTRUMENTS,
  instrumentsFor,
  instrumentsForSound,
  notationFor,
} from "../instruments/table.js";
import { instrumentsNamed, type NamedInstrument } from "../instruments/names.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../model/instrument.js";
import type { Transposition } from "../model/score.js";

/**
 * Whether the notes are in the bass-clef notation of an instrument: undefined when the file prints no clef, and
 * in treble clef once the part has had a bass clef, since such parts go on in treble without another octave.
 */
export type ClefReading = boolean | undefined;

/** What is known when an instrument has to be decided. */
export interface ResolveContext {
  /** The instrument in hand, if one is. */
  readonly current: InstrumentId | undefined;
  /** Instruments played before, the latest first. */
  readonly used: readonly InstrumentId[];
  /** Instruments that the part list says the part is for. */
  readonly declared?: readonly InstrumentId[];
  /** Whether the part is a book that may hold any woodwind. */
  readonly holdsAny?: boolean;
  /** The transposition in force at the note; undefined when the file prints none at all. */
  readonly transposition: Transposition | undefined;
  readonly clef?: ClefReading;
}

/** What the signs say, the last of its kind only. */
export interface InstrumentHints {
  readonly name?: NamedInstrument | undefined;
  readonly sound?: string | undefined;
}

/** The instrument meant, and whether the transposition in force fits it. */
export interface ResolvedInstrument {
  readonly instrument: InstrumentId;
  readonly fitsTransposition: boolean;
  readonly transpositionFits: readonly InstrumentId[];
}

/**
 * Decides which instrument is meant. A name decides what it can; the transposition settles what the
 * name leaves open ("to Cl."), and so does what was played before.
 * @returns undefined when nothing fits
 */
export function resolveInstrument(
  hints: InstrumentHints,
  context: ResolveContext,
): ResolvedInstrument | undefined {
  const transpositionFits = context.transposition
    ? instrumentsFor(context.transposition, context.clef).map(({ id }) => id)
    : [];
  const bySound = hints.sound ? instrumentsForSound(hints.sound).map(({ id }) => id) : [];
  const named = hints.name ? nameCandidates(hints.name, context.current) : [];
  const pools = [
    named.filter((id) => bySound.includes(id) && transpositionFits.includes(id)),
    named.filter((id) => transpositionFits.includes(id)),
    named,
    bySound.filter((id) => transpositionFits.includes(id)),
    bySound,
    transpositionFits,
  ];
  const pool = pools.find((each) => each.length > 0);
  const instrument = pool && nearest(pool, context, hints.name);
  if (!instrument) return undefined;
  return {
    instrument,
    fitsTransposition:
      context.transposition === undefined || transpositionFits.includes(instrument),
    transpositionFits,
  };
}

/** What a name is held against. */
interface Fitting {
  readonly transposition: Transposition;
  readonly current: InstrumentId;
  readonly clef: ClefReading;
}

/** Whether a name can mean an instrument that sounds by a transposition. */
export function fitsName(
  name: NamedInstrument,
  { transposition, current, clef }: Fitting,
): boolean {
  return someFit(nameCandidates(name, current), transposition, clef);
}

/** The same, in the usual notation of the instrument only. */
export function fitsNameAsUsual(
  name: NamedInstrument,
  transposition: Transposition,
  current: InstrumentId,
): boolean {
  return nameCandidates(name, current).some((id) => {
    const { notations } = INSTRUMENTS[id];
    return notationFor(INSTRUMENTS[id], transposition) === notations[0];
  });
}

/** The same, where a key alone means an instrument of the size that is in hand, if there is one. */
export function fitsNameInSize(
  name: NamedInstrument,
  { transposition, current, clef }: Fitting,
): boolean {
  const { standInGroup } = INSTRUMENTS[current];
  const candidates = nameCandidates(name, current);
  const sameSize = candidates.filter((id) => INSTRUMENTS[id].standInGroup === standInGroup);
  const meant =
    name.family === undefined && standInGroup !== undefined && sameSize.length > 0
      ? sameSize
      : candidates;
  return someFit(meant, transposition, clef);
}

function someFit(
  candidates: readonly InstrumentId[],
  transposition: Transposition,
  clef: ClefReading,
): boolean {
  const fits = instrumentsFor(transposition, clef).map(({ id }) => id);
  return candidates.some((id) => fits.includes(id));
}

/**
 * Instruments a name may mean. A key alone ("muta in La") means the instrument in hand, or its family, in
 * that key.
 */
export function nameCandidates(
  name: NamedInstrument,
  current: InstrumentId | undefined,
): readonly InstrumentId[] {
  if (name.family !== undefined) return instrumentsNamed(name);
  const family = current ? INSTRUMENTS[current].family : "clarinet";
  return INSTRUMENT_IDS.filter(
    (id) => INSTRUMENTS[id].family === family && INSTRUMENTS[id].keyFifths === name.keyFifths,
  );
}

const SMALL_CLARINETS: ReadonlySet<InstrumentId> = new Set([
  "clarinet-eflat",
  "clarinet-d",
  "clarinet-aflat",
]);

/** The candidate most like what the player has been playing. */
function nearest(
  candidates: readonly InstrumentId[],
  { current, used, declared = [], holdsAny = false }: ResolveContext,
  name: NamedInstrument | undefined,
): InstrumentId | undefined {
  // Nobody calls an E-flat clarinet just "Cl.".
  const isBare = name?.family === "clarinet" && name.keyFifths === undefined;
  const distance = (id: InstrumentId): number =>
    plainDistance(id) + (isBare && SMALL_CLARINETS.has(id) ? 0.5 : 0);
  const plainDistance = (id: InstrumentId): number => {
    const before = used.indexOf(id);
    if (before >= 0) return before / 100;
    if (declared.includes(id)) return 0.5;
    // A book that holds any woodwind is as likely to go on with one as with another.
    if (!current || holdsAny) return 1;
    const [a, b] = [INSTRUMENTS[id], INSTRUMENTS[current]];
    if (a.standInGroup !== undefined && a.standInGroup === b.standInGroup) return 1;
    return a.family === b.family ? 2 : 3;
  };
  return [...candidates].sort((a, b) => distance(a) - distance(b))[0];
}
