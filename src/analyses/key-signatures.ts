import { INSTRUMENTS } from "../instruments/table.js";
import type { Disagreement } from "../model/finding.js";
import type { PartTimeline, Position } from "../model/score.js";
import { writtenKey } from "../theory/key.js";
import { transpositionFifths } from "../theory/pitch.js";
import { playedInOrder } from "../timing/performed-notes.js";
import type { InstrumentsInHand } from "./instruments-in-hand.js";
import { isSameKey, scoreKeyAt } from "./notation.js";
import { inForceAt } from "./in-force.js";

/**
 * Key signatures that are not those of the other players, as the instrument in hand reads them, by the index
 * of the first note under each.
 *
 * A part that never has a signature is left alone (an open key), and so is one without sharps or flats where
 * the others have none either: such music is often notated without keys. Where words and transposition
 * contradict each other, a signature that is right for either is no fault of its own.
 */
export function keyFaults(
  timeline: PartTimeline,
  inHand: Pick<InstrumentsInHand, "instrumentOf" | "transpositionOf" | "printedTranspositionOf">,
): ReadonlyMap<number, Disagreement> {
  const faults = new Map<number, Disagreement>();
  if (timeline.keys.every(({ value }) => value === 0 || value === null)) return faults;
  let before = "";
  for (const noteIndex of playedInOrder(timeline.notes)) {
    const note = timeline.notes[noteIndex];
    if (!note) continue;
    const fault = keyFaultAt(timeline, inHand, noteIndex, note);
    const same = fault ? `${fault.keyBarLabel} ${fault.expectedFifths}` : "";
    if (fault && same !== before) faults.set(noteIndex, fault);
    before = same;
  }
  return faults;
}

function keyFaultAt(
  timeline: PartTimeline,
  inHand: Pick<InstrumentsInHand, "instrumentOf" | "transpositionOf" | "printedTranspositionOf">,
  noteIndex: number,
  at: Position,
): Extract<Disagreement, { kind: "key-against-score" }> | undefined {
  const { bars } = timeline;
  const key = keyAt(timeline, at);
  const scoreKey = scoreKeyAt(timeline, at);
  const written = key?.value ?? null;
  const sounding = scoreKey?.value ?? null;
  if (!key || !scoreKey || written === null || sounding === null) return undefined;
  if (written === 0 && sounding === 0) return undefined;
  const own = inHand.transpositionOf(noteIndex);
  const printed = inHand.printedTranspositionOf(noteIndex) ?? own;
  if (isRight(written, own, sounding) || isRight(written, printed, sounding)) return undefined;
  const label = (place: Position) => bars[place.barIndex]?.barLabel ?? "";
  return {
    kind: "key-against-score",
    barIndex: at.barIndex,
    barLabel: label(at),
    keyBarLabel: label(key.at),
    scoreKeyBarLabel: label(scoreKey.at),
    instrument: inHand.instrumentOf(noteIndex),
    writtenFifths: written,
    expectedFifths: writtenKey(sounding, transpositionFifths(own)).fifths,
  };
}

/** The key signature in force at a place. */
export function keyAt({ keys, bars }: PartTimeline, at: Position) {
  return inForceAt(keys, bars, at);
}

function isRight(
  written: number,
  by: Parameters<typeof transpositionFifths>[0],
  sounding: number,
): boolean {
  return isSameKey(written + transpositionFifths(by), sounding);
}

/** Which of words and transposition the key signature is right for, where the other players' key tells. */
export function keyFits(
  timeline: PartTimeline,
  disagreement: Extract<Disagreement, { kind: "words-against-transposition" }>,
  at: Position,
): "words" | "transposition" | undefined {
  const written = keyAt(timeline, at)?.value ?? null;
  const sounding = scoreKeyAt(timeline, at)?.value ?? null;
  if (written === null || sounding === null || (written === 0 && sounding === 0)) return undefined;
  const fits = (id: typeof disagreement.wordsMean) =>
    isSameKey(written + INSTRUMENTS[id].keyFifths, sounding);
  const words = fits(disagreement.wordsMean);
  const transposition = disagreement.transpositionFits.some(fits);
  return words === transposition ? undefined : words ? "words" : "transposition";
}
