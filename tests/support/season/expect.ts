import Fraction from "fraction.js";
import { BROKEN_FILES, type BrokenFile } from "./broken.js";
import { neededSeconds, verdictOf } from "./hands.js";
import { lengthOf, type PlannedMusic, type PlannedSeat } from "./music.js";
import { PLAYERS, type PlannedGap, type PlannedMovement, type SeasonPlan } from "./plan.js";
import {
  barsLeft,
  beatOf,
  piecesOf,
  restSeconds,
  weakestKind,
  type Piece,
  type Seconds,
} from "./times.js";

// The table of a season worked out from its plan alone: nothing here comes from src/. The rules are those of
// README.md ("A whole season", the table of verdicts).

/** A cell is a text, or a number that the table rounds to so many places. */
export type ExpectedCell = string | { readonly value: Fraction; readonly places: number } | RegExp;
export type ExpectedRow = Readonly<Record<string, ExpectedCell>>;

/** By the season file, with its players and pauses, or by the folders alone. */
export type Reading = "season-file" | "folders";

/** Least seconds that are assumed between two movements, and between two works. README.md says so. */
const BETWEEN_MOVEMENTS_SECONDS = 5;
const BETWEEN_WORKS_SECONDS = 60;

interface Visit {
  readonly programmeIndex: number;
  readonly workIndex: number;
  readonly place: Readonly<Record<"programme" | "date" | "work" | "movement" | "file", string>>;
  readonly after: PlannedGap;
  readonly movement: PlannedMovement;
  readonly broken: BrokenFile | undefined;
  /** Undefined where nobody knows what is in the file. */
  readonly music: PlannedMusic | undefined;
}

interface OpenEnd {
  readonly visit: Visit;
  readonly seat: PlannedSeat;
  pauseSeconds: Fraction;
  tacetSeconds: Seconds;
}

/** All rows of the table, in its order. */
export function expectedRows(plan: SeasonPlan, reading: Reading): readonly ExpectedRow[] {
  const visits = visitsOf(plan, reading);
  const into = joints(visits, reading);
  return visits.flatMap((visit) => {
    const { broken, music } = visit;
    if (broken || !music) return [errorRow(visit, broken!.error)];
    const rows = music.seats.flatMap((seat) => {
      const joint = into.get(seat);
      return [...insideRows(visit, music, seat, reading), ...(joint ? [joint] : [])];
    });
    // Nobody says in a folder that the section has nothing to play.
    const isMissed = reading === "folders" && music.kind === "tacet";
    return isMissed ? [errorRow(visit, /^no part is for a woodwind player/)] : rows;
  });
}

function visitsOf({ programmes }: SeasonPlan, reading: Reading): readonly Visit[] {
  const visits: Visit[] = [];
  let workIndex = 0;
  let lost = 0;
  programmes.forEach((programme, programmeIndex) => {
    for (const work of programme.works) {
      work.movements.forEach((movement, k) => {
        const broken = movement.music ? undefined : BROKEN_FILES[lost++]!;
        const isLast = k === work.movements.length - 1;
        const number = work.movements.length > 1 ? String(k + 1) : "";
        const byFile = reading === "season-file";
        const given = movement.after ?? (isLast ? work.pause : undefined);
        visits.push({
          ...{ programmeIndex, workIndex, movement, broken },
          music: movement.music ?? broken?.music,
          ...{ after: byFile ? given : undefined },
          place: {
            programme: byFile ? programme.name : programme.folder,
            date: byFile ? programme.date : "",
            work: byFile ? work.title || work.printedTitle : work.folder,
            movement: (byFile ? movement.title : "") || movement.printedTitle || number,
            file: `${programme.folder}/${work.folder}/${broken?.name ?? movement.file}`,
          },
        });
      });
      workIndex++;
    }
  });
  return visits;
}

function playerOf({ player, partName }: PlannedSeat, reading: Reading): string {
  if (reading === "season-file") return PLAYERS[player]!.name;
  // By the chair: a part for the bass clarinet has no number.
  return partName === "Bass Clarinet" ? "Bass clarinet" : PLAYERS[player]!.chair;
}

function handsOf({ player }: PlannedSeat, reading: Reading) {
  return reading === "season-file" ? PLAYERS[player]!.hands : {};
}

function errorRow({ place }: Visit, error: RegExp): ExpectedRow {
  return { ...place, player: "", kind: "error", from: "", to: "", verdict: "", error };
}

/** The changes in one file. */
function insideRows(
  visit: Visit,
  music: PlannedMusic,
  seat: PlannedSeat,
  reading: Reading,
): readonly ExpectedRow[] {
  return seat.stays.flatMap((stay, k) => {
    const before = seat.stays[k - 1];
    if (!before || before.instrument === stay.instrument) return [];
    const needed = neededSeconds(handsOf(seat, reading), before.instrument, stay.instrument);
    return [
      {
        ...{ ...visit.place, player: playerOf(seat, reading), part: seat.partName },
        ...{ kind: "change", from: before.instrument, to: stay.instrument },
        ...placeCells("leave", leavePlace(music, before.to)),
        ...placeCells("enter", enterPlace(music, stay.from)),
        ...{ to_work: "", to_movement: "", to_file: "", error: "" },
        rest_quarters: rounded(stay.from.sub(before.to), 6),
        ...figures({
          pieces: piecesOf(music, before.to, stay.from),
          ...{ needed, pause: new Fraction(0), tacet: NONE },
        }),
        tempo_source: weakestKind(music, [[before.to, stay.from]]),
      },
    ];
  });
}

/** The changes from one file into the next that a player has, by the seat that is left. */
function joints(visits: readonly Visit[], reading: Reading): ReadonlyMap<PlannedSeat, ExpectedRow> {
  const rows = new Map<PlannedSeat, ExpectedRow>();
  const open = new Map<string, OpenEnd>();
  visits.forEach((visit, k) => {
    const before = visits[k - 1];
    if (before?.programmeIndex !== visit.programmeIndex) open.clear();
    const { music } = visit;
    // Nobody knows what is in it.
    if (!music) open.clear();
    if (!music || !before) {
      if (music) begin(music, visit);
      return;
    }
    const pause = new Fraction(pauseBetween(before, visit));
    for (const end of open.values()) end.pauseSeconds = end.pauseSeconds.add(pause);
    const playing = music.seats.filter(({ stays }) => stays.length > 0);
    for (const [player, end] of open) {
      const seat = playing.find((each) => playerOf(each, reading) === player);
      if (!seat) {
        const length = restSeconds(piecesOf(music, new Fraction(0), lengthOf(music.bars)));
        end.tacetSeconds = sum(end.tacetSeconds, length);
        continue;
      }
      const row = jointRow(end, visit, music, seat, reading);
      if (row) rows.set(end.seat, row);
    }
    begin(music, visit);
  });
  return rows;

  function begin(music: PlannedMusic, visit: Visit): void {
    for (const seat of music.seats) {
      if (seat.stays.length === 0) continue;
      const end = { visit, seat, pauseSeconds: new Fraction(0), tacetSeconds: NONE };
      open.set(playerOf(seat, reading), end);
    }
  }
}

function pauseBetween({ after, workIndex, music }: Visit, next: Visit): number {
  if (after === "attacca") return 0;
  if (after) return after.seconds;
  if (workIndex !== next.workIndex) return BETWEEN_WORKS_SECONDS;
  return music?.goesOn ? 0 : BETWEEN_MOVEMENTS_SECONDS;
}

function jointRow(
  { visit, seat: left, pauseSeconds, tacetSeconds }: OpenEnd,
  entered: Visit,
  music: PlannedMusic,
  seat: PlannedSeat,
  reading: Reading,
): ExpectedRow | undefined {
  const leftMusic = visit.music!;
  const [from, to] = [left.stays.at(-1)!, seat.stays[0]!];
  if (from.instrument === to.instrument) return undefined;
  const end = lengthOf(leftMusic.bars);
  const trailing = piecesOf(leftMusic, from.to, end);
  const leading = piecesOf(music, new Fraction(0), to.from);
  const across = visit.workIndex === entered.workIndex ? "movements" : "works";
  const sources = [
    ...(from.to.equals(end) ? [] : [weakestKind(leftMusic, [[from.to, end]])]),
    ...(to.from.equals(0) ? [] : [weakestKind(music, [[new Fraction(0), to.from]])]),
  ];
  return {
    ...{ ...visit.place, player: playerOf(left, reading), part: left.partName },
    ...{ kind: `between-${across}`, from: from.instrument, to: to.instrument },
    ...placeCells("leave", leavePlace(leftMusic, from.to)),
    ...placeCells("enter", enterPlace(music, to.from)),
    ...{ to_work: entered.place.work, to_movement: entered.place.movement },
    ...{ to_file: entered.place.file, error: "" },
    rest_quarters: rounded(end.sub(from.to).add(to.from), 6),
    ...figures({
      pieces: [...trailing, ...leading],
      needed: neededSeconds(handsOf(left, reading), from.instrument, to.instrument),
      ...{ pause: pauseSeconds, tacet: tacetSeconds },
    }),
    // Of a rest without a note value nothing is known by a tempo.
    tempo_source:
      sources.length === 0 ? "assumed" : sources.includes("sound") ? "sound" : "metronome",
  };
}

const NONE: Seconds = {
  short: new Fraction(0),
  likely: new Fraction(0),
  long: new Fraction(0),
};

function sum(a: Seconds, b: Seconds): Seconds {
  return { short: a.short.add(b.short), likely: a.likely.add(b.likely), long: a.long.add(b.long) };
}

interface Figures {
  readonly pieces: readonly Piece[];
  readonly needed: Fraction;
  readonly pause: Fraction;
  /** Whole movements in which the player rests. */
  readonly tacet: Seconds;
}

function figures({ pieces, needed, pause, tacet }: Figures): ExpectedRow {
  const seconds = sum(restSeconds(pieces), tacet);
  const least = seconds.short.add(pause);
  const lookUp = least.sub(needed);
  const blind = needed.sub(pause).sub(tacet.short);
  const lookUpBars = lookUp.compare(0) > 0 ? barsLeft(pieces, blind) : new Fraction(0);
  return {
    rest_seconds_short: rounded(seconds.short, 3),
    rest_seconds_likely: rounded(seconds.likely, 3),
    rest_seconds_long: rounded(seconds.long, 3),
    pause_seconds: rounded(pause, 3),
    needed_seconds: rounded(needed, 3),
    lookup_seconds: rounded(lookUp, 3),
    lookup_bars: rounded(lookUpBars, 3),
    verdict: verdictOf(least, needed, blind.compare(0) > 0 ? lookUpBars : undefined),
  };
}

function rounded(value: Fraction, places: number) {
  return { value, places };
}

interface Place {
  readonly bar: string;
  readonly beat: Fraction;
}

function placeCells(name: "leave" | "enter", { bar, beat }: Place): ExpectedRow {
  return { [`${name}_bar`]: bar, [`${name}_pass`]: "1", [`${name}_beat`]: rounded(beat, 4) };
}

/** A note that ends with its bar is left in that bar. */
function leavePlace({ bars }: PlannedMusic, at: Fraction): Place {
  const bar = bars.findLast(({ start }) => start.compare(at) < 0)!;
  return { bar: bar.label, beat: beatOf(bar, at) };
}

function enterPlace({ bars }: PlannedMusic, at: Fraction): Place {
  const bar = bars.findLast(({ start }) => start.compare(at) <= 0)!;
  return { bar: bar.label, beat: beatOf(bar, at) };
}
