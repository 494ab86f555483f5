import { orchestraGroup, readOrchestraName } from "../instruments/orchestra.js";
import type { Fraction } from "../model/fraction.js";
import type { OrchestraGroup } from "../model/landmark.js";
import type { OtherPart } from "../model/other-part.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import { KeptWith } from "../theory/kept-with.js";
import { midiNumber } from "../theory/pitch.js";
import type { Performance } from "../timing/performance.js";

/** A note or chord of another part; places are quarters from the start of its bar, equal where the fractions are. */
export interface HeardSound {
  readonly start: number;
  readonly end: number;
  readonly startOffset: Fraction;
  readonly endOffset: Fraction;
  /** Whether it begins here, rather than being tied from before. */
  readonly attack: boolean;
  /** Sounding, MIDI numbers, highest first; empty for a drum without pitch. */
  readonly pitches: readonly number[];
}

/** Another part, with its place in the score and its group. */
export interface Listened {
  readonly other: OtherPart;
  readonly index: number;
  readonly group: OrchestraGroup;
  /** What it sounds like: parts that say the same cannot be told apart by ear. Null where the name tells nothing. */
  readonly instrument: string | null;
}

/** Groups in which one name stands for many sounds: "Percussion 1", "Soprano". */
const MANY_SOUNDS: ReadonlySet<OrchestraGroup> = new Set(["percussion", "voice", "other"]);

function instrumentOf({ name }: OtherPart["part"], group: OrchestraGroup): string | null {
  return MANY_SOUNDS.has(group) ? null : (readOrchestraName(name)?.instrument ?? null);
}

/** What one part plays in a bar. */
export interface InBar {
  readonly listened: Listened;
  readonly sounds: readonly HeardSound[];
}

/** A silence of a part that ends at some moment. */
export interface SilenceBefore {
  readonly from: Fraction;
  /** Whether the part has not played before. */
  readonly sinceStart: boolean;
}

/** Places in a bar that differ by less are one: they come from exact fractions. */
export const SAME = 1e-9;

/** The other parts in the order of performance; a bar of theirs is read once, and only when it is asked for. */
export class HeardOrchestra {
  readonly parts: readonly Listened[];
  private readonly read = new Map<number, readonly InBar[]>();

  constructor(
    orchestra: readonly OtherPart[],
    private readonly performance: Performance,
  ) {
    this.parts = orchestra.map((other, index) => {
      const group = orchestraGroup(other.part);
      return { other, index, group, instrument: instrumentOf(other.part, group) };
    });
  }

  /** The other parts for the same instrument: the second flute, the divided violins. */
  alikeTo({ index, instrument }: Listened): readonly Listened[] {
    return instrument === null
      ? []
      : this.parts.filter((each) => each.index !== index && each.instrument === instrument);
  }

  /** The parts that sound in a time through a bar. Grace notes take no time. */
  inVisit(visitIndex: number): readonly InBar[] {
    const barIndex = this.performance.visits[visitIndex]?.barIndex;
    if (barIndex === undefined) return [];
    const known = this.read.get(barIndex);
    if (known) return known;
    const found = this.parts.flatMap((listened): readonly InBar[] => {
      const sounds = soundsIn(listened.other, barIndex);
      return sounds.length > 0 ? [{ listened, sounds }] : [];
    });
    this.read.set(barIndex, found);
    return found;
  }

  /** Whether some part that rests in all of the two bars before plays in a visit: told without reading most bars. */
  mayEnter(visitIndex: number): boolean {
    const { visits } = this.performance;
    const [before, earlier, bar] = [1, 2, 0].map((back) => visits[visitIndex - back]?.barIndex);
    if (bar === undefined) return false;
    return this.parts.some(
      ({ other }) =>
        !other.isSilent(bar) &&
        (before === undefined || other.isSilent(before)) &&
        (earlier === undefined || other.isSilent(earlier)),
    );
  }

  soundsOf(listened: Listened, visitIndex: number): readonly HeardSound[] {
    return this.inVisit(visitIndex).find((each) => each.listened === listened)?.sounds ?? [];
  }

  /** The parts that sound at a place in a visit; at its very end those of the next. */
  soundingAt(visitIndex: number, place: number): readonly InBar[] {
    const visit = this.performance.visits[visitIndex];
    if (
      visit &&
      place >= toNumber(visit.lengthQuarters) - SAME &&
      visitIndex + 1 < this.visitCount
    ) {
      return this.soundingAt(visitIndex + 1, 0);
    }
    return this.inVisit(visitIndex).filter(({ sounds }) =>
      sounds.some(({ start, end }) => start <= place + SAME && end > place + SAME),
    );
  }

  /** The silence of a part that ends at a place in a visit. */
  silenceBefore(listened: Listened, visitIndex: number, place: number): SilenceBefore {
    const { visits } = this.performance;
    for (let k = visitIndex; k >= 0; k--) {
      const visit = visits[k];
      // Most bars of rest are told without reading them.
      if (!visit || (k < visitIndex && listened.other.isSilent(visit.barIndex))) continue;
      const sounds =
        k < visitIndex ? soundsIn(listened.other, visit.barIndex) : this.soundsOf(listened, k);
      const last = lastToEnd(
        k < visitIndex ? sounds : sounds.filter(({ start }) => start < place - SAME),
      );
      if (last) return { from: visit.startQuarters.add(last.endOffset), sinceStart: false };
    }
    return { from: ZERO, sinceStart: true };
  }

  /**
   * Quarters from a place in a visit to the next note of a part, a tied one included.
   * @param enough where the answer is no less, the search stops
   * @param lastVisit bars after this one are not looked at, and count as played in
   */
  quartersToNext(
    listened: Listened,
    visitIndex: number,
    place: number,
    enough: number,
    lastVisit: number,
  ): number {
    const { visits } = this.performance;
    let past = -place;
    for (let k = visitIndex; k <= lastVisit && k < visits.length && past < enough; k++) {
      const after = this.soundsOf(listened, k).filter(
        ({ start }) => k > visitIndex || start >= place - SAME,
      );
      if (after.length > 0) return past + Math.min(...after.map(({ start }) => start));
      past += toNumber(visits[k]?.lengthQuarters ?? ZERO);
    }
    return past;
  }

  private get visitCount(): number {
    return this.performance.visits.length;
  }
}

const readBars = new KeptWith<OtherPart, Map<number, readonly HeardSound[]>>();

/** What a part plays in a bar, in order; remembered with the part, which never changes. */
function soundsIn(other: OtherPart, barIndex: number): readonly HeardSound[] {
  const bars = readBars.of(other, () => new Map<number, readonly HeardSound[]>());
  const known = bars.get(barIndex);
  if (known) return known;
  const sounds = other.isSilent(barIndex)
    ? []
    : other
        .notes(barIndex)
        .filter(({ grace }) => !grace)
        .map(({ offset, duration, pitches, tiedFromBefore }): HeardSound => {
          const endOffset = offset.add(duration);
          return {
            start: toNumber(offset),
            end: toNumber(endOffset),
            startOffset: offset,
            endOffset,
            attack: !tiedFromBefore,
            pitches: pitches.map(midiNumber),
          };
        })
        .sort((a, b) => a.start - b.start);
  bars.set(barIndex, sounds);
  return sounds;
}

function lastToEnd(sounds: readonly HeardSound[]): HeardSound | undefined {
  let last: HeardSound | undefined;
  for (const sound of sounds) if (!last || sound.end > last.end) last = sound;
  return last;
}
