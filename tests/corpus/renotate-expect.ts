import { findChanges } from "../../src/analyses/changes.js";
import { analysisContext } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore } from "../../src/musicxml/document.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { InstrumentChange } from "../../src/model/report.js";
import type { PartTimeline, Transposition } from "../../src/model/score.js";
import { toNumber } from "../../src/theory/fraction.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import { comparePlaces, type SourceNote } from "./renotate-source.js";
import type { Passage, Plan } from "./renotate.js";

/** A change as far as a generated part determines it. */
export interface ChangeFacts {
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly bar: string;
  /** Quarters of the performance. */
  readonly leave: number;
  readonly enter: number;
  /** Kinds of evidence, in alphabetical order. */
  readonly evidence: readonly string[];
}

/** The changes of a generated part, from its plan and from the notes of the part it was made from. */
export function expectedChanges(plan: Plan): readonly ChangeFacts[] {
  return changesOfPlan(plan).map(({ facts }) => facts);
}

/** The same with the passage that each begins; without one where only a repeat makes the change. */
export function changesOfPlan(
  plan: Plan,
): readonly { readonly facts: ChangeFacts; readonly passage: Passage | undefined }[] {
  const { source, passages } = plan;
  const { divisions } = source;
  const notesOf = new Map<number, (SourceNote & { readonly index: number })[]>();
  source.notes.forEach((note, index) => {
    notesOf.set(note.bar, [...(notesOf.get(note.bar) ?? []), { ...note, index }]);
  });
  const changes: { facts: ChangeFacts; passage: Passage | undefined }[] = [];
  let start = 0;
  let end: number | undefined;
  let before: { index: number; inHand: InstrumentId } | undefined;
  for (const bar of barsInOrder(plan)) {
    for (const note of notesOf.get(bar) ?? []) {
      const { index } = note;
      const passage = passages.findLast(({ entry }) => comparePlaces(entry, note) <= 0);
      if (!passage) throw new Error("every note is in a passage");
      const { inHand } = passage;
      if (before && end !== undefined && before.inHand !== inHand) {
        const enter = start + note.at;
        const isPrinted = before.index === index - 1;
        changes.push({
          facts: {
            from: before.inHand,
            to: inHand,
            bar: source.bars[bar]?.label ?? "",
            leave: Math.min(end, enter) / divisions,
            enter: enter / divisions,
            evidence: isPrinted ? evidenceKinds(plan, passage) : ["repeat"],
          },
          passage: isPrinted ? passage : undefined,
        });
      }
      before = { index, inHand };
      end = Math.max(end ?? 0, start + note.end);
    }
    start += source.bars[bar]?.length ?? 0;
  }
  return changes;
}

/** The bars of the piece as they are played: cuts other than the whole part hold no repeats. */
function barsInOrder({ source, cut }: Plan): readonly number[] {
  if (cut.to - cut.from === source.bars.length)
    return source.visits.map(({ barIndex }) => barIndex);
  return Array.from({ length: cut.to - cut.from }, (_, k) => cut.from + k);
}

function evidenceKinds(
  { noteInstruments, passages }: Plan,
  { change, notated }: Plan["passages"][number],
): readonly string[] {
  const before = passages[passages.findIndex((each) => each.change === change) - 1];
  return [
    ...(before?.notated !== notated ? ["transpose"] : []),
    ...(noteInstruments ? ["note-instrument"] : []),
    ...(change?.signs ?? []).flatMap(({ kind, sound }) =>
      sound === undefined ? [kind] : [kind, "instrument-change"],
    ),
  ].sort();
}

export type ReadBack = ReturnType<typeof readBack>;

/** A generated part read back by the project. */
export function readBack(xml: string) {
  const score = openScore(Buffer.from(xml));
  const timeline = score.timeline("P1");
  const { context, notices } = analysisContext(timeline, USUAL_PROFILE);
  return { score, timeline, context, changes: findChanges(context), notices };
}

/** The same of what was found. */
export function foundChanges(changes: readonly InstrumentChange[]): readonly ChangeFacts[] {
  return changes.map(({ from, to, leave, enter, evidence }) => ({
    from,
    to,
    bar: enter.barLabel,
    leave: toNumber(leave.quarters),
    enter: toNumber(enter.quarters),
    evidence: evidence.map(({ kind }) => kind).sort(),
  }));
}

/** Place and sounding pitches of every note of some bars, a line for each. */
export function soundingNotes(
  { notes }: PartTimeline,
  transpositionOf: (noteIndex: number) => Transposition,
  from = 0,
  to = Infinity,
): readonly string[] {
  return notes.flatMap((note, k) => {
    if (note.barIndex < from || note.barIndex >= to) return [];
    const pitches = note.pitches.map((pitch) =>
      midiNumber(soundingPitch(pitch, transpositionOf(k))),
    );
    return [
      `${note.barIndex - from} ${note.offset.toFraction()} ${note.duration.toFraction()} ${pitches.join()}`,
    ];
  });
}

/** Notices that say something odd of an instrument; a part whose signs agree has none of them. */
export const INSTRUMENT_NOTICES: ReadonlySet<string> = new Set([
  "disagreement",
  "name-against-transposition",
  "transposition-unknown",
  "instrument-assumed",
  "instruction-unclear",
  "odd-number",
]);
