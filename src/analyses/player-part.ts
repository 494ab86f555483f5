import { readInstrumentName } from "../instruments/names.js";
import { readPlayerWords } from "../instruments/player-words.js";
import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { PartNote, PartTimeline } from "../model/score.js";
import { maxFraction, ZERO } from "../theory/fraction.js";
import { groupBy } from "../theory/search.js";
import { isPlayed } from "../timing/performed-notes.js";
import { StaffReader } from "./staff-reader.js";

/**
 * One player's own part of a staff that several read.
 *
 * Words say who plays ("1.", "a 2", "div.") until others do. Where two voices are written, the upper is the
 * first player's; where one is written, a chord is divided from the top, and a single note is for those
 * whom the words name. Where nothing names anybody it is taken for all, which is a notice. A rest printed
 * in a player's voice is that player's; where the voice is blank the player follows the other.
 * With a staff for each player everyone reads their own.
 *
 * @param player as the part counts them: 1, or 3 on the staff of the third and fourth
 * @throws InputError `no-matching-part` when the part says that it is for other players
 */
export function playerPart(timeline: PartTimeline, player: number): PartTimeline {
  const named = readInstrumentName(timeline.part.name)?.players ?? [];
  if (named.length > 0 && !named.includes(player)) {
    throw new InputError(
      "no-matching-part",
      `"${timeline.part.name}" is for player ${named.join(" and ")}, not ${player}`,
      { part: timeline.part.id },
    );
  }
  if (named.length === 1) return timeline;
  const part = { ...timeline.part, player };
  const players = playersSharing(timeline);
  if (players.length === 0) return { ...timeline, part };
  if (!players.includes(player)) {
    throw new InputError("no-matching-part", `nothing in the part is for player ${player}`, {
      part: timeline.part.id,
    });
  }
  const staves = [...new Set(timeline.notes.filter(isPlayed).map(({ staff }) => staff))].sort(
    (a, b) => a - b,
  );
  const eachStaff = players.length / staves.length;
  if (staves.length > 1 && Number.isInteger(eachStaff)) {
    const staffIndex = Math.floor(players.indexOf(player) / eachStaff);
    const own = staves[staffIndex];
    const isOwn = ({ staff }: { readonly staff?: number }) => staff === undefined || staff === own;
    const onStaff: PartTimeline = {
      ...timeline,
      part,
      notes: timeline.notes.filter(isOwn),
      rests: timeline.rests.filter(isOwn),
      instructions: timeline.instructions.filter(isOwn),
      transpositions: timeline.transpositions.filter(isOwn),
      bassClefs: timeline.bassClefs.filter(isOwn),
      keys: timeline.keys.filter(isOwn),
      dynamics: timeline.dynamics.filter(isOwn),
      swells: timeline.swells.filter(isOwn),
    };
    if (eachStaff === 1) return onStaff;
    const first = staffIndex * eachStaff;
    return partOfStaff(onStaff, players.slice(first, first + eachStaff), player);
  }
  return partOfStaff({ ...timeline, part }, players, player);
}

/**
 * The players who read a staff together, by its name, its chords and voices, or its words; none where it is
 * one player's. (`playersOfStaff` leaves the words out: "Solo" may stand in any part.)
 */
export function playersSharing(timeline: PartTimeline): readonly number[] {
  const named = readInstrumentName(timeline.part.name)?.players ?? [];
  if (named.length > 0) return named.length > 1 ? named : [];
  const isShared =
    playersOfStaff(timeline).length > 1 ||
    timeline.instructions.some(({ text }) => readPlayerWords(text) !== undefined);
  return isShared ? unnamedPlayers(timeline) : [];
}

/** The players of a part that does not number them: two, or as many as its words name. */
function unnamedPlayers({ instructions }: PartTimeline): readonly number[] {
  const most = instructions.reduce((players, { text }) => {
    const words = readPlayerWords(text);
    return words?.kind === "some" ? Math.max(players, ...words.players) : players;
  }, 2);
  return range(most);
}

function partOfStaff(
  timeline: PartTimeline,
  players: readonly number[],
  player: number,
): PartTimeline {
  const { notes, unmarked } = new StaffReader(timeline, players).notesOf(player);
  const spans = barSpans(timeline, unmarked);
  return {
    ...timeline,
    notes,
    notices:
      spans.length > 0
        ? [...timeline.notices, { kind: "players-unmarked", spans }]
        : timeline.notices,
  };
}

/** A part of several staves as its upper staff has it, as far as signatures and clefs go. */
export function byUpperStaff(timeline: PartTimeline): PartTimeline {
  const isUpper = ({ staff }: { readonly staff?: number }) => staff === undefined || staff === 1;
  const { transpositions, bassClefs, keys } = timeline;
  if (![...transpositions, ...bassClefs, ...keys].some((each) => !isUpper(each))) return timeline;
  if (timeline.part.player !== undefined) return timeline;
  return {
    ...timeline,
    transpositions: transpositions.filter(isUpper),
    bassClefs: bassClefs.filter(isUpper),
    keys: keys.filter(isUpper),
  };
}

/** The players of a staff by its part name, or two where notes sound together on it. */
export function playersOfStaff({ part, notes }: PartTimeline): readonly number[] {
  if (part.player !== undefined) return [part.player];
  const named = readInstrumentName(part.name)?.players ?? [];
  if (named.length > 0) return named;
  const played = notes.filter(isPlayed);
  const isShared =
    played.some(({ pitches }) => pitches.length > 1) ||
    [...groupBy(played, ({ barIndex }) => barIndex).values()].some(soundsTogether);
  return isShared ? [1, 2] : [];
}

/** Whether two voices of a bar sound at once. */
function soundsTogether(inBar: readonly PartNote[]): boolean {
  const voiceOf = ({ staff, voice }: PartNote) => `${staff} ${voice}`;
  const ends = new Map<string, Fraction>();
  return [...inBar]
    .sort((a, b) => a.offset.compare(b.offset))
    .some((note) => {
      const own = voiceOf(note);
      const together = [...ends].some(
        ([voice, end]) => voice !== own && end.compare(note.offset) > 0,
      );
      const end = note.offset.add(note.duration);
      ends.set(own, maxFraction(ends.get(own) ?? ZERO, end));
      return together;
    });
}

function range(last: number): readonly number[] {
  return Array.from({ length: last }, (_, k) => k + 1);
}

/** Neighbouring bars as spans. */
function barSpans({ bars }: PartTimeline, marked: ReadonlySet<number>) {
  const spans: { fromBarLabel: string; untilBarLabel: string }[] = [];
  for (const { barIndex, barLabel } of bars) {
    if (!marked.has(barIndex)) continue;
    const open = spans.at(-1);
    if (open && marked.has(barIndex - 1)) open.untilBarLabel = barLabel;
    else spans.push({ fromBarLabel: barLabel, untilBarLabel: barLabel });
  }
  return spans;
}
