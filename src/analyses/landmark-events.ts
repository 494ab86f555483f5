import type { Fraction } from "../model/fraction.js";
import type { LandmarkEvent, LongSilence, OrchestraGroup } from "../model/landmark.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import type { Performance } from "../timing/performance.js";
import { findCadence } from "./cadences.js";
import { SAME, type HeardOrchestra, type InBar, type Listened } from "./heard-orchestra.js";
import { loudArrivals } from "./loud-arrivals.js";
import { LIMITS } from "./landmark-weights.js";

/** Something that happens at a place in a visit, before it is weighed. */
export interface HeardEvent {
  readonly event: LandmarkEvent;
  readonly parts: readonly Listened[];
  /** Quarters from the start of the visit. */
  readonly place: number;
  readonly offset: Fraction;
  /** All that sounds then, the parts of the event included. */
  readonly sounding: readonly InBar[];
}

/** Where one looks: in a visit, not past the entry. */
export interface Listening {
  readonly orchestra: HeardOrchestra;
  readonly performance: Performance;
  readonly visitIndex: number;
  /** Quarters from the start of this visit to the entry. */
  readonly entry: number;
  /** The visit of the entry. */
  readonly lastVisit: number;
  readonly beatQuarters: number;
  readonly barQuarters: number;
}

/** Groups whose every entrance is noticed. */
const RARE: ReadonlySet<OrchestraGroup> = new Set([
  "brass",
  "timpani",
  "percussion",
  "harp-keys",
  "voice",
]);

/** Everything that happens in one time through a bar, in no order. */
export function eventsIn(listening: Listening): readonly HeardEvent[] {
  const { orchestra, visitIndex, entry } = listening;
  const inBar = orchestra.inVisit(visitIndex);
  const events: HeardEvent[] = [];
  for (const [place, offset] of places(inBar, "start")) {
    if (place >= entry - SAME) continue;
    const sounding = orchestra.soundingAt(visitIndex, place);
    const attacking = sounding.filter(({ sounds }) =>
      sounds.some(({ start, attack }) => attack && start === place),
    );
    if (attacking.length === 0) continue;
    const found = [
      ...entrances(listening, place, attacking),
      ...beginnings(listening, place, attacking, sounding),
      ...soli(listening, place, attacking, sounding),
      ...loudArrivals(listening, place, attacking, many(listening)),
      ...findCadence(listening, place, attacking, sounding),
    ];
    for (const each of found) events.push({ ...each, place, offset, sounding });
  }
  for (const [place, offset] of places(inBar, "end")) {
    if (place >= entry - SAME) continue;
    const sounding = orchestra.soundingAt(visitIndex, place);
    for (const each of stops(listening, place, inBar, sounding)) {
      events.push({ ...each, place, offset, sounding });
    }
  }
  return events;
}

type Found = Pick<HeardEvent, "event" | "parts">;

/** The places at which something begins or ends, exact ones beside their numbers. */
function places(inBar: readonly InBar[], side: "start" | "end"): ReadonlyMap<number, Fraction> {
  const found = new Map<number, Fraction>();
  for (const { sounds } of inBar) {
    for (const sound of sounds) {
      found.set(sound[side], side === "start" ? sound.startOffset : sound.endOffset);
    }
  }
  return found;
}

function listenedTo(inBar: readonly InBar[]): readonly Listened[] {
  return inBar.map(({ listened }) => listened);
}

/** Parts that begin after a long silence; of silences of very different lengths the long ones. */
function entrances(
  listening: Listening,
  place: number,
  attacking: readonly InBar[],
): readonly Found[] {
  const entering = attacking.flatMap((each) => {
    const silence = longSilence(listening, place, each);
    return silence ? [{ listened: each.listened, ...silence }] : [];
  });
  if (entering.length === 0) return [];
  const longest = Math.max(...entering.map(({ silentBars }) => silentBars));
  const together = entering.filter(
    ({ silentBars }) => silentBars >= longest * LIMITS.sharedSilence,
  );
  return [
    {
      event: { kind: "entrance", ...shortest(together) },
      parts: together.map(({ listened }) => listened),
    },
  ];
}

/** The silence that all of some parts have kept. */
function shortest(silences: readonly LongSilence[]): LongSilence {
  return {
    silentBars: Math.min(...silences.map(({ silentBars }) => silentBars)),
    sinceStart: silences.every(({ sinceStart }) => sinceStart),
  };
}

/** The silence that a part ends at a place where it begins a note, if it is long enough to be noticed. */
function longSilence(
  { orchestra, performance, visitIndex }: Listening,
  place: number,
  { listened, sounds }: InBar,
): LongSilence | undefined {
  const visit = performance.visits[visitIndex];
  const offset = sounds.find(({ start }) => start === place)?.startOffset;
  // A silence inside a bar is none to speak of.
  if (!visit || !offset || sounds.some(({ start }) => start < place - SAME)) return undefined;
  const at = visit.startQuarters.add(offset);
  const least = RARE.has(listened.group) ? LIMITS.rareEntranceBars : LIMITS.entranceBars;
  let longest: LongSilence | undefined;
  // Nobody hears that a third horn joins two: it is the silence of all horns that is ended.
  for (const each of [listened, ...orchestra.alikeTo(listened)]) {
    const { from, sinceStart } = orchestra.silenceBefore(each, visitIndex, place);
    if (from.compare(at) >= 0) return undefined;
    const silentBars = performance.barsBetween(from, at);
    if (silentBars < least - SAME) return undefined;
    longest = longest
      ? shortest([longest, { silentBars, sinceStart }])
      : { silentBars, sinceStart };
  }
  return longest;
}

/** Least number of parts that make "many". */
function many({ orchestra }: Listening): number {
  return Math.max(LIMITS.leastMany, Math.ceil(orchestra.parts.length * LIMITS.many - SAME));
}

/** Many parts that begin together after a silence of some beats. */
function beginnings(
  listening: Listening,
  place: number,
  attacking: readonly InBar[],
  sounding: readonly InBar[],
): readonly Found[] {
  if (attacking.length < many(listening)) return [];
  const { orchestra, performance, visitIndex, beatQuarters } = listening;
  const visit = performance.visits[visitIndex];
  if (!visit) return [];
  const now = toNumber(visit.startQuarters) + place;
  const starting = attacking.filter(({ listened }) => {
    const { from, sinceStart } = orchestra.silenceBefore(listened, visitIndex, place);
    return sinceStart || now - toNumber(from) >= LIMITS.gapBeats * beatQuarters - SAME;
  });
  if (starting.length < many(listening)) return [];
  const isTutti = sounding.length >= orchestra.parts.length * LIMITS.tutti - SAME;
  return [
    isTutti
      ? { event: { kind: "tutti" }, parts: listenedTo(sounding) }
      : { event: { kind: "many-start" }, parts: listenedTo(starting) },
  ];
}

/** Many parts that end together and are silent for some beats after. */
function stops(
  listening: Listening,
  place: number,
  inBar: readonly InBar[],
  sounding: readonly InBar[],
): readonly Found[] {
  const going = new Set(listenedTo(sounding));
  const ending = inBar.filter(
    ({ listened, sounds }) =>
      !going.has(listened) && sounds.some(({ end }) => Math.abs(end - place) < SAME),
  );
  if (ending.length < many(listening)) return [];
  const { orchestra, visitIndex, lastVisit, beatQuarters } = listening;
  const gap = LIMITS.gapBeats * beatQuarters;
  const stopping = ending.filter(
    ({ listened }) =>
      orchestra.quartersToNext(listened, visitIndex, place, gap, lastVisit) >= gap - SAME,
  );
  if (stopping.length < many(listening)) return [];
  // Chords that others answer at once are no end, though nobody sounds in between.
  const isAnswered =
    sounding.length === 0 &&
    orchestra.parts.some(
      (part) => orchestra.quartersToNext(part, visitIndex, place, gap, lastVisit) < gap - SAME,
    );
  if (isAnswered) return [];
  return [{ event: { kind: "many-stop", left: sounding.length }, parts: listenedTo(stopping) }];
}

const SOLO = /\bsol[oi]\b/i;

/** A line that begins and is alone for a bar, or until the entry; or those that are marked as a solo. */
function soli(
  listening: Listening,
  place: number,
  attacking: readonly InBar[],
  sounding: readonly InBar[],
): readonly Found[] {
  const { orchestra, performance, visitIndex } = listening;
  const barIndex = performance.visits[visitIndex]?.barIndex ?? 0;
  const [only, ...more] = sounding;
  const alone =
    only !== undefined &&
    more.length === 0 &&
    attacking.includes(only) &&
    beginsAlone(listening, place, only);
  if (orchestra.parts.length < 2) return [];
  const marked = attacking.filter((each) =>
    each.listened.other.words(barIndex).some(({ offset, text }) => {
      // The words stand over the note they are for, or before it.
      const over = each.sounds.find(({ start }) => start >= toNumber(offset) - SAME);
      return SOLO.test(text) && over?.start === place && over.attack;
    }),
  );
  const soloists = alone ? [only] : marked;
  if (soloists.length === 0) return [];
  const silences = soloists.map((each) => longSilence(listening, place, each));
  const broken = silences.filter((silence) => silence !== undefined);
  const silence = broken.length === soloists.length ? shortest(broken) : undefined;
  return [
    {
      event: { kind: "solo", alone, marked: marked.length > 0, ...(silence && { silence }) },
      parts: listenedTo(soloists),
    },
  ];
}

function beginsAlone(listening: Listening, place: number, { listened, sounds }: InBar): boolean {
  const { orchestra, visitIndex, lastVisit, entry, beatQuarters, barQuarters } = listening;
  const span = Math.min(LIMITS.soloBars * barQuarters, entry - place);
  if (span < LIMITS.gapBeats * beatQuarters - SAME) return false;
  const others = orchestra.parts.filter((each) => each !== listened);
  const staysAlone = others.every(
    (other) => orchestra.quartersToNext(other, visitIndex, place, span, lastVisit) >= span - SAME,
  );
  if (!staysAlone) return false;
  // One short note is no line.
  const later = orchestra.soundsOf(listened, visitIndex + 1);
  const length = toNumber(listening.performance.visits[visitIndex]?.lengthQuarters ?? ZERO);
  const played = [
    ...sounds.map(({ start, end }) => [start, end] as const),
    ...later.map(({ start, end }) => [start + length, end + length] as const),
  ].reduce(
    (sum, [start, end]) => sum + Math.max(0, Math.min(end, place + span) - Math.max(start, place)),
    0,
  );
  if (played < span / 2 - SAME) return false;
  // The line begins with the first note that is begun alone, or after a silence of its own.
  const before = lastStart(listening, listened, place);
  return (
    others.some((other) => lastHeard(listening, other, place) > before + SAME) ||
    lastHeard(listening, listened, place) <= -LIMITS.gapBeats * beatQuarters + SAME
  );
}

/** Where the note of a part before a place begins, in this bar or the one before: quarters from there. */
function lastStart(
  { orchestra, performance, visitIndex }: Listening,
  part: Listened,
  place: number,
): number {
  const inBar = orchestra.soundsOf(part, visitIndex).filter(({ start }) => start < place - SAME);
  const here = inBar.at(-1);
  if (here) return here.start - place;
  const length = toNumber(performance.visits[visitIndex - 1]?.lengthQuarters ?? ZERO);
  const before = orchestra.soundsOf(part, visitIndex - 1).at(-1);
  return (before ? before.start : 0) - length - place;
}

/** Where the last note of a part before a place ends, in quarters from there: 0 or less. */
function lastHeard(
  { orchestra, performance, visitIndex }: Listening,
  part: Listened,
  place: number,
): number {
  const { from, sinceStart } = orchestra.silenceBefore(part, visitIndex, place);
  if (sinceStart) return -Infinity;
  const visit = performance.visits[visitIndex];
  return Math.min(0, toNumber(from) - toNumber(visit?.startQuarters ?? from) - place);
}
