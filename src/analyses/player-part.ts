import { readInstrumentName } from "../instruments/names.js";
import { readPlayerWords, type PlayerWords } from "../instruments/player-words.js";
import { InputError } from "../model/input-error.js";
import type { FromHere, PartNote, PartTimeline, SpelledPitch } from "../model/score.js";
import { groupBy } from "../theory/search.js";
import { isPlayed } from "../timing/performed-notes.js";
import { barVoices, type BarVoices } from "./bar-voices.js";
import { comparePlaces } from "./page-evidence.js";

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
  const isShared =
    named.length > 1 ||
    playersOfStaff(timeline).length > 1 ||
    timeline.instructions.some(({ text }) => readPlayerWords(text) !== undefined);
  if (!isShared) return { ...timeline, part };
  const players = named.length > 0 ? named : range(Math.max(2, player));
  const staves = [...new Set(timeline.notes.filter(isPlayed).map(({ staff }) => staff))];
  if (staves.length === players.length) {
    const own = staves.sort((a, b) => a - b)[players.indexOf(player)];
    const isOwn = ({ staff }: { readonly staff?: number }) => staff === undefined || staff === own;
    return {
      ...timeline,
      part,
      notes: timeline.notes.filter(isOwn),
      rests: timeline.rests.filter(isOwn),
      instructions: timeline.instructions.filter(isOwn),
      dynamics: timeline.dynamics.filter(isOwn),
      swells: timeline.swells.filter(isOwn),
    };
  }
  const { notes, unmarked } = new StaffReader(timeline, players).notesOf(player);
  const spans = barSpans(timeline, unmarked);
  return {
    ...timeline,
    part,
    notes,
    notices:
      spans.length > 0
        ? [...timeline.notices, { kind: "players-unmarked", spans }]
        : timeline.notices,
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
    [...groupBy(played, ({ barIndex }) => barIndex).values()].some(
      (inBar) =>
        new Set(inBar.map(({ voice, staff }) => `${staff} ${voice}`)).size > 1 &&
        inBar.some((note) => inBar.some((other) => sounds(other, note) && other !== note)),
    );
  return isShared ? [1, 2] : [];
}

function sounds(other: PartNote, note: PartNote): boolean {
  return (
    !other.grace &&
    other.offset.compare(note.offset) <= 0 &&
    other.offset.add(other.duration).compare(note.offset) > 0
  );
}

function range(last: number): readonly number[] {
  return Array.from({ length: last }, (_, k) => k + 1);
}

/** A note as it falls to players: to each the pitches of their own. */
type Share = ReadonlyMap<number, readonly SpelledPitch[]>;

class StaffReader {
  private readonly words: readonly FromHere<readonly number[]>[];
  private readonly voices: ReadonlyMap<number, BarVoices>;
  private nextWords = 0;
  /** Who plays by the words in force; undefined where none are. */
  private inForce: readonly number[] | undefined;
  /** What each player holds over into the next note, with where it ends. */
  private readonly held = new Map<number, readonly PartNote[]>();

  constructor(
    private readonly timeline: PartTimeline,
    private readonly players: readonly number[],
  ) {
    this.words = timeline.instructions.flatMap(({ kind, text, at }) => {
      const words = kind === "words" ? readPlayerWords(text) : undefined;
      const value = words && this.playersNamed(words);
      return value ? [{ at, value }] : [];
    });
    this.voices = barVoices(timeline);
  }

  /** The notes of one player, and the bars in which nothing says that they are. */
  notesOf(player: number): {
    readonly notes: readonly PartNote[];
    readonly unmarked: ReadonlySet<number>;
  } {
    const unmarked = new Set<number>();
    const inOrder = [...this.timeline.notes].sort(
      (a, b) => a.barIndex - b.barIndex || a.offset.compare(b.offset),
    );
    const notes = inOrder.flatMap((note) => {
      if (!isPlayed(note)) return [note];
      this.readWordsUpTo(note);
      const tied = note.tiedFromBefore ? this.holders(note) : undefined;
      const share = tied ?? this.share(note);
      this.hold(note, share);
      const pitches = share.get(player);
      if (!pitches) return [];
      if (!tied && this.isUnmarked(note)) unmarked.add(note.barIndex);
      return [{ ...note, pitches }];
    });
    return { notes, unmarked };
  }

  private readWordsUpTo({ barIndex, offset }: PartNote): void {
    const { bars } = this.timeline;
    for (;;) {
      const next = this.words[this.nextWords];
      // Grace notes that end a trill stand before what begins with the next bar.
      if (!next || next.at.barIndex > barIndex) return;
      if (comparePlaces(bars, next.at, { barIndex, offset }) > 0) return;
      this.inForce = next.value;
      this.nextWords++;
    }
  }

  private share(note: PartNote): Share {
    const owner = this.ownerByVoice(note);
    if (owner !== undefined) {
      // The voice of somebody whom the words left out: they hold no longer.
      if (this.inForce?.includes(owner) === false) this.inForce = undefined;
      return new Map([[owner, note.pitches]]);
    }
    if (note.pitches.length > 1 && this.inForce?.length === 1) this.inForce = undefined;
    const named = this.inForce ?? this.players;
    const { pitches } = note;
    return new Map(
      named.map((player, k) => {
        // The last takes what is left of a chord, so that no note is lost.
        const isLast = k === named.length - 1;
        const from = Math.min(k, Math.max(0, pitches.length - 1));
        return [player, pitches.slice(from, isLast ? undefined : from + 1)];
      }),
    );
  }

  /** Those of the staff whom words name; undefined where they are for others. */
  private playersNamed(words: PlayerWords): readonly number[] | undefined {
    if (words.kind === "all") return this.players;
    if (words.kind === "upper") return this.players.slice(0, 1);
    const own = this.players.filter((player) => words.players.includes(player));
    return own.length > 0 ? own : undefined;
  }

  /** Whether a note is taken for all only because nothing says for whom it is. */
  private isUnmarked(note: PartNote): boolean {
    const isSingle = this.ownerByVoice(note) === undefined && note.pitches.length < 2;
    return this.inForce === undefined && isSingle;
  }

  /** Whose a note is where more than one voice is written. */
  private ownerByVoice(note: PartNote): number | undefined {
    const inBar = this.voices.get(note.barIndex);
    if (!inBar || inBar.activeAt(note).length < 2) return undefined;
    return this.players[Math.min(inBar.order.indexOf(note.voice), this.players.length - 1)];
  }

  /** Those who hold a note that is tied from before; undefined where nobody does. */
  private holders(note: PartNote): Share | undefined {
    const { bars } = this.timeline;
    const at = { barIndex: note.barIndex, offset: note.offset };
    const reaching = [...this.held].map(([player, held]) => {
      const reach = held.filter((before) => comparePlaces(bars, endOf(before), at) === 0);
      return { player, reach };
    });
    const shares = reaching.flatMap(({ player, reach }): [number, SpelledPitch[]][] => {
      const pitches = note.pitches.filter((pitch) =>
        reach.some((before) => before.pitches.some((each) => samePitch(each, pitch))),
      );
      return pitches.length > 0 ? [[player, pitches]] : [];
    });
    // In unison each voice goes on as its own.
    const owner = this.ownerByVoice(note);
    const own = shares.filter(([player]) => player === owner);
    if (own.length > 0) return new Map(own);
    const sharedOut = new Set(shares.flatMap(([, pitches]) => pitches));
    return sharedOut.size === note.pitches.length && shares.length > 0
      ? new Map(shares)
      : undefined;
  }

  private hold(note: PartNote, share: Share): void {
    if (!note.tiedToNext) return;
    for (const [player, pitches] of share) {
      // A player has one note at a time, but for the grace notes before it.
      this.held.set(player, [...(this.held.get(player) ?? []).slice(-3), { ...note, pitches }]);
    }
  }
}

function endOf({ barIndex, offset, duration }: PartNote) {
  return { barIndex, offset: offset.add(duration) };
}

function samePitch(a: SpelledPitch, b: SpelledPitch): boolean {
  return a.step === b.step && a.alter === b.alter && a.octave === b.octave;
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
