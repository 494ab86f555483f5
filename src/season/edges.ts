import type { AnalysisContext } from "../analyses/context.js";
import { breakSeconds } from "../analyses/movement-breaks.js";
import { comparePlaces, pageSigns } from "../analyses/page-evidence.js";
import { nameCandidates } from "../analyses/resolve-instrument.js";
import { GRACE_NOTE_SECONDS, measureRest } from "../analyses/rests.js";
import { endMoment, lastNoteStart, type PlayedStretch } from "../analyses/stretches.js";
import { readInstrumentName } from "../instruments/names.js";
import { instrumentsFor } from "../instruments/table.js";
import type { Evidence } from "../model/finding.js";
import type { Fraction } from "../model/fraction.js";
import type {
  Closing,
  EdgeRest,
  Opening,
  RestStep,
  SeatAudit,
  Surroundings,
} from "../model/season.js";
import { minFraction, toNumber, ZERO } from "../theory/fraction.js";
import { countedBarQuarters, silentPieces } from "../timing/counted-bars.js";
import type { TempoStretch } from "../timing/tempo-map.js";
import { heldSigns, placeOnPage } from "./plain.js";

/** How a part begins and ends, for the changes into and out of its file; null for a part without a note. */
export function edgesOf(context: AnalysisContext): SeatAudit["edges"] {
  const first = context.stretches[0];
  const last = context.stretches.at(-1);
  return first && last ? { opens: opening(context, first), closes: closing(context, last) } : null;
}

function opening(context: AnalysisContext, first: PlayedStretch): Opening {
  const { performance, inHand } = context;
  const [note] = first.notes;
  const printed = note && inHand.printedTranspositionOf(note.noteIndex);
  return {
    instrument: first.instrument,
    at: placeOnPage(performance.momentAt(first.startQuarters)),
    graceSeconds: first.graceNotes * GRACE_NOTE_SECONDS,
    rest: edgeRest(context, ZERO, first.startQuarters, null),
    evidence: openingEvidence(context, first),
    transpositionFits: printed ? instrumentsFor(printed).map(({ id }) => id) : [],
    ...surroundings(context, first.startQuarters),
  };
}

function closing(context: AnalysisContext, last: PlayedStretch): Closing {
  const { performance } = context;
  const end = minFraction(last.endQuarters, performance.totalQuarters);
  const lastNoteFrom = lastNoteStart(last.notes, last.endQuarters);
  return {
    instrument: last.instrument,
    at: placeOnPage(endMoment(performance, end)),
    rest: edgeRest(context, end, performance.totalQuarters, lastNoteFrom),
    words: closingWords(context, last),
    ...surroundingsOfEnd(context, end),
  };
}

/** @param lastNoteFrom where the note before it began; null at the beginning of the file */
function edgeRest(
  context: AnalysisContext,
  from: Fraction,
  to: Fraction,
  lastNoteFrom: Fraction | null,
): EdgeRest {
  const { clock } = context;
  const rest = measureRest(context, from, to, { graceNotes: 0, lastNoteFrom });
  return {
    quarters: toNumber(rest.quarters),
    counted: rest.counted,
    seconds: rest.seconds,
    tempoSource: rest.tempoSource,
    pauseSeconds: breakSeconds(rest.pauses),
    held: heldSigns(rest.pauses),
    steps: restSteps(context, from, to),
    pauses: rest.pauses.flatMap(({ at, on, sign }) =>
      on === "last-note"
        ? []
        : [
            {
              hazard: { kind: "pause" as const, at: placeOnPage(at), sign },
              afterSeconds: clock.secondsBetween(from, at.quarters).short,
            },
          ],
    ),
  };
}

/** A piece of a rest inside one bar and one stretch of tempo, or several that go on evenly. */
interface EvenPiece {
  readonly from: Fraction;
  readonly to: Fraction;
  readonly meter: string;
  readonly barQuarters: Fraction;
  readonly stretch: TempoStretch;
}

/** A rest in as few pieces as have one meter and go on evenly. */
function restSteps(context: AnalysisContext, from: Fraction, to: Fraction): readonly RestStep[] {
  const { performance, clock } = context;
  const joined: EvenPiece[] = [];
  for (const piece of evenPieces(context, from, to)) {
    const before = joined.at(-1);
    if (before && goesOnEvenly(context, before, piece)) {
      joined[joined.length - 1] = { ...before, to: piece.to };
    } else joined.push(piece);
  }
  return joined.map((piece) => ({
    at: placeOnPage(performance.momentAt(piece.from)),
    bars: toNumber(piece.to.sub(piece.from).div(piece.barQuarters)),
    seconds: clock.secondsBetween(piece.from, piece.to).short,
    ...surroundings(context, piece.from),
  }));
}

function evenPieces(
  { performance, tempoMap }: AnalysisContext,
  from: Fraction,
  to: Fraction,
): readonly EvenPiece[] {
  return silentPieces(performance, from, to).flatMap(({ bar, from: start, to: end }) =>
    tempoMap.stretchesBetween(start, end).map((stretch, k, stretches): EvenPiece => ({
      from: k === 0 ? start : stretch.startQuarters,
      to: stretches[k + 1]?.startQuarters ?? end,
      meter: bar.meter.label,
      barQuarters: countedBarQuarters(bar),
      stretch,
    })),
  );
}

/** A recording goes on as it was played, and under a gradual change every bar has a length of its own. */
function goesOnEvenly(
  { clock, tempoMap }: AnalysisContext,
  before: EvenPiece,
  { meter, barQuarters, stretch }: EvenPiece,
): boolean {
  return (
    clock === tempoMap &&
    stretch === before.stretch &&
    stretch.from.fast === stretch.to.fast &&
    meter === before.meter &&
    barQuarters.equals(before.barQuarters)
  );
}

/** At the beginning of something. */
function surroundings({ performance, tempoMap }: AnalysisContext, at: Fraction): Surroundings {
  const stretch = tempoMap.stretchAt(at);
  return {
    meter: performance.barOf(performance.visitAt(at)).meter.label,
    tempo: tempoOf(stretch, stretch.startQuarters.equals(at)),
  };
}

/** At the end of something: what begins there is not in force yet. */
function surroundingsOfEnd(
  { performance, tempoMap }: AnalysisContext,
  end: Fraction,
): Surroundings {
  const { stretches } = tempoMap;
  const stretch =
    stretches.findLast(({ startQuarters }) => startQuarters.compare(end) < 0) ??
    tempoMap.stretchAt(end);
  return {
    meter: performance.barOf(performance.visitEndingAt(end)).meter.label,
    tempo: tempoOf(stretch, false),
  };
}

function tempoOf({ from, to, text }: TempoStretch, isNew: boolean): Surroundings["tempo"] {
  return { first: from.likely, last: to.likely, text, isNew };
}

/** The name of the part where it has a key, words up to the first note, and the transposition. */
function openingEvidence(context: AnalysisContext, first: PlayedStretch): readonly Evidence[] {
  const { timeline, inHand } = context;
  const [performed] = first.notes;
  if (!performed) return [];
  const { note, noteIndex } = performed;
  const at = { barIndex: note.barIndex, offset: note.offset };
  const labelOf = (barIndex: number) => timeline.bars[barIndex]?.barLabel ?? "";
  const place = { barIndex: note.barIndex, barLabel: labelOf(note.barIndex) };
  const head = { barIndex: 0, barLabel: labelOf(0) };
  const words = pageSigns(timeline, [])
    .signs.filter(
      (sign) =>
        sign.kind === "words" && sign.name && comparePlaces(timeline.bars, sign.at, at) <= 0,
    )
    .map(({ kind, text, at: { barIndex } }) => ({
      ...{ kind, text, barIndex },
      barLabel: labelOf(barIndex),
    }));
  const named = readInstrumentName(timeline.part.name)?.keyFifths !== undefined;
  return [
    ...words,
    ...(named ? [{ kind: "part-name-display" as const, ...head, text: timeline.part.name }] : []),
    ...(inHand.printedTranspositionOf(noteIndex)
      ? [{ kind: "transpose" as const, ...place, text: "" }]
      : []),
  ];
}

/** Words over the last note or after it that ask for an instrument: for the next movement, since none is left here. */
function closingWords(
  { timeline }: AnalysisContext,
  { notes, instrument }: PlayedStretch,
): Closing["words"] {
  const last = notes.at(-1)?.note;
  if (!last) return [];
  const at = { barIndex: last.barIndex, offset: last.offset };
  return pageSigns(timeline, []).signs.flatMap((sign) => {
    const isLater = comparePlaces(timeline.bars, sign.at, at) >= 0;
    // A bare name there heads a cue.
    const prepares = sign.kind === "words" && sign.takesEffect === "after-rest";
    if (!prepares || !sign.name || !isLater) return [];
    const { barIndex } = sign.at;
    const barLabel = timeline.bars[barIndex]?.barLabel ?? "";
    return [
      {
        evidence: { kind: "words" as const, text: sign.text, barIndex, barLabel },
        means: nameCandidates(sign.name, instrument),
      },
    ];
  });
}
