import { measureChange } from "../analyses/changes.js";
import type { AnalysisContext } from "../analyses/context.js";
import { mayStandIn } from "../analyses/passages.js";
import {
  endMoment,
  lastNoteStart,
  leadingGraceNotes,
  type PlayedStretch,
} from "../analyses/stretches.js";
import { INSTRUMENTS } from "../instruments/table.js";
import type { InstrumentId } from "../model/instrument.js";
import {
  COLLEAGUE_WAYS,
  type ColleagueRest,
  type ColleagueTakesBars,
  type SightTransposition,
} from "../model/plan.js";
import type { InstrumentChange } from "../model/report.js";
import type { PartInfo } from "../model/score.js";
import { maxFraction } from "../theory/fraction.js";
import type { PerformedNote } from "../timing/performed-notes.js";
import { isUnsafe, type PlacedChange, type PlanBasis } from "./basis.js";
import { barsToGive, type GivenBars } from "./bars-to-give.js";
import { sightOn, soundsOf } from "./passages.js";
import { BREATH_SECONDS } from "./weights.js";

/** Another player of the score. */
export interface Colleague {
  readonly part: PartInfo;
  /** The same bars in the same order as the player's (see `playsSameBars`), with that player's own notes. */
  readonly context: AnalysisContext;
  /** How far away in the order of the score: 1 for the neighbour. */
  readonly seatsAway: number;
}

/** A page names no more for one change. */
const MOST_NAMED = 2;

/** Whether two parts are played through the same bars in the same order. */
export function playsSameBars(a: AnalysisContext, b: AnalysisContext): boolean {
  const [one, other] = [a.performance.visits, b.performance.visits];
  return (
    one.length === other.length && one.every(({ barIndex }, k) => barIndex === other[k]?.barIndex)
  );
}

/**
 * The colleagues who could take bars over so that a change can be made, the best first. What makes the change
 * safe stands before what makes it possible; then by the way it is done, the number of bars, and who sits near.
 * A colleague whose own changes would be tight for it is not named.
 * @param instruments one for each passage
 */
export function takersOfBars(
  basis: PlanBasis,
  instruments: readonly InstrumentId[],
  placed: PlacedChange,
  colleagues: readonly Colleague[],
): readonly ColleagueTakesBars[] {
  if (colleagues.length === 0) return [];
  const offers = barsToGive(basis, instruments, placed)
    .flatMap((given) =>
      colleagues.flatMap((colleague) => {
        const offer = offerOf(basis, given, colleague);
        return offer ? [{ offer, colleague }] : [];
      }),
    )
    .sort(
      (a, b) =>
        Number(a.offer.gained?.verdict === "tight") - Number(b.offer.gained?.verdict === "tight") ||
        COLLEAGUE_WAYS.indexOf(a.offer.way) - COLLEAGUE_WAYS.indexOf(b.offer.way) ||
        a.offer.bars - b.offer.bars ||
        a.colleague.seatsAway - b.colleague.seatsAway,
    );
  const named = new Map<Colleague, ColleagueTakesBars>();
  for (const { offer, colleague } of offers) {
    if (named.size < MOST_NAMED && !named.has(colleague)) named.set(colleague, offer);
  }
  return [...named.values()];
}

const AS_PRINTED: SightTransposition = { diatonic: 0, chromatic: 0 };

function offerOf(
  { context }: PlanBasis,
  given: GivenBars,
  colleague: Colleague,
): ColleagueTakesBars | undefined {
  const { which, first, last, notes, gained } = given;
  const [firstNote] = notes;
  if (!firstNote) return undefined;
  const facts = {
    kind: "colleague",
    which,
    bars: last - first + 1,
    // Tied notes are one; a tie without a beginning is a note all the same.
    notes: Math.max(1, notes.filter(({ note }) => !note.tiedFromBefore).length),
    from: context.performance.momentAt(firstNote.startQuarters),
    to: endMoment(
      context.performance,
      notes.map(({ endQuarters }) => endQuarters).reduce(maxFraction),
    ),
    gained,
    part: colleague.part,
  } as const;
  const played = colleague.context.stretches.flatMap((stretch) =>
    stretch.notes
      .filter(({ visit }) => visit.visitIndex >= first && visit.visitIndex <= last)
      .map((performed) => ({ performed, instrument: stretch.instrument })),
  );
  const [playing] = played;
  if (playing) {
    const theirs = played.map(({ performed }) => performed);
    if (!areDoubled(context, notes, colleague.context, theirs)) return undefined;
    const { instrument } = playing;
    return { ...facts, way: "unison", instrument, sight: AS_PRINTED, before: null, after: null };
  }
  const how = takeOver(context, given, colleague.context);
  return how && { ...facts, ...how };
}

/** Whether every note sounds in the other part as well: at the same place, as long, and at the same pitch. */
function areDoubled(
  own: AnalysisContext,
  notes: readonly PerformedNote[],
  other: AnalysisContext,
  theirs: readonly PerformedNote[],
): boolean {
  const keyOf = ({ inHand }: AnalysisContext, performed: PerformedNote) => {
    const { offset, duration, grace } = performed.note;
    const { visitIndex } = performed.visit;
    const sounds = soundsOf(inHand, performed).join("+");
    return [visitIndex, offset.toFraction(), duration.toFraction(), grace, sounds].join(" ");
  };
  const sounding = new Set(theirs.map((performed) => keyOf(other, performed)));
  return notes.every((performed) => sounding.has(keyOf(own, performed)));
}

type Way = Pick<ColleagueTakesBars, "way" | "instrument" | "sight" | "before" | "after">;

/** How a colleague who rests in the bars could play them; undefined where there is no way. */
function takeOver(
  own: AnalysisContext,
  { first, last, notes, passage }: GivenBars,
  colleague: AnalysisContext,
): Way | undefined {
  const { stretches } = colleague;
  const before = stretches.findLast((stretch) => barOf(stretch) < first);
  const after = stretches.find((stretch) => barOf(stretch) > last);
  const held = (before ?? after)?.instrument;
  const { printed } = passage;
  if (held === undefined || INSTRUMENTS[held].family !== INSTRUMENTS[printed].family) {
    return undefined;
  }
  const on = (instrument: InstrumentId, way: Way["way"], sight: SightTransposition) => {
    const sides = restsAround(colleague, before, stretchOf(colleague, notes, instrument), after);
    return sides && { way, instrument, sight, ...sides };
  };
  if (held === printed) return on(printed, "holds", AS_PRINTED);
  const taken = hasAtHand(colleague, printed) ? on(printed, "takes-up", AS_PRINTED) : undefined;
  if (taken) return taken;
  const sight = mayStandIn(own, printed, held) ? sightOn(own, passage, notes, held) : undefined;
  return sight && on(held, "by-sight", sight);
}

/** The bar in which a stretch begins, as a position in the visits. */
function barOf({ notes }: PlayedStretch): number {
  return notes[0]?.visit.visitIndex ?? 0;
}

/**
 * Whether a player has an instrument: it is in the part, or the part is for one of those that everybody
 * brings (common practice, no source), who then has the others of them.
 */
function hasAtHand({ instruments, profile: { carries } }: AnalysisContext, id: InstrumentId) {
  const bringsUsual = instruments.some((each) => carries.includes(each));
  return instruments.includes(id) || (bringsUsual && carries.includes(id));
}

/** The notes as a colleague would play them. */
function stretchOf(
  { performance }: AnalysisContext,
  notes: readonly PerformedNote[],
  instrument: InstrumentId,
): PlayedStretch {
  const moved = notes.map((performed): PerformedNote => {
    const visit = performance.visits[performed.visit.visitIndex] ?? performed.visit;
    const startQuarters = visit.startQuarters.add(performed.note.offset);
    return {
      // It has no place on the colleague's page, where nothing is printed for it.
      noteIndex: NOT_ON_PAGE,
      note: performed.note,
      visit,
      startQuarters,
      endQuarters: startQuarters.add(performed.note.duration),
    };
  });
  const [first] = moved;
  if (!first) throw new Error("bars without notes are not given away");
  return {
    instrument,
    notes: moved,
    startQuarters: first.startQuarters,
    endQuarters: moved.map(({ endQuarters }) => endQuarters).reduce(maxFraction),
    silentFrom: null,
    lastNoteFrom: null,
    graceNotes: leadingGraceNotes(moved),
  };
}

const NOT_ON_PAGE = -1;

/** What the colleague has before and after the bars; undefined where it is too little for hands or breath. */
function restsAround(
  context: AnalysisContext,
  before: PlayedStretch | undefined,
  bars: PlayedStretch,
  after: PlayedStretch | undefined,
): Pick<Way, "before" | "after"> | undefined {
  const sides = [before && ([before, bars] as const), after && ([bars, after] as const)].map(
    (side) => side && restOf(measureChange(context, side[0], following(side[0], side[1]), 0)),
  );
  const [left, right] = sides;
  if (left === "too-short" || right === "too-short") return undefined;
  return { before: left ?? null, after: right ?? null };
}

/** A stretch as it is when another is the last before it. */
function following(
  { notes, endQuarters }: Pick<PlayedStretch, "notes" | "endQuarters">,
  next: PlayedStretch,
): PlayedStretch {
  return {
    ...next,
    silentFrom: endQuarters,
    lastNoteFrom: lastNoteStart(notes, endQuarters),
  };
}

function restOf(change: InstrumentChange): ColleagueRest | "too-short" {
  const { from, to, lookUp, needed } = change;
  // With the pause between movements that is counted.
  const seconds = Math.max(0, lookUp.seconds + needed.seconds);
  if (from === to) return seconds < BREATH_SECONDS ? "too-short" : { seconds };
  if (isUnsafe(change)) return "too-short";
  return { seconds, change: { to, neededSeconds: needed.seconds } };
}
