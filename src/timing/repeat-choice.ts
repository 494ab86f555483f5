import { InputError } from "../model/input-error.js";
import type { Bar } from "../model/score.js";
import type { RepeatChoice } from "../model/tempo.js";
import { endingsOfRow, endOfEnding, leavingEnding, repeatSigns } from "./repeat-endings.js";

/** What is not repeated because the player asked for it. */
export interface LeftOut {
  /** Bars whose backward sign is passed over. */
  readonly signs: ReadonlySet<number>;
  /** The bars where the endings of these repeats begin, and whether the ending is the one to play. */
  readonly endings: ReadonlyMap<number, boolean>;
}

/** A section that is repeated: its backward signs are several where its endings stand in a row. */
interface Repeat {
  readonly signs: number[];
  /** The bars where its endings begin. */
  readonly row: readonly number[];
}

/** A message gets no longer. */
const MOST_NAMED = 20;

/**
 * The repeats that a choice leaves out. `first-only` keeps the one whose sign comes first on the page.
 * @throws InputError `no-matching-repeat` when it names a bar that closes no repeat
 */
export function repeatsLeftOut(bars: readonly Bar[], choice: RepeatChoice): LeftOut {
  const repeats = choice === "all" ? [] : repeatsOf(bars);
  const isTaken = takenBy(bars, repeats, choice);
  const left = repeats.filter((repeat) => !isTaken(repeat));
  return {
    signs: new Set(left.flatMap(({ signs }) => signs)),
    endings: new Map(
      left.flatMap(({ row }) => {
        const last = leavingEnding(bars, row);
        return row.map((start) => [start, start === last] as const);
      }),
    ),
  };
}

function takenBy(
  bars: readonly Bar[],
  repeats: readonly Repeat[],
  choice: RepeatChoice,
): (repeat: Repeat) => boolean {
  if (choice === "all") return () => true;
  if (choice === "none") return () => false;
  if (choice === "first-only") return (repeat) => repeat === repeats[0];
  const labels = new Map(repeats.map((repeat) => [repeat, labelsOf(bars, repeat)]));
  const known = new Set([...labels.values()].flat());
  const stray = choice.find((label) => !known.has(label));
  if (stray !== undefined) {
    throw new InputError("no-matching-repeat", noMatch(bars, repeats, stray));
  }
  const wanted = new Set(choice);
  return (repeat) => (labels.get(repeat) ?? []).some((label) => wanted.has(label));
}

/** In the order of their first signs. A section marked to be played once is none. */
function repeatsOf(bars: readonly Bar[]): readonly Repeat[] {
  const byStart = new Map<number, Repeat>();
  for (const { barIndex, ending, times } of repeatSigns(bars)) {
    if (times === 1) continue;
    const row = ending === undefined ? [] : endingsOfRow(bars, ending);
    const key = row[0] ?? barIndex;
    const known = byStart.get(key);
    if (known) known.signs.push(barIndex);
    else byStart.set(key, { signs: [barIndex], row });
  }
  return [...byStart.values()];
}

/** The bars by which a player may name a repeat: those of its signs, and all under its endings. */
function labelsOf(bars: readonly Bar[], { signs, row }: Repeat): readonly string[] {
  const under = row.flatMap((start) => bars.slice(start, endOfEnding(bars, start) + 1));
  return [...signs.flatMap((k) => bars[k] ?? []), ...under].map(({ barLabel }) => barLabel);
}

function noMatch(bars: readonly Bar[], repeats: readonly Repeat[], label: string): string {
  const closing = repeats.flatMap(({ signs }) => signs.flatMap((k) => bars[k]?.barLabel ?? []));
  if (closing.length === 0) return `no repeat ends at bar ${label}: the part has none`;
  const named = closing.slice(0, MOST_NAMED).join(", ");
  const more = closing.length > MOST_NAMED ? " and others" : "";
  return `no repeat ends at bar ${label}: repeats end at bars ${named}${more}`;
}
