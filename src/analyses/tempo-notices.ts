import type { Notice } from "../model/finding.js";
import type { TempoSign } from "../model/tempo.js";
import { toNumber } from "../theory/fraction.js";
import { wordsOf } from "../timing/held-tempo.js";
import { ASSUMED_TEMPO } from "../timing/tempo-range.js";
import { AFTER_BEND } from "../timing/page-tempi.js";
import { covers } from "../timing/recorded-time.js";
import type { TempoStretch } from "../timing/tempo-map.js";
import type { PerformedPart } from "./performed.js";

/** What a reader of the seconds should know of the tempi they rest on. */
export function tempoNotices(
  performed: PerformedPart,
  unread: readonly TempoSign[],
): readonly Notice[] {
  const { tempoMap, timeline } = performed;
  const marksOf = (signs: readonly TempoSign[]) =>
    signs.map((sign) => ({
      text: wordsOf(sign),
      barLabel: timeline.bars[sign.at.barIndex]?.barLabel ?? "",
    }));
  const notices: Notice[] = [...assumedNotices(performed)];
  const playback = differentTexts(tempoMap.stretches, "sound");
  if (playback > 0) notices.push({ kind: "tempo-from-playback", count: playback });
  const words = differentTexts(
    tempoMap.stretches.filter(({ bend }) => !bend),
    "words",
  );
  if (words > 0) notices.push({ kind: "tempo-from-words", count: words });
  const bends = bendMarks(performed);
  if (bends.length > 0) notices.push({ kind: "tempo-bends", marks: bends });
  if (unread.length > 0) notices.push({ kind: "tempo-words-unread", marks: marksOf(unread) });
  return [...notices, ...recordingNotices(performed), ...oddRecordingNotices(performed)];
}

/** The places on the page where the tempo is only assumed to bend as it does, each once. */
function bendMarks({ tempoMap, performance }: PerformedPart) {
  const marks = new Map<string, { readonly text: string; readonly barLabel: string }>();
  for (const { startQuarters, text, bend } of tempoMap.stretches) {
    if (!bend || text.startsWith(AFTER_BEND)) continue;
    const { barIndex, barLabel, beat } = performance.momentAt(startQuarters);
    const place = `${barIndex} ${beat} ${text}`;
    if (!marks.has(place)) marks.set(place, { text, barLabel });
  }
  return [...marks.values()];
}

function assumedNotices({ tempoMap, performance, recordings }: PerformedPart): readonly Notice[] {
  const assumed = tempoMap.stretches.find(
    ({ source, startQuarters, endQuarters }) =>
      source === "assumed" &&
      !recordings.some((recording) => covers(recording, startQuarters, endQuarters)),
  );
  if (!assumed) return [];
  const until = tempoMap.stretches.find(
    ({ source, startQuarters }) =>
      source !== "assumed" && startQuarters.compare(assumed.startQuarters) > 0,
  );
  return [
    {
      kind: "tempo-assumed",
      quartersPerMinute: ASSUMED_TEMPO,
      fromBarLabel: performance.momentAt(assumed.startQuarters).barLabel,
      ...(until && { untilBarLabel: performance.momentAt(until.startQuarters).barLabel }),
    },
  ];
}

function differentTexts(
  stretches: readonly TempoStretch[],
  source: TempoStretch["source"],
): number {
  return new Set(stretches.filter((each) => each.source === source).map(({ text }) => text)).size;
}

/** Where a recording's timings stop short of the ends of the movement. */
function recordingNotices({ recordings, performance }: PerformedPart): readonly Notice[] {
  return recordings
    .filter(({ from, to }) => from.n !== 0n || to.compare(performance.totalQuarters) < 0)
    .map(({ name, from, to }) => ({
      kind: "recording-incomplete",
      recording: name,
      fromBarLabel: performance.momentAt(from).barLabel,
      untilBarLabel: performance.momentAt(to).barLabel,
    }));
}

function oddRecordingNotices({ recordings, performance }: PerformedPart): readonly Notice[] {
  return recordings.flatMap(({ name, oddSpan }): readonly Notice[] => {
    const span = oddSpan();
    if (!span) return [];
    const { from, to, seconds } = span;
    return [
      {
        kind: "recording-odd",
        recording: name,
        fromBarLabel: performance.momentAt(from).barLabel,
        untilBarLabel: performance.momentAt(to).barLabel,
        quartersPerMinute: (60 * toNumber(to.sub(from))) / seconds,
      },
    ];
  });
}
