import type { Gap } from "../model/season.js";
import { serialDay } from "../reporters/util/serial-day.js";

/** A season file as it stands, its entries checked one by one; nothing it names has been looked for. */
export interface SeasonDraft {
  readonly name: string;
  /** Of whoever has no profile of their own. */
  readonly profile?: string;
  readonly players: readonly PlayerDraft[];
  readonly programmes: readonly ProgrammeDraft[];
}

export interface PlayerDraft {
  readonly line: number;
  readonly name: string;
  readonly part: string;
  readonly player?: number;
  readonly profile?: string;
}

export interface ProgrammeDraft {
  readonly name: string;
  readonly date: string;
  readonly works: readonly WorkDraft[];
}

/** A work: its movements, or the folder that holds them. */
export interface WorkDraft {
  readonly line: number;
  readonly title: string;
  readonly folder?: string;
  /** Of the files of the folder; movements have their own. */
  readonly part: readonly string[];
  readonly partOf: Readonly<Record<string, string>>;
  readonly movements: readonly MovementDraft[];
  /** After the last movement, where that has none of its own. */
  readonly pause: Gap;
}

export interface MovementDraft {
  readonly line: number;
  readonly title: string;
  readonly file: string;
  readonly part: readonly string[];
  readonly partOf: Readonly<Record<string, string>>;
  readonly tacet: boolean;
  readonly tempo?: string;
  readonly pause: Gap;
}

export const SCORE_FILE = /\.(?:musicxml|xml|mxl)$/i;

export const USUAL_GAP: Gap = { kind: "usual" };

export const PAUSE_MESSAGE =
  "must be attacca, or how long it lasts: seconds such as 20, or minutes such as 2 min";

export const DATE_MESSAGE = "must be a day as year, month and day, such as 2027-04-10";

/** Whether a text is a day there is, or none at all. */
export function isDateOrNone(text: string): boolean {
  return text === "" || serialDay(text) !== undefined;
}

/** An interval is no longer; a longer one is a slip. */
const LONGEST_PAUSE_SECONDS = 7200;

/** "attacca", "20", "20 s", "2 min", "1:30"; undefined for anything else. */
export function readPause(text: string): Gap | undefined {
  const plain = text.trim().toLowerCase();
  if (plain === "attacca") return { kind: "attacca" };
  const clock = /^(\d{1,3}):([0-5]\d)$/.exec(plain);
  const match = /^(\d{1,5}(?:[.,]\d{1,3})?)\s*(s|sec|seconds|min|minutes)?$/.exec(plain);
  const seconds = clock
    ? Number(clock[1]) * 60 + Number(clock[2])
    : match
      ? Number(match[1]?.replace(",", ".")) * (match[2]?.startsWith("m") ? 60 : 1)
      : undefined;
  if (seconds === undefined || seconds > LONGEST_PAUSE_SECONDS) return undefined;
  return { kind: "seconds", seconds };
}
