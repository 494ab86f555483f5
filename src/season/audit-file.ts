import { findChanges } from "../analyses/changes.js";
import { analysisContext } from "../analyses/index.js";
import { endsAttacca } from "../analyses/movement-breaks.js";
import { performPart } from "../analyses/performed.js";
import { playerPart } from "../analyses/player-part.js";
import { partsOfPlayer, selectParts } from "../instruments/select-parts.js";
import { InputError } from "../model/input-error.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { FileAudit, FileJob, SeatAudit, SeatFailure, SeatWish } from "../model/season.js";
import type { PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import { openScore, type ListedPart, type ScoreDocument } from "../musicxml/document.js";
import { readFileBytes, type Room } from "../musicxml/file-bytes.js";
import { decodeScore } from "../musicxml/source.js";
import { ZERO } from "../theory/fraction.js";
import { chairNames } from "./chairs.js";
import { edgesOf } from "./edges.js";
import { plainChange } from "./plain.js";

/**
 * The work on one file: reads it and measures every change of everybody asked for. Job and result are plain
 * data, and the result depends on nothing but the job and the bytes of the file: it can be done elsewhere, and
 * kept. What cannot be read is among the errors; only a fault of the program is thrown.
 * @param room for its bytes, while the work lasts
 * @param audit does the work on them, or has the result of earlier work
 */
export async function auditFile(
  job: FileJob,
  room?: Room,
  audit: typeof auditBytes = auditBytes,
): Promise<FileAudit> {
  let raw: Buffer;
  try {
    raw = readFileBytes(job.path, undefined, room);
  } catch (error) {
    return unread(job, [failure(error, job)]);
  }
  return audit(raw, job);
}

/** The same for the bytes of the file, packed or not, in whatever encoding. */
export async function auditBytes(raw: Buffer, job: FileJob): Promise<FileAudit> {
  try {
    const { bytes } = await decodeScore(raw, job.path);
    return auditScore(bytes, job);
  } catch (error) {
    return unread(job, [failure(error, job)]);
  }
}

/** A file that nothing could be had from, with the reason. */
export function unreadFile(job: FileJob, code: string, message: string): FileAudit {
  return unread(job, [{ file: job.file, code, message }]);
}

/** The same for bytes that are at hand: UTF-8, unpacked (as `readScoreFile` gives them). */
export function auditScore(bytes: Buffer, job: FileJob): FileAudit {
  try {
    return auditParts(openScore(bytes), job);
  } catch (error) {
    return unread(job, [failure(error, job)]);
  }
}

function unread({ file }: FileJob, errors: readonly SeatFailure[]): FileAudit {
  return { file, title: "", movement: "", seats: [], durationSeconds: null, errors };
}

function auditParts(score: ScoreDocument, job: FileJob): FileAudit {
  const seats: SeatAudit[] = [];
  const { found, missing } = seatsIn(score.parts, job);
  const errors = [...missing];
  for (const seat of found) {
    try {
      const staff = score.timeline(seat.part.id);
      const timeline = seat.staffPlayer === undefined ? staff : playerPart(staff, seat.staffPlayer);
      seats.push(auditSeat(timeline, seat, job.wishes));
    } catch (error) {
      errors.push({ ...failure(error, job), player: seat.player });
    }
  }
  return {
    file: job.file,
    title: score.title,
    movement: score.movement,
    seats,
    durationSeconds: seats[0]?.durationSeconds ?? lengthOf(score, job.wishes),
    errors,
  };
}

/** A part and who plays it. */
interface Seat {
  readonly player: string;
  readonly part: ListedPart;
  readonly staffPlayer?: number;
  readonly profile: ChangeoverProfile;
}

interface FoundSeats {
  readonly found: readonly Seat[];
  readonly missing: readonly SeatFailure[];
}

/**
 * A player who has nothing in the file is no error; a file in which nobody plays is one, unless it is said to
 * be tacet.
 */
function seatsIn(parts: readonly ListedPart[], job: FileJob): FoundSeats {
  if (job.tacet) return { found: [], missing: [] };
  try {
    return chosenSeats(parts, job);
  } catch (error) {
    return { found: [], missing: [failure(error, job)] };
  }
}

function chosenSeats(parts: readonly ListedPart[], job: FileJob): FoundSeats {
  if (job.seats.length === 0) {
    const chosen = selectParts(parts, job.parts);
    const names = chairNames(chosen);
    const found = chosen.map((part, k) => ({
      player: names[k] ?? part.id,
      part,
      profile: job.profile,
    }));
    return { found, missing: [] };
  }
  const inQuestion = job.parts.length === 0 ? parts : selectParts(parts, job.parts);
  const found: Seat[] = [];
  const missing: SeatFailure[] = [];
  for (const wish of job.seats) {
    try {
      const part = partOfSeat(inQuestion, wish);
      if (part) found.push({ ...wish, part });
    } catch (error) {
      missing.push({ ...failure(error, job), player: wish.player });
    }
  }
  if (found.length === 0 && missing.length === 0) {
    const names = parts.map(({ id, name }) => name || id).join(", ");
    throw new InputError(
      "no-matching-part",
      `none of the players has a part in it; there are: ${names}`,
    );
  }
  return { found, missing };
}

/** @throws InputError `no-matching-part` where several parts are meant */
function partOfSeat(
  parts: readonly ListedPart[],
  { part: pattern, staffPlayer }: SeatWish,
): ListedPart | undefined {
  let chosen: readonly ListedPart[];
  try {
    chosen = selectParts(parts, [pattern]);
  } catch (error) {
    // Not every player is in every piece.
    if (error instanceof InputError && error.code === "no-matching-part") return undefined;
    throw error;
  }
  if (chosen.length > 1 && staffPlayer !== undefined) chosen = partsOfPlayer(chosen, staffPlayer);
  if (chosen.length > 1) {
    const names = chosen.map(({ id, name }) => name || id).join(", ");
    throw new InputError("no-matching-part", `"${pattern}" matches several parts: ${names}`);
  }
  return chosen[0];
}

function auditSeat(timeline: PartTimeline, seat: Seat, wishes: PerformanceWishes): SeatAudit {
  // Without the other parts: what they play is in no row, and reading them takes longest.
  const { context, notices } = analysisContext(timeline, seat.profile, wishes);
  const { performance, clock } = context;
  const { id, name, player } = timeline.part;
  return {
    player: seat.player,
    part: { id, name, ...(player !== undefined && { player }) },
    instruments: context.instruments,
    changes: findChanges(context).map(plainChange),
    faults: notices.flatMap((notice) =>
      notice.kind === "disagreement" ? [notice.disagreement] : [],
    ),
    edges: edgesOf(context),
    durationSeconds: clock.secondsBetween(ZERO, performance.totalQuarters),
    goesOn: endsAttacca(context),
  };
}

/** How long a movement lasts in which nobody of the section plays; null where that cannot be read. */
function lengthOf(score: ScoreDocument, wishes: PerformanceWishes): FileAudit["durationSeconds"] {
  const [first] = score.parts;
  if (!first) return null;
  try {
    const { performed } = performPart(score.timeline(first.id), wishes);
    const { clock, performance } = performed;
    return clock.secondsBetween(ZERO, performance.totalQuarters);
  } catch (error) {
    // What is wrong with the file is told of the parts that were asked for.
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** @throws what is no `InputError`: that is a bug */
function failure(error: unknown, { file }: FileJob): SeatFailure {
  if (!(error instanceof InputError)) throw error;
  const { code, message, part, bar } = error;
  return {
    ...{ file, code, message },
    ...(part !== undefined && { part }),
    ...(bar !== undefined && { bar }),
  };
}
