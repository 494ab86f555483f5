import { readInstrumentName } from "../instruments/names.js";
import { readPlayerWords, type PlayerWords } from "../instruments/player-words.js";
import type { FromHere, PartNote, PartTimeline, SpelledPitch } from "../model/score.js";
import { groupBy } from "../theory/search.js";
import { isPlayed } from "../timing/performed-notes.js";
import { barVoices, type BarVoices } from "./bar-voices.js";
import { comparePlaces } from "./page-evidence.js";

/** A note as it falls to players: to each the pitches of their own. */
type Share = ReadonlyMap<number, readonly SpelledPitch[]>;

/** Deals the notes of a staff out to its players; see `playerPart`. */
export class StaffReader {
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
