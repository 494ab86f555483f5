import { isFingeredHere, registerOf } from "../fingering/fingerings.js";
import { readingStrain } from "../fingering/reading.js";
import { strainOf, WEIGHTS } from "../fingering/weights.js";
import { INSTRUMENTS } from "../instruments/table.js";
import { OUT_OF_RANGE_POINTS, REGISTERS, type Register } from "../model/fingering.js";
import type { InstrumentId } from "../model/instrument.js";
import type { DifficultyReason, InstrumentChoice } from "../model/report.js";
import type { SpelledPitch } from "../model/score.js";
import type { Moment } from "../model/time.js";
import { writtenKey, type WrittenKey } from "../theory/key.js";
import { midiNumber, movePitch, writtenPitch } from "../theory/pitch.js";
import { countBreaks, handsOn, hardSpots, type HandsOnIt } from "./hard-spots.js";
import type { LineNote } from "./line.js";
import { rateTrills, type SoundingTrill } from "./trills.js";

/** A passage as it sounds, to be read on one instrument or another. */
export interface SoundingPassage {
  /** Every pitch that sounds, ties and chords as printed. */
  readonly pitches: readonly SpelledPitch[];
  /** The line the fingers play, each note with what it sounds. */
  readonly line: readonly (LineNote & { readonly sounding: SpelledPitch })[];
  readonly trills: readonly SoundingTrill[];
  readonly soundingFifths: number | null;
  readonly momentOf: (note: LineNote) => Moment;
}

/**
 * How a passage would lie on each instrument: its key, its accidentals, its range, what the fingers have to
 * do at the speed of the passage, and the worst places. The score is that of `Difficulty`.
 */
export function rateChoices(
  candidates: readonly InstrumentId[],
  printed: InstrumentId,
  passage: SoundingPassage,
): readonly InstrumentChoice[] {
  const rated = candidates.map((id) => rateChoice(id, printed, passage));
  const hands = rated.flatMap(({ hands }) => hands ?? []);
  return rated.map(({ choice, hands: own }) =>
    own ? { ...choice, spots: hardSpots(own, hands, passage) } : choice,
  );
}

interface RatedChoice {
  readonly choice: InstrumentChoice;
  /** What the fingers do; null for instruments without a table of fingerings. */
  readonly hands: HandsOnIt | null;
}

function rateChoice(
  id: InstrumentId,
  printed: InstrumentId,
  passage: SoundingPassage,
): RatedChoice {
  const { soundingFifths, pitches, line } = passage;
  const instrument = INSTRUMENTS[id];
  const key =
    soundingFifths === null ? null : keyRead(soundingFifths, instrument.keyFifths, id === printed);
  const respelling =
    key && soundingFifths !== null ? soundingFifths - instrument.keyFifths - key.fifths : 0;
  const { transposition } = instrument.notations[0];
  const write = (sounding: SpelledPitch) =>
    respell(writtenPitch(sounding, transposition), respelling);
  const all = pitches.map(write);
  const written = line.map(({ sounding }) => write(sounding));
  const reading = readingStrain(
    line.map(({ seconds, performed }, k) => ({
      pitch: written[k] ?? all[0] ?? C4,
      seconds,
      bar: performed.visit.visitIndex,
      tied: performed.note.tiedFromBefore,
    })),
    key?.fifths ?? null,
  );
  const hands = isFingeredHere(id) ? handsOn(id, written, passage) : null;
  const fingers = hands && hands.best.score;
  const movement = fingers ?? speedScore(line);
  const range = rangeOf(id, all);
  const altered = all.filter(({ alter }) => alter !== 0).length;
  const choice: InstrumentChoice = {
    instrument: id,
    printed: id === printed,
    writtenFifths: key?.fifths ?? null,
    respelled: key?.respelled ?? false,
    accidentals: reading.accidentals,
    ...range,
    registers: isFingeredHere(id) ? countRegisters(all) : null,
    breakCrossings: hands ? countBreaks(hands.best) : 0,
    difficulty: {
      score: movement + reading.score + (range.outOfRange > 0 ? OUT_OF_RANGE_POINTS : 0),
      fingers,
      reading: reading.score,
      reasons: reasonsOf(altered, reading.accidentals, range.outOfRange, all.length),
    },
    spots: [],
    trills: hands ? rateTrills(passage.trills, write) : [],
  };
  return { choice, hands };
}

const C4: SpelledPitch = { step: "C", alter: 0, octave: 4 };

/** Without fingerings every move counts as one of a fluent scale. */
function speedScore(line: readonly LineNote[]): number {
  const load = line.reduce((sum, { seconds }) => sum + strainOf(WEIGHTS.unitEffort, seconds), 0);
  return load / Math.max(1, line.length);
}

function rangeOf(id: InstrumentId, written: readonly SpelledPitch[]) {
  const { lowest: floor, highest: ceiling } = INSTRUMENTS[id];
  const sorted = [...written].sort((a, b) => midiNumber(a) - midiNumber(b));
  const tooLow = written.filter((pitch) => midiNumber(pitch) < midiNumber(floor)).length;
  const tooHigh = written.filter((pitch) => midiNumber(pitch) > midiNumber(ceiling)).length;
  return {
    lowest: sorted[0] ?? null,
    highest: sorted.at(-1) ?? null,
    outOfRange: tooLow + tooHigh,
    tooLow,
  };
}

function countRegisters(written: readonly SpelledPitch[]): Readonly<Record<Register, number>> {
  const counts = Object.fromEntries(REGISTERS.map((register) => [register, 0])) as Record<
    Register,
    number
  >;
  for (const pitch of written) counts[registerOf(midiNumber(pitch))]++;
  return counts;
}

function reasonsOf(
  altered: number,
  accidentals: number,
  outOfRange: number,
  of: number,
): readonly DifficultyReason[] {
  const reasons: DifficultyReason[] = [{ kind: "altered-notes", count: altered, of }];
  if (accidentals > 0) reasons.push({ kind: "accidentals", count: accidentals, of });
  if (outOfRange > 0) reasons.push({ kind: "out-of-range", count: outOfRange, of });
  return reasons;
}

/** On the printed instrument the key is that of the page, whatever its spelling. */
function keyRead(soundingFifths: number, instrumentFifths: number, isPrinted: boolean): WrittenKey {
  return isPrinted
    ? { fifths: soundingFifths - instrumentFifths, respelled: false }
    : writtenKey(soundingFifths, instrumentFifths);
}

/** C-sharp major read as D-flat major: every note a letter higher, at the same pitch. */
function respell(pitch: SpelledPitch, respelling: number): SpelledPitch {
  return respelling === 0 ? pitch : movePitch(pitch, Math.sign(respelling), 0);
}
