import type { PartNote, PartRest, PartTimeline } from "../model/score.js";
import { groupBy } from "../theory/search.js";
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
    voices.set(barIndex, {
      order,
      activeAt: (note) => {
        const active = order.filter((voice) =>
          byVoice.get(voice)?.some((each) => covers(each, note)),
        );
        // Grace notes that end a trill stand at the end of the bar.
        return active.length > 0 || !note.grace
          ? active
          : order.filter((voice) => byVoice.get(voice)?.some((each) => endsAt(each, note)));
      },
    });
  }
  return voices;
}

function covers({ offset, duration }: Written, at: PartNote): boolean {
  return offset.compare(at.offset) <= 0 && offset.add(duration).compare(at.offset) > 0;
}

function endsAt({ offset, duration }: Written, at: PartNote): boolean {
  return offset.add(duration).equals(at.offset);
}

/** Voices are mostly numbered; the upper has the lower number. */
function compareVoices(a: string, b: string): number {
  return Number(a) - Number(b) || (a < b ? -1 : 1);
}
