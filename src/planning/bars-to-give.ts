import type { InstrumentId } from "../model/instrument.js";
import type { ColleagueTakesBars, PlannablePassage } from "../model/plan.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { isUnsafe, type PlacedChange, type PlanBasis } from "./basis.js";
import { changeWith, type WhichNotes } from "./fewer-notes.js";

/** More bars than these are a part of their own. */
const MOST_BARS_GIVEN = 8;

/** Whole bars on one side of a change without whose notes it can be made, or need not be. */
export interface GivenBars extends Pick<ColleagueTakesBars, "which" | "gained"> {
  /** The bars in the order of performance, both included: positions in the performance's visits. */
  readonly first: number;
  readonly last: number;
  /** What the player would have played in them of the passage, in the order of performance. */
  readonly notes: readonly PerformedNote[];
  readonly passage: PlannablePassage;
}

/**
 * The fewest bars at the end of the passage before the change, and at the start of the one after it, without
 * which the change is possible, and without which it is safe. Where that is the whole passage and the same
 * instrument, or none, is played on its other side, no change is left. No bars begin or end inside a tie.
 * @param instruments one for each passage
 */
export function barsToGive(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
  placed: PlacedChange,
): readonly GivenBars[] {
  return (["last", "first"] as const).flatMap((which) => {
    const found: GivenBars[] = [];
    for (let bars = 1; bars <= MOST_BARS_GIVEN; bars++) {
      const given = give(basis, instruments, placed, which, bars);
      if (given === "too-many") break;
      if (given === "inside-tie") continue;
      const verdict = given.gained?.verdict;
      if (verdict === undefined || !isUnsafe({ verdict })) return [...found, given];
      const isFirst = found.length === 0 && placed.change.verdict === "impossible";
      if (isFirst && verdict === "tight") found.push(given);
    }
    return found;
  });
}

function give(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
  { change, visitIndex }: PlacedChange,
  which: WhichNotes,
  bars: number,
): GivenBars | "too-many" | "inside-tie" {
  const own = basis.visits[which === "last" ? visitIndex - 1 : visitIndex];
  const passage = basis.passages[own?.passage ?? -1];
  const gap = basis.visits[visitIndex]?.gap;
  const edge = (which === "last" ? own?.notes.at(-1) : own?.notes[0])?.visit.visitIndex;
  if (!own || !passage || !gap || edge === undefined) return "too-many";
  const [first, last] = which === "last" ? [edge - bars + 1, edge] : [edge, edge + bars - 1];
  const isGiven = ({ visit }: PerformedNote) =>
    visit.visitIndex >= first && visit.visitIndex <= last;
  const notes = own.notes.filter(isGiven);
  const kept = own.notes.filter((note) => !isGiven(note));
  const span = { which, first, last, notes, passage };
  if (kept.length === 0) {
    const beyond = basis.visits[which === "last" ? visitIndex - 2 : visitIndex + 1];
    const there = which === "last" ? change.to : change.from;
    const isSame = !beyond || instruments[beyond.passage] === there;
    return isSame ? { ...span, gained: null } : "too-many";
  }
  if (cutsTie(which === "last" ? notes : kept)) return "inside-tie";
  const then = changeWith(basis, gap, change, which, kept);
  if (!then) return "too-many";
  return {
    ...span,
    gained: {
      seconds: then.rest.seconds.short - change.rest.seconds.short,
      verdict: then.verdict,
    },
  };
}

/** Whether some notes begin with one that goes on from before. */
function cutsTie(notes: readonly PerformedNote[]): boolean {
  const [first] = notes;
  return notes.some(
    ({ note, startQuarters }) =>
      note.tiedFromBefore && first !== undefined && startQuarters.equals(first.startQuarters),
  );
}
