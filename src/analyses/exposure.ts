import { orchestraGroup } from "../instruments/orchestra.js";
import type {
  Doubling,
  Exposure,
  ExposureKind,
  MissedReason,
  PlayingPart,
} from "../model/exposure.js";
import { DYNAMICS, type Dynamic } from "../model/score.js";
import { ONE } from "../theory/fraction.js";
import { groupBy } from "../theory/search.js";
import type { AnalysisContext } from "./context.js";
import {
  hearEntry,
  soundsAt,
  type HeardEntry,
  type HeardLine,
  type HeardSpan,
} from "./entry-heard.js";
import { roleOf } from "./exposure-role.js";
import { inForceAt } from "./in-force.js";
import type { PlayedStretch } from "./stretches.js";

// What follows is assumed, after what an orchestra hears; no source.

/** A part that sounds in less of the player's time does not play along: it ends as the player begins. */
const LEAST_SHARE = 0.25;
/** A part that has less of the player's notes does not double them. */
const LEAST_DOUBLED = 0.5;
/** More than these, and one of them is not heard singly. */
const SMALL_GROUP = 4;
const LOUD: Dynamic = "f";
/** So many loud brass parts cover a woodwind player, or so many loud parts that are half of all. */
const LOUD_BRASS = 2;
const LOUD_PARTS = 5;

/** What of the entry would be missed, before who leads and who is louder. */
const KIND_WEIGHT: Readonly<Record<ExposureKind, number>> = {
  alone: 0.9,
  "small-group": 0.7,
  "among-others": 0.4,
  doubled: 0.3,
  covered: 0.1,
};
const LEADING_WEIGHT = 0.2;
const ACCOMPANYING_WEIGHT = -0.1;
/** A level apart is balance, two are heard. */
const STEPS_HEARD = 2;
const LEVEL_WEIGHT = 0.1;

/**
 * How an entry lies in the orchestra, from the first bars of it (see `hearEntry`); undefined where the part
 * stands alone. Reads those bars of all parts, so it is for entries that are reported, not for trial plans.
 */
export function exposureOf(context: AnalysisContext, stretch: PlayedStretch): Exposure | undefined {
  if (context.orchestra.length === 0) return undefined;
  const entry = hearEntry(context, stretch);
  const playing = playingParts(entry);
  const doubledBy = doublings(entry);
  const kind = kindOf(playing, doubledBy, context.orchestra.length);
  const has = (ids: readonly { readonly partId: string }[], { part }: HeardLine) =>
    ids.some(({ partId }) => partId === part.part.id);
  const along = entry.lines.filter((line) => has(playing, line));
  const role = roleOf(context, entry, along, (line) => has(doubledBy, line));
  const own = ownDynamic(context, stretch);
  const loudest = loudestOf(playing);
  const lastBar = entry.visits.at(-1) ?? context.performance.visitAt(stretch.startQuarters);
  return {
    kind,
    lastBar: context.performance.momentAt(lastBar.startQuarters),
    noteCount: new Set(begunIn(entry.own, entry).map(({ start }) => start)).size,
    partCount: context.orchestra.length,
    atEntry: entry.lines.filter(({ spans }) => soundsAt(spans, entry.from)).length,
    playing,
    doubledBy,
    role,
    dynamic: { ...(own && { own }), ...(loudest && { others: loudest }) },
    missed: missed([
      { kind, weight: KIND_WEIGHT[kind] },
      ...(role.value === "leading" ? [{ kind: "leading", weight: LEADING_WEIGHT } as const] : []),
      ...(role.value === "accompanying"
        ? [{ kind: "accompanying", weight: ACCOMPANYING_WEIGHT } as const]
        : []),
      ...levelReasons(own, loudest),
    ]),
  };
}

function begunIn(spans: readonly HeardSpan[], { from, to }: HeardEntry): readonly HeardSpan[] {
  return spans.filter(({ begins, start }) => begins && start >= from && start < to);
}

function playingParts({ from, lines, moments }: HeardEntry): readonly PlayingPart[] {
  const whole = moments.reduce((sum, { quarters }) => sum + quarters, 0);
  return lines.flatMap(({ part, spans, firstAt }): PlayingPart[] => {
    if (!firstAt) return [];
    const atEntry = soundsAt(spans, from);
    const sounding = moments
      .filter(({ at }) => soundsAt(spans, at))
      .reduce((sum, { quarters }) => sum + quarters, 0);
    // An entry of grace notes alone takes no time.
    const share = whole > 0 ? sounding / whole : Number(atEntry);
    if (share < LEAST_SHARE) return [];
    const dynamic = part.dynamicAt(firstAt);
    return [
      {
        ...naming(part),
        group: orchestraGroup(part.part),
        atEntry,
        share,
        ...(dynamic && { dynamic }),
      },
    ];
  });
}

function naming({ part: { id, name } }: HeardLine["part"]) {
  return { partId: id, name: name.trim() === "" ? id : name };
}

/** Parts that begin most of the player's notes with the player, in unison or octaves. */
function doublings(entry: HeardEntry): readonly Doubling[] {
  // Of several notes begun at once the highest is the line.
  const own = [...groupBy(begunIn(entry.own, entry), ({ start }) => start)].flatMap(
    ([start, spans]) => {
      const highest = Math.max(...spans.flatMap(({ pitches }) => pitches));
      return Number.isFinite(highest) ? [{ start, pitch: highest }] : [];
    },
  );
  if (own.length === 0) return [];
  return entry.lines
    .flatMap(({ part, spans }): Doubling[] => {
      const begun = groupBy(begunIn(spans, entry), ({ start }) => start);
      const octaves = own.flatMap(({ start, pitch }) => {
        const apart = (begun.get(start) ?? [])
          .flatMap(({ pitches }) => pitches)
          .map((each) => (each - pitch) / 12)
          .filter(Number.isInteger)
          .sort((a, b) => Math.abs(a) - Math.abs(b));
        return apart.slice(0, 1);
      });
      const share = octaves.length / own.length;
      return share >= LEAST_DOUBLED
        ? [{ ...naming(part), octaves: mostFrequent(octaves), share }]
        : [];
    })
    .sort((a, b) => b.share - a.share || Math.abs(a.octaves) - Math.abs(b.octaves));
}

function mostFrequent(values: readonly number[]): number {
  const groups = [...groupBy(values, (value) => value)].sort(([, a], [, b]) => b.length - a.length);
  return groups[0]?.[0] ?? 0;
}

function kindOf(
  playing: readonly PlayingPart[],
  doubledBy: readonly Doubling[],
  partCount: number,
): ExposureKind {
  if (playing.length === 0) return "alone";
  const loud = playing.filter(({ dynamic }) => dynamic !== undefined && isLoud(dynamic));
  const loudBrass = loud.filter(({ group }) => group === "brass").length;
  const isLoudTutti = loud.length >= LOUD_PARTS && loud.length >= partCount / 2;
  if (loudBrass >= LOUD_BRASS || isLoudTutti) return "covered";
  if (doubledBy.length > 0) return "doubled";
  const strings = playing.filter(({ group }) => group === "strings");
  const isLoudBody = strings.some((each) => loud.includes(each));
  const size =
    playing.length - strings.length + (isLoudBody ? strings.length : Number(strings.length > 0));
  return size <= SMALL_GROUP ? "small-group" : "among-others";
}

function isLoud(dynamic: Dynamic): boolean {
  return DYNAMICS.indexOf(dynamic) >= DYNAMICS.indexOf(LOUD);
}

function loudestOf(playing: readonly PlayingPart[]): Dynamic | undefined {
  return DYNAMICS.findLast((level) => playing.some(({ dynamic }) => dynamic === level));
}

/** The level of an entry; one that is printed within its first quarter goes before, as after an accent ("sf p"). */
function ownDynamic({ timeline }: AnalysisContext, { notes }: PlayedStretch): Dynamic | undefined {
  const first = notes.find(({ note }) => !note.grace) ?? notes[0];
  if (!first) return undefined;
  const { barIndex, offset } = first.note;
  const soon = timeline.dynamics.findLast(
    ({ at }) =>
      at.barIndex === barIndex &&
      at.offset.compare(offset) > 0 &&
      at.offset.compare(offset.add(ONE)) < 0,
  );
  return (soon ?? inForceAt(timeline.dynamics, timeline.bars, first.note))?.value;
}

function levelReasons(
  own: Dynamic | undefined,
  others: Dynamic | undefined,
): readonly MissedReason[] {
  if (!own || !others) return [];
  const steps = DYNAMICS.indexOf(own) - DYNAMICS.indexOf(others);
  if (steps >= STEPS_HEARD) return [{ kind: "louder", weight: LEVEL_WEIGHT }];
  return steps <= -STEPS_HEARD ? [{ kind: "softer", weight: -LEVEL_WEIGHT }] : [];
}

function missed(reasons: readonly MissedReason[]): Exposure["missed"] {
  const sum = reasons.reduce((total, { weight }) => total + weight, 0);
  // Tenths do not add up exactly.
  return { weight: Math.round(Math.min(1, Math.max(0, sum)) * 100) / 100, reasons };
}
