import type { Bar, Position } from "../model/score.js";
import type { PrintedTempo, TempoSign } from "../model/tempo.js";
import type { NoticeCollector } from "./notices.js";

/** Numbers this close say the same: a share of the number. */
const SAME_TEMPO = 0.02;

/** Puts together what all directions and parts say at one place; `signs` are in the order of the page. */
export function mergeTempoSigns(
  signs: readonly TempoSign[],
  bars: readonly Bar[],
  notices: NoticeCollector,
): readonly TempoSign[] {
  const places: TempoSign[][] = [];
  for (const sign of signs) {
    const last = places.at(-1);
    if (last?.[0] && isSamePlace(last[0].at, sign.at)) last.push(sign);
    else places.push([sign]);
  }
  const merged: TempoSign[] = [];
  for (const place of places) {
    const sign = join(place);
    if (sign) merged.push(sign);
  }
  for (const { at, partId, printed, playback } of merged) {
    if (printed && playback !== undefined && contradicts(printed, playback)) {
      notices.at(
        bars[at.barIndex]?.barLabel ?? "",
        partId,
      )({ kind: "tempo-contradiction", printed: printed.text, playback });
    }
  }
  reportPrintedTwice(signs, bars, notices);
  return merged;
}

function isSamePlace(a: Position, b: Position): boolean {
  return a.barIndex === b.barIndex && a.offset.equals(b.offset);
}

/** The first number of each kind holds: that of the part that is read, then from the top of the score. */
function join(place: readonly TempoSign[]): TempoSign | undefined {
  const leader = place.find(({ printed }) => printed) ?? place[0];
  if (!leader) return undefined;
  const equation = place.find((each) => each.equation)?.equation;
  const playback = place.find((each) => each.playback !== undefined)?.playback;
  const numberWords =
    leader.numberWords ?? place.find((each) => each.numberWords !== undefined)?.numberWords;
  return {
    at: leader.at,
    partId: leader.partId,
    words: [...new Set(place.flatMap(({ words }) => words))],
    ...(numberWords !== undefined && { numberWords }),
    ...(leader.printed && { printed: leader.printed }),
    ...(equation && { equation }),
    ...(playback !== undefined && { playback }),
    dashes: place.flatMap(({ dashes }) => dashes),
  };
}

/** Whether a playback number is outside what is printed. */
function contradicts({ range, quartersPerMinute }: PrintedTempo, playback: number): boolean {
  const low = range?.low ?? quartersPerMinute;
  const high = range?.high ?? quartersPerMinute;
  return playback < low * (1 - SAME_TEMPO) || playback > high * (1 + SAME_TEMPO);
}

/** Two printed numbers at one place that differ: the first is taken, and it is said. */
function reportPrintedTwice(
  signs: readonly TempoSign[],
  bars: readonly Bar[],
  notices: NoticeCollector,
): void {
  let first: TempoSign | undefined;
  for (const sign of signs) {
    if (!sign.printed) continue;
    if (!first?.printed || !isSamePlace(first.at, sign.at)) {
      first = sign;
      continue;
    }
    const { quartersPerMinute, text } = sign.printed;
    if (!contradicts(first.printed, quartersPerMinute)) continue;
    notices.at(
      bars[sign.at.barIndex]?.barLabel ?? "",
      sign.partId,
    )({ kind: "tempo-printed-twice", taken: first.printed.text, other: text });
  }
}
