import type { Fraction } from "../model/fraction.js";
import type { PartNote, PartRest, PartTimeline } from "../model/score.js";
import { maxFraction, ZERO } from "../theory/fraction.js";
import { groupBy, lastIndexWhere } from "../theory/search.js";
import { isPlayed } from "../timing/performed-notes.js";

/** The voices of one bar as the reader sees them. */
export interface BarVoices {
  /** Voices with a note or a printed rest, the upper first. */
  readonly order: readonly string[];
  /** Those of them that have a note or a printed rest at the place of a note. */
  readonly activeAt: (note: PartNote) => readonly string[];
}

type Written = Pick<PartRest, "barIndex" | "offset" | "duration" | "voice">;

/** The voices of every bar of a staff that has more than one. */
export function barVoices({ notes, rests }: PartTimeline): ReadonlyMap<number, BarVoices> {
  const written: readonly Written[] = [
    ...notes.filter(isPlayed),
    ...rests.filter(({ hidden }) => !hidden),
  ];
  const byBar = groupBy(written, ({ barIndex }) => barIndex);
  const voices = new Map<number, BarVoices>();
  for (const [barIndex, inBar] of byBar) {
    const byVoice = groupBy(inBar, ({ voice }) => voice);
    if (byVoice.size < 2) continue;
    const order = [...byVoice.keys()].sort(compareVoices);
    const covers = order.map((voice) => coverOf(byVoice.get(voice) ?? []));
    voices.set(barIndex, {
      order,
      activeAt: ({ offset, grace }) => {
        const active = order.filter((_, k) => covers[k]?.covers(offset));
        // Grace notes that end a trill stand at the end of the bar.
        return active.length > 0 || !grace
          ? active
          : order.filter((_, k) => covers[k]?.ends(offset));
      },
    });
  }
  return voices;
}

/** What a voice has written at a place; in the order of the bar, so that long bars are no matter. */
function coverOf(written: readonly Written[]) {
  const inOrder = [...written].sort((a, b) => a.offset.compare(b.offset));
  let latest = ZERO;
  const latestEnds = inOrder.map(({ offset, duration }) => {
    latest = maxFraction(latest, offset.add(duration));
    return latest;
  });
  const ends = new Set(inOrder.map(({ offset, duration }) => offset.add(duration).toFraction()));
  return {
    covers: (at: Fraction) => {
      const last = lastIndexWhere(
        inOrder.length,
        (k) => (inOrder[k]?.offset.compare(at) ?? 1) <= 0,
      );
      const begun = (inOrder[last]?.offset.compare(at) ?? 1) <= 0;
      return begun && (latestEnds[last]?.compare(at) ?? -1) > 0;
    },
    ends: (at: Fraction) => ends.has(at.toFraction()),
  };
}

/** Voices are mostly numbered; the upper has the lower number. */
function compareVoices(a: string, b: string): number {
  return Number(a) - Number(b) || (a < b ? -1 : 1);
}
