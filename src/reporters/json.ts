import type { Exposure } from "../model/exposure.js";
import type {
  CheckedChange,
  HeardFromOthers,
  CheckReport,
  Demand,
  Entry,
  InputFailure,
  Lying,
  PartReport,
  Passage,
  Rest,
  TempoSpan,
} from "../model/report.js";
import type { Landmark } from "../model/landmark.js";
import type { Moment, SecondsRange, TempoRange, TimedMoment } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import { pitchName } from "../theory/pitch.js";
import { majorKeyName } from "../theory/key.js";
import { jsonLine, jsonText } from "./util/json-text.js";
import { adviceText, evidenceText } from "./wording/advice.js";
import { exposureText } from "./wording/exposure.js";
import { demandText, spotText, trillText } from "./wording/fingers.js";
import { hazardText } from "./wording/hazards.js";
import { cueText, landmarkText } from "./wording/landmarks.js";
import { noticeText } from "./wording/notices.js";

const SCHEMA = "muta.check/1";

/**
 * One document. A single part stands at the top level; several stand in `parts`, each of the
 * same shape, beside the `errors` of files that could not be read.
 */
export function renderJson(report: CheckReport): string {
  const [only, ...more] = report.parts;
  const document =
    only && more.length === 0
      ? partDocument(only, report.errors)
      : {
          schema: SCHEMA,
          parts: report.parts.map((part) => partDocument(part, [])),
          errors: report.errors,
        };
  return jsonText(document);
}

/** One line a part, and one for each file that could not be read. */
export function renderJsonLines(report: CheckReport): string {
  const lines = [
    ...report.parts.map((part) => partDocument(part, [])),
    ...report.errors.map((error) => ({ schema: SCHEMA, file: error.file, errors: [error] })),
  ];
  return lines.map(jsonLine).join("");
}

function partDocument(report: PartReport, errors: readonly InputFailure[]) {
  return {
    schema: SCHEMA,
    file: report.file,
    title: report.title,
    movement: report.movement,
    part: partNaming(report),
    bars: report.barCount,
    playedBars: report.playedBars,
    durationSeconds: seconds(report.durationSeconds),
    instruments: report.instruments,
    changes: report.changes.map(changeDocument),
    entries: report.entries.map(entryDocument),
    passages: report.passages.map(passageDocument),
    demands: report.demands.map(demandDocument),
    tempi: report.tempi.map(tempoDocument),
    notices: report.notices.map((notice) => ({ ...notice, text: noticeText(notice) })),
    errors,
  };
}

function changeDocument(change: CheckedChange) {
  return {
    number: change.number,
    from: change.from,
    to: change.to,
    leave: timedPlace(change.leave),
    enter: timedPlace(change.enter),
    rest: restDocument(change.rest),
    needed: {
      seconds: round(change.needed.seconds),
      steps: change.needed.steps,
    },
    ready: change.ready && place(change.ready),
    lookUp: { seconds: round(change.lookUp.seconds), bars: round(change.lookUp.bars) },
    verdict: change.verdict,
    entersIn: change.entersIn,
    lying: lyingDocument(change.lying),
    hazards: change.hazards.map((hazard) => ({
      ...hazard,
      at: place(hazard.at),
      text: hazardText(hazard),
    })),
    evidence: change.evidence.map((each) => ({ ...each, description: evidenceText(each) })),
    disagreements: change.disagreements.map((each) =>
      each.kind === "late-warning" ? { ...each, seconds: round(each.seconds) } : each,
    ),
    advice: change.advice.map((each) => ({ ...each, sentence: adviceText(each) })),
    ...heardDocument(change),
  };
}

/** What of the other parts matters to an entry; also for `muta count`. */
export function heardDocument({ landmarks, cues, exposure }: HeardFromOthers) {
  return {
    landmarks: landmarks.map(landmarkDocument),
    cues: cues.map((cue) => ({
      ...cue,
      from: place(cue.from),
      to: place(cue.to),
      text: cueText(cue),
    })),
    ...(exposure && { exposure: exposureDocument(exposure) }),
  };
}

function landmarkDocument(landmark: Landmark) {
  const { at, before, score, reasons, ...facts } = landmark;
  return {
    ...facts,
    at: timedPlace(at),
    before: { ...before, bars: round(before.bars), seconds: seconds(before.seconds) },
    score: round(score),
    reasons: reasons.map((each) => ({ ...each, points: round(each.points) })),
    text: landmarkText(landmark),
  };
}

/** How an entry lies in the orchestra; also for `muta cues`. */
export function exposureDocument(exposure: Exposure) {
  const rounded = <T extends { readonly share: number }>(each: T) => ({
    ...each,
    share: round(each.share),
  });
  return {
    ...exposure,
    lastBar: place(exposure.lastBar),
    playing: exposure.playing.map(rounded),
    doubledBy: exposure.doubledBy.map(rounded),
    text: exposureText(exposure),
  };
}

function lyingDocument({ since, seconds: lain, cents, matters, temperature }: Lying) {
  return {
    since: since && timedPlace(since),
    seconds: seconds(lain),
    cents: { short: round(cents.short), likely: round(cents.likely), long: round(cents.long) },
    matters,
    temperature,
  };
}

function entryDocument(entry: Entry) {
  return {
    at: timedPlace(entry.at),
    leave: entry.leave && timedPlace(entry.leave),
    instrument: entry.instrument,
    rest: restDocument(entry.rest),
    graceNotes: entry.graceNotes,
  };
}

/** A part by its id and name, and of a shared staff its player; also for `muta keys`. */
export function partNaming({ part: { id, name, player } }: Pick<PartReport, "part">) {
  return { id, name, ...(player !== undefined && { player }) };
}

/** What is asked of tongue, breath and lip; also for `muta keys`. */
export function demandDocument(demand: Demand) {
  return {
    ...demand,
    from: place(demand.from),
    to: place(demand.to),
    ...(demand.kind === "soft-high-note" && { pitch: pitchName(demand.pitch) }),
    text: demandText(demand),
  };
}

/** A passage with all its choices; also for `muta keys`. */
export function passageDocument(passage: Passage) {
  return {
    number: passage.number,
    instrument: passage.instrument,
    from: place(passage.from),
    to: place(passage.to),
    notes: passage.noteCount,
    disputed: passage.disputed,
    sounding: key(passage.soundingFifths),
    notesPerSecond: passage.notesPerSecond && {
      mean: round(passage.notesPerSecond.mean),
      quickest: round(passage.notesPerSecond.quickest),
    },
    choices: passage.choices.map((choice) => ({
      instrument: choice.instrument,
      printed: choice.printed,
      written: { ...key(choice.writtenFifths), respelled: choice.respelled },
      accidentals: choice.accidentals,
      lowest: choice.lowest && pitchName(choice.lowest),
      highest: choice.highest && pitchName(choice.highest),
      outOfRange: choice.outOfRange,
      tooLow: choice.tooLow,
      registers: choice.registers,
      breakCrossings: choice.breakCrossings,
      difficulty: {
        score: round(choice.difficulty.score),
        fingers: choice.difficulty.fingers === null ? null : round(choice.difficulty.fingers),
        reading: round(choice.difficulty.reading),
        reasons: choice.difficulty.reasons,
      },
      spots: choice.spots.map((spot) => ({
        at: place(spot.at),
        from: spot.from && pitchName(spot.from),
        to: pitchName(spot.to),
        notesPerSecond: round(spot.notesPerSecond),
        strain: round(spot.strain),
        cause: spot.cause,
        elsewhere: spot.elsewhere.map((other) => ({
          instrument: other.instrument,
          from: other.from && pitchName(other.from),
          to: pitchName(other.to),
          strain: round(other.strain),
        })),
        text: spotText(spot),
      })),
      trills: choice.trills.map((trill) => ({
        ...trill,
        at: place(trill.at),
        lower: pitchName(trill.lower),
        upper: pitchName(trill.upper),
        text: trillText(trill),
      })),
    })),
  };
}

/** A tempo with its place; also for `muta tempo`. */
export function tempoDocument(span: TempoSpan) {
  const { from, beatQuarters, quartersPerMinute, endQuartersPerMinute, bend, source, text } = span;
  return {
    from: place(from),
    beatQuarters,
    quartersPerMinute: tempo(quartersPerMinute),
    ...(endQuartersPerMinute && { endQuartersPerMinute: tempo(endQuartersPerMinute) }),
    ...(bend && { bend }),
    source,
    text,
  };
}

function tempo({ slow, likely, fast }: TempoRange) {
  return { slow: round(slow), likely: round(likely), fast: round(fast) };
}

function key(fifths: number | null) {
  return { fifths, major: fifths === null ? null : majorKeyName(fifths) };
}

/** A silence; also for `muta count`. */
export function restDocument(rest: Rest) {
  const { quarters, bars, beats, counted, seconds: range, tempoSource, pauses, marked } = rest;
  return {
    quarters: toNumber(quarters),
    bars: round(bars),
    beats: round(beats),
    seconds: seconds(range),
    tempoSource,
    ...(marked && {
      marked: { seconds: seconds(marked.seconds), tempoSource: marked.tempoSource },
      recordings: rest.recordings.map((each) => ({ ...each, seconds: round(each.seconds) })),
    }),
    tempoWords: rest.tempoWords.map(({ at, text }) => ({ ...place(at), text })),
    pauses: pauses.map(({ at, on, sign, extraSeconds }) => ({
      ...place(at),
      on,
      sign,
      extraSeconds,
    })),
    counted,
  };
}

export function place({ barIndex, barLabel, movement, pass, beat, quarters }: Moment) {
  return {
    barIndex,
    barLabel,
    ...(movement !== undefined && { movement }),
    pass,
    beat: round(beat),
    quarters: toNumber(quarters),
  };
}

export function timedPlace(moment: TimedMoment) {
  return { ...place(moment), seconds: seconds(moment.seconds) };
}

export function seconds({ short, likely, long }: SecondsRange) {
  return { short: round(short), likely: round(likely), long: round(long) };
}

/** To the microsecond: enough for any use, and no tails of binary fractions. */
export function round(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}
