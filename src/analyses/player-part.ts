import { readInstrumentName } from "../instruments/names.js";
import { readPlayerWords, type PlayerWords } from "../instruments/player-words.js";
import type { Fraction } from "../model/fraction.js";
import { InputError } from "../model/input-error.js";
import type { FromHere, PartNote, PartTimeline, SpelledPitch } from "../model/score.js";
import { maxFraction, ZERO } from "../theory/fraction.js";
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
  const players = named.length > 0 ? named : unnamedPlayers(timeline);
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

/** A note as it falls to players: to each the pitches of their own. */
type Share = ReadonlyMap<number, readonly SpelledPitch[]>;

class StaffReader {
  private readonly words: readonly FromHere<PlayerWords>[];
  private readonly voices: ReadonlyMap<number, BarVoices>;
  private readonly notesInBar: ReadonlyMap<number, readonly PartNote[]>;
  private nextWords = 0;
  /** Who plays by the words in force; undefined where none are. */
  private inForce: readonly number[] | undefined;
  /** What each player holds over into the next note, with where it ends. */
  private readonly held = new Map<number, readonly PartNote[]>();

  constructor(
    private readonly timeline: PartTimeline,
    private readonly players: readonly number[],
  ) {
    const family = readInstrumentName(timeline.part.name)?.family;
    this.words = timeline.instructions.flatMap(({ kind, text, at }) => {
      const words = kind === "words" ? readPlayerWords(text, family) : undefined;
      return words && this.concernsStaff(words) ? [{ at, value: words }] : [];
    });
    this.voices = barVoices(timeline);
    this.notesInBar = groupBy(timeline.notes.filter(isPlayed), ({ barIndex }) => barIndex);
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
      this.inForce = this.playersNamed(next.value);
      this.nextWords++;
    }
  }

  private share(note: PartNote): Share {
    const owner = this.ownerByVoice(note);
    const divided = owner === undefined ? undefined : this.dividedByVoices(note);
    if (divided) return divided;
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

  private concernsStaff(words: PlayerWords): boolean {
    return words.kind !== "some" || words.players.some((player) => this.players.includes(player));
  }

  /** Those of the staff whom words name; "a 2" on a staff of three is for the two named before, or the upper. */
  private playersNamed(words: PlayerWords): readonly number[] {
    const { players, inForce } = this;
    if (words.kind === "some") return players.filter((player) => words.players.includes(player));
    if (words.kind === "upper") return players.slice(0, 1);
    const { count } = words;
    if (count === undefined || count >= players.length) return players;
    return inForce?.length === count ? inForce : players.slice(0, count);
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

  /** Three players in two voices: as many notes as players, dealt from the top. */
  private dividedByVoices(note: PartNote): Share | undefined {
    const order = this.voices.get(note.barIndex)?.order ?? [];
    if (this.players.length <= order.length) return undefined;
    const together = (this.notesInBar.get(note.barIndex) ?? [])
      .filter((other) => other.offset.equals(note.offset) && other.grace === note.grace)
      .sort((a, b) => order.indexOf(a.voice) - order.indexOf(b.voice));
    const count = together.reduce((sum, { pitches }) => sum + pitches.length, 0);
    if (count !== this.players.length) return undefined;
    const above = together.slice(0, together.indexOf(note));
    const first = above.reduce((sum, { pitches }) => sum + pitches.length, 0);
    return new Map(
      note.pitches.flatMap((pitch, k): [number, SpelledPitch[]][] => {
        const player = this.players[first + k];
        return player === undefined ? [] : [[player, [pitch]]];
      }),
    );
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
