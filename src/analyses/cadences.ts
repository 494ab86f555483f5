import type { LandmarkEvent } from "../model/landmark.js";
import { SAME, type InBar, type Listened } from "./heard-orchestra.js";
import type { Listening } from "./landmark-events.js";
import { LIMITS } from "./landmark-weights.js";

const NAMES = ["C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"];

/** Semitones by which a bass goes up from the fifth of a key to its root, whole octaves aside. */
const FIFTH_TO_ROOT = 5;
const TRIADS: readonly ReadonlySet<number>[] = [new Set([0, 4, 7]), new Set([0, 3, 7])];

/**
 * A cadence as plain as can be tested: the lowest part falls a fifth (or rises a fourth) to a root over which
 * all that sounds is a major or minor triad with its third, most of those who sound begin there, and for two
 * beats nobody begins anything. Most cadences are not so plain, and are not told.
 */
export function findCadence(
  listening: Listening,
  place: number,
  attacking: readonly InBar[],
  sounding: readonly InBar[],
): readonly { readonly event: LandmarkEvent; readonly parts: readonly Listened[] }[] {
  if (attacking.length < Math.max(LIMITS.cadenceLeast, sounding.length * LIMITS.cadenceParts))
    return [];
  const heard = sounding.flatMap((each) =>
    pitchesAt(each, place).map((pitch) => ({ pitch, each })),
  );
  const [first] = heard;
  if (!first) return [];
  const bass = heard.reduce((low, each) => (each.pitch < low.pitch ? each : low), first);
  if (
    !attacking.includes(bass.each) ||
    !isTriad(
      bass.pitch,
      heard.map(({ pitch }) => pitch),
    )
  )
    return [];
  const before = bassBefore(listening, place, bass.each);
  if (before === undefined || modulo(bass.pitch - before) !== FIFTH_TO_ROOT) return [];
  const quiet = quartersToNextAttack(listening, place);
  const { beatQuarters } = listening;
  if (quiet < LIMITS.cadenceBeats * beatQuarters - SAME) return [];
  return [
    {
      event: {
        kind: "cadence",
        bassPart: nameOf(bass.each.listened),
        from: NAMES[modulo(before)] ?? "",
        to: NAMES[modulo(bass.pitch)] ?? "",
        restBeats: Math.floor(quiet / beatQuarters + SAME),
      },
      parts: attacking.map(({ listened }) => listened),
    },
  ];
}

function nameOf({ other: { part } }: Listened): string {
  return part.name.trim() || part.id;
}

function modulo(semitones: number): number {
  return ((semitones % 12) + 12) % 12;
}

function pitchesAt({ sounds }: InBar, place: number): readonly number[] {
  return sounds
    .filter(({ start, end }) => start <= place + SAME && end > place + SAME)
    .flatMap(({ pitches }) => pitches);
}

function isTriad(root: number, pitches: readonly number[]): boolean {
  const above = new Set(pitches.map((pitch) => modulo(pitch - root)));
  return TRIADS.some(
    (triad) => [...above].every((each) => triad.has(each)) && (above.has(3) || above.has(4)),
  );
}

/** The lowest note that a part has just left, no further back than a beat. */
function bassBefore(
  { orchestra, performance, visitIndex, beatQuarters }: Listening,
  place: number,
  { listened, sounds }: InBar,
): number | undefined {
  const earlier = sounds.filter(({ end }) => end <= place + SAME);
  const inBarBefore = orchestra.soundsOf(listened, visitIndex - 1);
  const length = performance.visits[visitIndex - 1]?.lengthQuarters.valueOf() ?? 0;
  const last = earlier.at(-1) ?? inBarBefore.at(-1);
  if (!last) return undefined;
  const gap = earlier.length > 0 ? place - last.end : place + length - last.end;
  return gap < beatQuarters + SAME ? last.pitches.at(-1) : undefined;
}

/** Quarters from a place until anybody begins a note; at most to the entry. */
function quartersToNextAttack(listening: Listening, place: number): number {
  const { orchestra, performance, visitIndex, lastVisit, entry } = listening;
  let past = 0;
  for (let k = visitIndex; k <= lastVisit; k++) {
    const starts = orchestra
      .inVisit(k)
      .flatMap(({ sounds }) =>
        sounds.filter(({ attack }) => attack).map(({ start }) => past + start),
      )
      .filter((start) => start > place + SAME);
    if (starts.length > 0) return Math.min(entry, ...starts) - place;
    past += performance.visits[k]?.lengthQuarters.valueOf() ?? 0;
    if (past >= entry) break;
  }
  return Math.min(entry, past) - place;
}
