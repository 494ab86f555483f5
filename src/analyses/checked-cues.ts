import { orchestraGroup, readOrchestraName } from "../instruments/orchestra.js";
import type { CheckedCue, CueVerdict } from "../model/landmark.js";
import type { OtherPart } from "../model/other-part.js";
import type { PartNote, Transposition } from "../model/score.js";
import type { BarVisit } from "../model/time.js";
import { groupBy } from "../theory/search.js";
import { midiNumber, soundingPitch } from "../theory/pitch.js";
import type { AnalysisContext } from "./context.js";
import type { ListenedEntry } from "./landmarks.js";
import { comparePlaces } from "./page-evidence.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * The cue notes of a rest, each run of them with the name printed by it, held against the part it names. Cues
 * are written like the player's own notes; since the change may be printed before or after them, they may sound
 * by the transposition that is left or by the one of the entry.
 */
export function checkedCues(
  context: AnalysisContext,
  entry: ListenedEntry,
  entered: PlayedStretch,
): readonly CheckedCue[] {
  const cues = context.timeline.notes.filter(({ cue, hidden, grace }) => cue && !hidden && !grace);
  if (cues.length === 0) return [];
  const byBar = groupBy(cues, ({ barIndex }) => barIndex);
  const { performance } = context;
  const runs: { visit: BarVisit; notes: PartNote[]; last: BarVisit }[] = [];
  for (let k = performance.visitAt(entry.from).visitIndex; k < performance.visits.length; k++) {
    const visit = performance.visits[k];
    if (!visit || visit.startQuarters.compare(entry.to) >= 0) break;
    const notes = (byBar.get(visit.barIndex) ?? []).filter(({ offset }) => {
      const at = visit.startQuarters.add(offset);
      return at.compare(entry.from) >= 0 && at.compare(entry.to) < 0;
    });
    for (const inBar of byLabel(context, notes)) {
      const run = runs.at(-1);
      const goesOn = run?.last.visitIndex === k - 1 && ownLabel(context, inBar) === "";
      if (run && goesOn) {
        run.notes.push(...inBar);
        run.last = visit;
      } else runs.push({ visit, notes: [...inBar], last: visit });
    }
  }
  const transpositions = transpositionsBy(context, entered);
  return runs.flatMap(({ visit, notes, last }): readonly CheckedCue[] => {
    const [first, final] = [notes[0], notes.at(-1)];
    if (!first || !final) return [];
    const label = ownLabel(context, notes);
    return [
      {
        from: performance.moment(visit, first.offset),
        to: performance.moment(last, final.offset.add(final.duration)),
        label,
        ...held(context.orchestra, label, notes, transpositions),
      },
    ];
  });
}

/** The cue notes of a bar, those of each name together: two players may be cued one after the other. */
function byLabel(
  context: AnalysisContext,
  notes: readonly PartNote[],
): readonly (readonly PartNote[])[] {
  const inOrder = [...notes].sort((a, b) => a.offset.compare(b.offset));
  return [...groupBy(inOrder, (note) => labelAt(context, note)).values()];
}

function ownLabel(context: AnalysisContext, [first]: readonly PartNote[]): string {
  return (first && labelAt(context, first)?.text) ?? "";
}

/** The last words in its bar, at a cue note or before it, that name an instrument. */
function labelAt({ timeline }: AnalysisContext, note: PartNote) {
  return timeline.instructions.findLast(
    ({ kind, at, text }) =>
      kind === "words" &&
      at.barIndex === note.barIndex &&
      comparePlaces(timeline.bars, at, note) <= 0 &&
      readOrchestraName(text) !== undefined,
  );
}

function transpositionsBy(
  { inHand }: AnalysisContext,
  entered: PlayedStretch,
): readonly Transposition[] {
  const [first] = entered.notes;
  const before = first && inHand.previousOnPage.get(first.noteIndex);
  return [before, first?.noteIndex].flatMap((noteIndex) =>
    noteIndex === undefined ? [] : [inHand.transpositionOf(noteIndex)],
  );
}

function held(
  orchestra: readonly OtherPart[],
  label: string,
  notes: readonly PartNote[],
  transpositions: readonly Transposition[],
): Pick<CheckedCue, "parts" | "verdict"> {
  if (orchestra.length === 0) return { parts: [], verdict: "not-checked" };
  const verdicts = (parts: readonly OtherPart[]) =>
    parts.map((part) => ({ part, verdict: bestVerdict(part, notes, transpositions) }));
  if (label === "") {
    // The rhythm of a drum alone tells nothing of what a cue without a name is.
    const isPitched = (part: OtherPart) =>
      notes.some(({ barIndex }) => part.notes(barIndex).some(({ pitches }) => pitches.length > 0));
    const tried = verdicts(orchestra.filter(isPitched));
    for (const verdict of ["as-in-score", "octave-away"] as const) {
      const fitting = tried.filter((each) => each.verdict === verdict);
      if (fitting.length > 0) return { parts: namesOf(fitting), verdict };
    }
    return { parts: [], verdict: "not-named" };
  }
  const tried = verdicts(partsNamed(orchestra, label));
  if (tried.length === 0) return { parts: [], verdict: "no-such-part" };
  for (const verdict of ["as-in-score", "octave-away", "differs"] as const) {
    const fitting = tried.filter((each) => each.verdict === verdict);
    if (fitting.length > 0) return { parts: namesOf(fitting), verdict };
  }
  return { parts: namesOf(tried), verdict: "part-silent" };
}

function namesOf(tried: readonly { readonly part: OtherPart }[]): readonly string[] {
  return tried.map(({ part: { part } }) => part.name.trim() || part.id);
}

/** The parts a label may mean: of the same instrument, and of the same player where both say which. */
function partsNamed(orchestra: readonly OtherPart[], label: string): readonly OtherPart[] {
  const wanted = readOrchestraName(label);
  if (!wanted) return [];
  return orchestra.filter(({ part }) => {
    const named = readOrchestraName(part.name);
    if (!named) return false;
    if (wanted.instrument === "strings") return orchestraGroup(part) === "strings";
    if (named.instrument !== wanted.instrument) return false;
    const bothSay = wanted.players.length > 0 && named.players.length > 0;
    return !bothSay || wanted.players.some((player) => named.players.includes(player));
  });
}

const OCTAVE = 12;

function bestVerdict(
  part: OtherPart,
  notes: readonly PartNote[],
  transpositions: readonly Transposition[],
): Extract<CueVerdict, "as-in-score" | "octave-away" | "differs" | "part-silent"> {
  const bars = [...new Set(notes.map(({ barIndex }) => barIndex))];
  if (bars.every((barIndex) => part.isSilent(barIndex))) return "part-silent";
  const shifts = transpositions.map((by) => shiftOf(part, notes, by));
  if (shifts.includes(0)) return "as-in-score";
  return shifts.some((shift) => shift !== undefined && shift % OCTAVE === 0)
    ? "octave-away"
    : "differs";
}

/** By how many semitones every cue note lies above what the part has at its place; undefined where they differ. */
function shiftOf(
  part: OtherPart,
  notes: readonly PartNote[],
  by: Transposition,
): number | undefined {
  let shared: readonly number[] | undefined;
  for (const cue of notes) {
    const sounding = cue.pitches.map((pitch) => midiNumber(soundingPitch(pitch, by)));
    const [own] = sounding;
    const heard = part
      .notes(cue.barIndex)
      .filter(({ grace, offset }) => !grace && offset.equals(cue.offset));
    if (heard.length === 0) return undefined;
    // Of a drum without pitch the rhythm is all there is.
    if (heard.every(({ pitches }) => pitches.length === 0)) continue;
    if (own === undefined) return undefined;
    const shifts = heard.flatMap(({ pitches }) => pitches.map((pitch) => own - midiNumber(pitch)));
    shared = shared ? shared.filter((shift) => shifts.includes(shift)) : shifts;
  }
  if (!shared || shared.includes(0)) return 0;
  return shared.find((shift) => shift % OCTAVE === 0) ?? shared[0];
}
