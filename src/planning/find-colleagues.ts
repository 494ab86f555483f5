import { analysisContext } from "../analyses/index.js";
import type { AnalysisContext } from "../analyses/context.js";
import { playerPart, playersOfStaff, playersSharing } from "../analyses/player-part.js";
import { partsOfFamilies } from "../instruments/select-parts.js";
import { INSTRUMENTS } from "../instruments/table.js";
import { USUAL_PROFILE } from "../instruments/usual-profile.js";
import type { Notice } from "../model/finding.js";
import { InputError } from "../model/input-error.js";
import type { PartInfo, PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { playsSameBars } from "./colleagues.js";
import type { ColleaguesOf } from "./plan-part.js";

type SeatName = Pick<PartInfo, "id" | "name" | "player">;

/** One player of a score: a part, or what is one player's of a staff that several share. */
interface Seat {
  readonly part: SeatName;
  /** Reads the part once, when it is asked for. */
  readonly read: () => AnalysisContext;
}

/**
 * Finds the colleagues of a player in the score that the part is from: the other players who may have an
 * instrument of the same family, performed as the player's part is, with usual hands. Each is read once.
 */
export function colleagueFinder(wishes: PerformanceWishes): (score: ScoreDocument) => ColleaguesOf {
  const scores = new Map<ScoreDocument, Map<string, readonly Seat[]>>();
  return (score) => (player) => {
    const known = scores.get(score) ?? new Map<string, readonly Seat[]>();
    scores.set(score, known);
    const notices: Notice[] = [];
    const { part } = player.timeline;
    const families = new Set(player.instruments.map((id) => INSTRUMENTS[id].family));
    const ofFamily = new Set(partsOfFamilies(score.parts, families).map(({ id }) => id));
    const parts = score.parts.filter(({ id }) => ofFamily.has(id) || id === part.id);
    const seats = parts.flatMap(({ id, name }): readonly Seat[] => {
      // The player's own staff has others on it only where it was divided.
      const isOwn = id === part.id;
      if (isOwn && part.player === undefined) return [{ part, read: () => player }];
      try {
        const key = `${isOwn ? "own" : "other"} ${id}`;
        const seatsHere = known.get(key) ?? seatsOf(score.timeline(id), wishes, isOwn);
        known.set(key, seatsHere);
        return seatsHere;
      } catch (error) {
        notices.push(leftOut({ id, name }, error));
        return [];
      }
    });
    const isPlayer = ({ part: { id, player: number } }: Seat) =>
      id === part.id && (number === undefined || number === part.player);
    const own = seats.findIndex(isPlayer);
    const colleagues = seats.flatMap((seat, k) => {
      if (isPlayer(seat)) return [];
      try {
        const context = seat.read();
        if (playsSameBars(player, context)) {
          return [{ part: context.timeline.part, context, seatsAway: Math.abs(k - own) }];
        }
        notices.push({ kind: "colleague-left-out", part: seat.part, because: "other-bars" });
      } catch (error) {
        notices.push(leftOut(seat.part, error));
      }
      return [];
    });
    return { colleagues, notices };
  };
}

/**
 * The players of a part. A staff is divided where its name or its notes show that several read it; that of
 * the player who was asked for, also where only its words do.
 */
function seatsOf(
  timeline: PartTimeline,
  wishes: PerformanceWishes,
  byWords: boolean,
): readonly Seat[] {
  const players = byWords ? playersSharing(timeline) : playersOfStaff(timeline);
  const divided =
    players.length > 1 ? players.map((player) => playerPart(timeline, player)) : [timeline];
  return divided.map((each): Seat => {
    let context: AnalysisContext | undefined;
    return {
      part: each.part,
      read: () => (context ??= analysisContext(each, USUAL_PROFILE, wishes).context),
    };
  });
}

/** A part that cannot be read is told of; anything but an `InputError` is a bug and is thrown on. */
function leftOut(part: SeatName, error: unknown): Notice {
  if (!(error instanceof InputError)) throw error;
  return { kind: "colleague-left-out", part, because: { message: error.message } };
}
