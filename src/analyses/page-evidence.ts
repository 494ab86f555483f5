import type { Evidence, Notice } from "../model/finding.js";
import { readChangeWords } from "../instruments/change-words.js";
import { readInstrumentName, type NamedInstrument } from "../instruments/names.js";
import type {
  Bar,
  PartTimeline,
  Position,
  PrintedInstruction,
  Transposition,
} from "../model/score.js";
import { isPositive } from "../theory/fraction.js";
import { isPlayed } from "../timing/performed-notes.js";
import { placeKey } from "./cue-places.js";
import { joinSplitWords } from "./split-words.js";
import { sameTransposition, transpositionSemitones } from "../theory/pitch.js";

/** A sign on the page that may mean another instrument. */
export interface PageSign {
  readonly at: Position;
  readonly kind: Evidence["kind"];
  readonly text: string;
  /**
   * When it holds: signs that govern the notes and labels from the next note on,
   * words that prepare a change from the first note after a rest.
   */
  readonly takesEffect: "next-note" | "after-rest";
  /** Whether it alone decides how the notes sound, so that a change need not wait for a rest. */
  readonly governs: boolean;
  readonly name?: NamedInstrument;
  readonly sound?: string;
  readonly transposition?: Transposition;
  /** Words that ask for something that could not be understood: they decide nothing, but they warn. */
  readonly isUnclear?: true;
  /** A bare abbreviation, which heads cues as well: heeded only on the way back to what was played before. */
  readonly onlyReturns?: true;
  /** Players of a shared staff that the words name; the others go on as before. */
  readonly players?: readonly number[];
}

/** An instrument without `<transpose>` sounds as written. */
export const AS_WRITTEN: Transposition = { diatonic: 0, chromatic: 0, octaveChange: 0 };

/** All such signs in the order of the page, and the texts that could not be understood. */
export function pageSigns(
  timeline: PartTimeline,
  transpositions: PartTimeline["transpositions"],
): {
  readonly signs: readonly PageSign[];
  readonly notices: readonly Notice[];
} {
  const notices: Notice[] = [];
  const signs: PageSign[] = transpositionSigns(transpositions);
  const ownPlaces = new Set(timeline.notes.filter(isPlayed).map(placeKey));
  for (const instruction of joinSplitWords(timeline.instructions)) {
    const found = instructionSigns(instruction, timeline, ownPlaces);
    if (found === "unclear") {
      const barLabel = timeline.bars[instruction.at.barIndex]?.barLabel ?? "";
      const { at, kind, text } = instruction;
      notices.push({ kind: "instruction-unclear", text, barLabel });
      // Whatever they ask for, they warn the player.
      signs.push({ at, kind, text, takesEffect: "after-rest", governs: false, isUnclear: true });
    } else signs.push(...found);
  }
  return { signs: signs.sort((a, b) => comparePlaces(timeline.bars, a.at, b.at)), notices };
}

/** The transposition in force at the start; undefined when the file prints none at all. */
export function firstTransposition(
  transpositions: PartTimeline["transpositions"],
): Transposition | undefined {
  const [first] = transpositions;
  if (!first) return undefined;
  const atStart = first.at.barIndex === 0 && !isPositive(first.at.offset);
  return atStart ? first.value : AS_WRITTEN;
}

/** A transposition printed again unchanged, at a new key signature say, is no sign. */
function transpositionSigns(transpositions: PartTimeline["transpositions"]): PageSign[] {
  let before = firstTransposition(transpositions);
  return transpositions.flatMap(({ at, value }): PageSign[] => {
    const isNew = before !== undefined && !sameTransposition(before, value);
    before = value;
    if (!isNew) return [];
    const text = transpositionText(value);
    return [
      {
        at,
        kind: "transpose",
        text,
        takesEffect: "next-note",
        governs: true,
        transposition: value,
      },
    ];
  });
}

/** One sign, or one for each group of players that the words name ("I. muta in A, II. in B"). */
function instructionSigns(
  instruction: PrintedInstruction,
  timeline: PartTimeline,
  ownPlaces: ReadonlySet<string>,
): readonly PageSign[] | "unclear" {
  const { at, kind, text } = instruction;
  if (kind !== "words") {
    const sign = encodedSign(instruction, timeline);
    return sign ? [sign] : [];
  }
  const words = readChangeWords(text);
  if (words.kind === "none") return abbreviationSign(instruction, ownPlaces);
  if (words.kind === "unclear") return "unclear";
  const takesEffect = words.verb === "prepare" ? "after-rest" : "next-note";
  return [words, ...(words.others ?? [])].map(({ name, players }) => ({
    at,
    kind,
    text,
    takesEffect,
    governs: false,
    name,
    ...((players ?? name.players) && { players: players ?? name.players ?? [] }),
  }));
}

/** "Fl." over a note of the player's own. */
function abbreviationSign(
  { at, kind, text }: PrintedInstruction,
  ownPlaces: ReadonlySet<string>,
): readonly PageSign[] {
  const name = ownPlaces.has(placeKey(at)) ? readInstrumentName(text) : undefined;
  if (!name || name.players) return [];
  return [{ at, kind, text, takesEffect: "next-note", governs: false, name, onlyReturns: true }];
}

function encodedSign(
  { at, kind, text, scoreInstrumentId }: PrintedInstruction,
  timeline: PartTimeline,
): PageSign | undefined {
  if (kind === "instrument-change") {
    const declared = timeline.part.scoreInstruments.find(({ id }) => id === scoreInstrumentId);
    const sound = text || declared?.sound;
    const name = declared && readInstrumentName(declared.name);
    if (!sound && !name) return undefined;
    return {
      at,
      kind,
      text: sound ?? declared?.name ?? "",
      takesEffect: "next-note",
      governs: true,
      // The declared name is that of the first instrument when a new sound is given.
      ...(text ? {} : name && { name }),
      ...(sound && { sound }),
    };
  }
  const name = readInstrumentName(text);
  return name && { at, kind, text, takesEffect: "next-note", governs: false, name };
}

/** Where two places on the page stand to each other; a place at the end of a bar is the next bar's start. */
export function comparePlaces(bars: readonly Bar[], a: Position, b: Position): number {
  if (a.barIndex === b.barIndex) return a.offset.compare(b.offset);
  const [first, second] = [normalise(bars, a), normalise(bars, b)];
  return first.barIndex - second.barIndex || first.offset.compare(second.offset);
}

function normalise(bars: readonly Bar[], place: Position): Position {
  let { barIndex, offset } = place;
  for (;;) {
    const bar = bars[barIndex];
    if (!bar || barIndex + 1 >= bars.length || offset.compare(bar.lengthQuarters) < 0) {
      return { barIndex, offset };
    }
    offset = offset.sub(bar.lengthQuarters);
    barIndex++;
  }
}

/** "sounds 3 semitones lower than written". */
function transpositionText(by: Transposition): string {
  const semitones = transpositionSemitones(by);
  if (semitones === 0) return "sounds as written";
  const count = Math.abs(semitones);
  return `sounds ${count} semitone${count === 1 ? "" : "s"} ${semitones < 0 ? "lower" : "higher"} than written`;
}
