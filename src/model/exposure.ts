import type { OrchestraGroup } from "./landmark.js";
import type { Dynamic } from "./score.js";
import type { Moment } from "./time.js";

/**
 * How an entry lies in the orchestra: nobody else plays; few others do (the strings, while they are not
 * loud, count as one); several do; one of them has the player's own notes; or loud brass or a loud tutti
 * is over it.
 */
export type ExposureKind = "alone" | "small-group" | "among-others" | "doubled" | "covered";

/** Another part that plays along with the entry. A staff of two players is one part. */
export interface PlayingPart {
  readonly partId: string;
  readonly name: string;
  readonly group: OrchestraGroup;
  /** Whether it sounds as the player comes in. */
  readonly atEntry: boolean;
  /** The part of the player's own sounding time in which it sounds, 0 to 1. */
  readonly share: number;
  /** Printed for it last, as it plays; missing where nothing is. */
  readonly dynamic?: Dynamic;
}

/** Another part that begins the player's notes together with the player. */
export interface Doubling {
  readonly partId: string;
  readonly name: string;
  /** How much higher it sounds: 0 is the unison, -1 the octave below. The one it is most often in. */
  readonly octaves: number;
  /** The part of the player's notes that it has, 0 to 1. */
  readonly share: number;
}

/** Whether the player has the leading line, and by what that was told. */
export type Role =
  | {
      readonly value: "leading";
      readonly because: "alone" | "marked-solo" | "highest-moving-line";
    }
  | {
      readonly value: "accompanying";
      readonly because: "held-under-a-moving-line" | "another-marked-solo";
    }
  | { readonly value: "unknown" };

/** One thing that adds to or takes from the weight of an entry. */
export interface MissedReason {
  readonly kind: ExposureKind | "leading" | "accompanying" | "louder" | "softer";
  readonly weight: number;
}

/** What of an entry would be missed, told from the first bars of it. */
export interface Exposure {
  readonly kind: ExposureKind;
  /** The last bar that was looked at; the first is that of the entry. */
  readonly lastBar: Moment;
  /** The player's notes in them; ties joined, without grace notes. */
  readonly noteCount: number;
  /** Other parts in the score, and how many of them sound as the player comes in. */
  readonly partCount: number;
  readonly atEntry: number;
  readonly playing: readonly PlayingPart[];
  readonly doubledBy: readonly Doubling[];
  readonly role: Role;
  /** As printed: the player's at the entry, and the loudest of those who play along. */
  readonly dynamic: { readonly own?: Dynamic; readonly others?: Dynamic };
  /** 0 for nothing, 1 for everything: the sum of the reasons, kept within that. Assumptions. */
  readonly missed: { readonly weight: number; readonly reasons: readonly MissedReason[] };
}
