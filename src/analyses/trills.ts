import { judgeTrill } from "../fingering/trills.js";
import type { RatedTrill } from "../model/report.js";
import type { SpelledPitch } from "../model/score.js";
import type { Moment } from "../model/time.js";
import { signatureAlter } from "../theory/key.js";
import { midiNumber, movePitch, pitchFifths } from "../theory/pitch.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { moveCause } from "./move-cause.js";

/** A trill or tremolo by the pitches that sound. */
export interface SoundingTrill {
  readonly at: Moment;
  readonly kind: RatedTrill["kind"];
  readonly lower: SpelledPitch;
  readonly upper: SpelledPitch;
}

/** How far the second note of a tremolo may stand in a staff of several voices. */
const NEXT_NOTES = 32;

type ToSounding = (written: SpelledPitch, note: PerformedNote) => SpelledPitch;

/**
 * Trills and two-note tremolos among the notes of a passage. The upper note of a trill is the next of the
 * written key, or what the accidental printed with the sign makes of it.
 */
export function soundingTrills(
  notes: readonly PerformedNote[],
  fifthsOf: (note: PerformedNote) => number,
  toSounding: ToSounding,
  momentOf: (note: PerformedNote) => Moment,
): readonly SoundingTrill[] {
  return notes.flatMap((performed, k): SoundingTrill[] => {
    const { marks, pitches } = performed.note;
    const [written] = pitches;
    if (!written) return [];
    if (!marks?.trill && !marks?.tremolo) return [];
    const at = momentOf(performed);
    if (marks.trill && !marks.trill.continues) {
      const upper = upperNeighbour(written, fifthsOf(performed));
      const alter = marks.trill.accidental ?? alterInForce(upper, notes, k) ?? upper.alter;
      const other = { ...upper, alter };
      return [
        {
          at,
          kind: "trill",
          lower: toSounding(written, performed),
          upper: toSounding(other, performed),
        },
      ];
    }
    const next = notes
      .slice(k + 1, k + 1 + NEXT_NOTES)
      .find(
        ({ note }) => note.voice === performed.note.voice && note.staff === performed.note.staff,
      );
    const other = next?.note.pitches[0];
    if (marks.tremolo?.kind !== "start" || !next || !other) return [];
    const [lower = written, upper = other] = [written, other].sort(
      (a, b) => midiNumber(a) - midiNumber(b),
    );
    return [
      {
        at,
        kind: "tremolo",
        lower: toSounding(lower, performed),
        upper: toSounding(upper, performed),
      },
    ];
  });
}

function upperNeighbour(pitch: SpelledPitch, fifths: number): SpelledPitch {
  const { step, octave } = movePitch({ ...pitch, alter: 0 }, 1, 0);
  return { step, octave, alter: signatureAlter(fifths, pitchFifths({ step, alter: 0 })) };
}

/** An accidental that an earlier note of the bar has brought; undefined where none has. */
function alterInForce(
  { step, octave }: SpelledPitch,
  notes: readonly PerformedNote[],
  before: number,
): number | undefined {
  const bar = notes[before]?.visit.visitIndex;
  for (let k = before - 1; notes[k]?.visit.visitIndex === bar && k >= 0; k--) {
    const note = notes[k]?.note;
    const same = note?.pitches.find((each) => each.step === step && each.octave === octave);
    // The accidental of a note tied over the barline ends with it.
    if (same && !note?.tiedFromBefore) return same.alter;
  }
  return undefined;
}

/** How trills lie on an instrument. */
export function rateTrills(
  trills: readonly SoundingTrill[],
  write: (sounding: SpelledPitch) => SpelledPitch,
): readonly RatedTrill[] {
  return trills.map(({ at, kind, ...pitches }) => {
    const [lower, upper] = [write(pitches.lower), write(pitches.upper)];
    const { verdict, reasons } = judgeTrill(midiNumber(lower), midiNumber(upper));
    // That fingers move is true of every trill; what else there is makes it awkward.
    const telling = reasons.filter((reason) => reason.kind !== "fingers");
    const cause = moveCause(telling) ?? moveCause(reasons) ?? null;
    return { at, kind, lower, upper, verdict, cause };
  });
}
