import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import type { DifficultyReason, InstrumentChoice } from "../model/report.js";
import type { SpelledPitch } from "../model/score.js";
import { signatureAlter, writtenKey, type WrittenKey } from "../theory/key.js";
import { midiNumber, movePitch, pitchFifths, writtenPitch } from "../theory/pitch.js";

/** A note of a passage as far as reading it on another instrument goes. */
export interface PassageNote {
  readonly sounding: SpelledPitch;
  /** Which time through which bar: accidentals hold to the end of it. */
  readonly visitIndex: number;
  /** Tied from the note before: no accidental is printed again. */
  readonly tied: boolean;
}

/**
 * How a passage would read on an instrument: its key, its accidentals, its range, and a first
 * difficulty. The score is in altered notes: of ten notes, how many are sharp or flat, plus how many
 * carry a printed accidental; ten more when a note lies out of range. It knows nothing of fingers.
 */
export function rateChoice(
  id: InstrumentId,
  printed: InstrumentId,
  notes: readonly PassageNote[],
  soundingFifths: number | null,
): InstrumentChoice {
  const instrument = INSTRUMENTS[id];
  const key =
    soundingFifths === null ? null : keyRead(soundingFifths, instrument.keyFifths, id === printed);
  const respelling =
    key && soundingFifths !== null ? soundingFifths - instrument.keyFifths - key.fifths : 0;
  const { transposition } = instrument.notations[0];
  const written = notes.map(({ sounding }) =>
    respell(writtenPitch(sounding, transposition), respelling),
  );
  const accidentals = countAccidentals(written, notes, key?.fifths ?? 0);
  const altered = written.filter(({ alter }) => alter !== 0).length;
  const sorted = [...written].sort((a, b) => midiNumber(a) - midiNumber(b));
  const [lowest = null] = sorted;
  const highest = sorted.at(-1) ?? null;
  const [floor, ceiling] = [midiNumber(instrument.lowest), midiNumber(instrument.highest)];
  const tooLow = written.filter((pitch) => midiNumber(pitch) < floor).length;
  const outOfRange = tooLow + written.filter((pitch) => midiNumber(pitch) > ceiling).length;
  const count = Math.max(1, notes.length);
  const reasons: DifficultyReason[] = [{ kind: "altered-notes", count: altered, of: notes.length }];
  if (accidentals > 0) reasons.push({ kind: "accidentals", count: accidentals, of: notes.length });
  if (outOfRange > 0) reasons.push({ kind: "out-of-range", count: outOfRange, of: notes.length });
  return {
    instrument: id,
    printed: id === printed,
    writtenFifths: key?.fifths ?? null,
    respelled: key?.respelled ?? false,
    accidentals,
    lowest,
    highest,
    outOfRange,
    tooLow,
    difficulty: {
      score: (10 * (altered + accidentals)) / count + (outOfRange > 0 ? 10 : 0),
      reasons,
    },
  };
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

/** Accidentals as printed by the usual rule: each holds for its line or space to the end of the bar. */
function countAccidentals(
  written: readonly SpelledPitch[],
  notes: readonly PassageNote[],
  signatureFifths: number,
): number {
  let count = 0;
  let visitIndex = -1;
  const inForce = new Map<string, number>();
  written.forEach((pitch, k) => {
    const note = notes[k];
    if (note && note.visitIndex !== visitIndex) {
      inForce.clear();
      visitIndex = note.visitIndex;
    }
    if (note?.tied) return;
    const place = `${pitch.step}${pitch.octave}`;
    const fifths = pitchFifths({ step: pitch.step, alter: 0 });
    const before = inForce.get(place) ?? signatureAlter(signatureFifths, fifths);
    if (before !== pitch.alter) count++;
    inForce.set(place, pitch.alter);
  });
  return count;
}
