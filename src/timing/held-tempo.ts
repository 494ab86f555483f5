import type { PrintedTempo, TempoSign } from "../model/tempo.js";
import type { TempoRange, TempoSource } from "../model/time.js";
import { toNumber } from "../theory/fraction.js";
import {
  multiplied,
  playbackRange,
  printedRange,
  scaled,
  weighedRange,
  wordRange,
  FREE_TEMPO,
} from "./tempo-range.js";
import { isTempoWords, readTempoWords, type TempoTerm } from "./tempo-words.js";

/** A steady tempo as it stands on the page. */
export interface HeldTempo {
  readonly range: TempoRange;
  readonly source: TempoSource;
  readonly text: string;
  /** The number the page or the file gives for it, in quarters a minute, to compare later ones with. */
  readonly number?: number;
  /** The beat of the meter it was set in, in quarters. */
  readonly beatQuarters: number;
  /** The printed bar where it was set. */
  readonly barLabel: string;
  /** What later numbers may say and still mean it: a printed range, and the number played beside it. */
  readonly span?: { readonly low: number; readonly high: number };
  /** Whether it follows from a line of the player's sheet. */
  readonly bySheet?: boolean;
  /** The words it was set with. */
  readonly words?: string;
  /** Whether it only passes: after a "ritenuto" an "a tempo" goes back to what was before it. */
  readonly passing?: boolean;
  /** Whether the words ask for no steady tempo at all. */
  readonly free?: boolean;
}

/**
 * The words of a sign that speak of the tempo, else those beside its number: "a 2", "theme" and an
 * instrument to take may stand at the same place.
 */
export function wordsOf({ words, numberWords = "" }: TempoSign): string {
  return words.filter(isTempoWords).join(", ") || numberWords;
}

/** What stood before a sign, and where the sign stands. */
export interface TempoSetting {
  /** The last steady tempo; undefined while there was none. */
  readonly before: HeldTempo | undefined;
  /** Every steady tempo so far, in the order of the page; the first is that of "Tempo I". */
  readonly history: readonly HeldTempo[];
  /** Quarters in the counted beat here, and in the bar before. */
  readonly beatQuarters: number;
  readonly beatQuartersBefore: number;
  readonly barLabel: string;
}

/** What a sign means for the tempo. */
export interface TempoReading {
  /** The steady tempo that holds from here; undefined when none is set. */
  readonly set?: HeldTempo;
  readonly gradual?: Extract<TempoTerm, { kind: "gradual" }>;
  /** Whether the words lead back at once: "rit. - - - a tempo" in one. */
  readonly thenReturns: boolean;
  /** Words that refer to a tempo which nothing gives. */
  readonly unread: boolean;
  /** A number for playback alone, which may only imitate a gradual change. */
  readonly playbackOnly: boolean;
}

/** Numbers this close say the same: a share of the number. */
const SAME_NUMBER = 0.02;
const ALLA_BREVE_BEAT = 2;

/**
 * Reads a sign against what stood before it. A printed number beats an equation, that the words, and
 * those a playback number alone.
 */
export function readHeldTempo(sign: TempoSign, setting: TempoSetting): TempoReading {
  const terms = readTempoWords(wordsOf(sign));
  const gradual = terms.find((term) => term.kind === "gradual");
  const thenReturns = terms.at(-1)?.kind === "return" && terms[0]?.kind === "gradual";
  const set = setTempo(sign, thenReturns ? terms.slice(0, 1) : terms, setting);
  const refers = terms.some(
    ({ kind }) => kind === "step" || kind === "return" || kind === "same-beat",
  );
  return {
    ...(set && { set }),
    ...(gradual && { gradual }),
    thenReturns,
    unread: (refers || sign.equation !== undefined) && !set,
    playbackOnly: isPlaybackOnly(sign, terms),
  };
}

function isPlaybackOnly({ printed, equation, playback }: TempoSign, terms: readonly TempoTerm[]) {
  return playback !== undefined && !printed && !equation && terms.length === 0;
}

function setTempo(
  sign: TempoSign,
  terms: readonly TempoTerm[],
  setting: TempoSetting,
): HeldTempo | undefined {
  const { printed, equation, playback } = sign;
  const before = steadyBefore(setting);
  if (printed) {
    const mark = { text: printedText(sign, printed), number: printed.quartersPerMinute };
    const words = wordsOf(sign);
    return {
      ...held(setting, printedRange(printed), "metronome", mark),
      ...(words && { words }),
      span: spanOf(printed, playback),
    };
  }
  if (equation && (before || playback === undefined)) {
    if (!before) return undefined;
    const factor = toNumber(equation.newQuarters.div(equation.oldQuarters));
    return held(setting, scaled(before.range, factor), before.source, {
      text: worded(sign, equation.text),
      number: before.number === undefined ? undefined : before.number * factor,
    });
  }
  const byWords = tempoOfWords(sign, terms, setting);
  if (byWords) return byWords;
  if (playback === undefined) return undefined;
  // A number that repeats the tempo in force says nothing new, nor does one beside a "rit.".
  if (before && terms.some(({ kind }) => kind === "gradual")) return undefined;
  if (before && says(playback, before)) return before;
  if (before?.bySheet && before.number !== undefined) {
    // The player's own tempo, and the file tells only by how much it changes.
    const range = scaled(before.range, playback / before.number);
    return { ...played(sign, playback, range, setting), bySheet: true };
  }
  return played(sign, playback, playbackRange(playback), setting);
}

/** The words one after another: "a tempo, ma un poco più mosso" is a return and a step from there. */
function tempoOfWords(
  sign: TempoSign,
  terms: readonly TempoTerm[],
  setting: TempoSetting,
): HeldTempo | undefined {
  const before = steadyBefore(setting);
  const beat = terms.some(({ kind }) => kind === "alla-breve")
    ? ALLA_BREVE_BEAT
    : setting.beatQuarters;
  const at = { ...setting, beatQuarters: beat };
  let tempo: HeldTempo | undefined;
  for (const term of terms) {
    switch (term.kind) {
      case "return": {
        const origin = term.to === "first" ? setting.history[0] : returned(sign.playback, setting);
        if (origin) tempo = { ...origin, text: asAt(sign, origin) };
        break;
      }
      case "tempo":
        // "Tempo I (Allegro)" names the tempo it goes back to.
        tempo ??= tempoOfTerm(sign, term, at);
        break;
      case "step": {
        const base = tempo ?? before;
        if (base) tempo = stepFrom(base, sign, term, setting);
        if (tempo && HOLDS_BACK.test(term.term)) tempo = { ...tempo, passing: true };
        break;
      }
      case "same-beat":
        if (before) tempo = sameBeat(before, sign, setting);
        break;
      case "free": {
        if (tempo?.free) break;
        const base = tempo ?? freeBase(sign, setting);
        if (!base) break;
        const isPlayed = !tempo && sign.playback !== undefined;
        const text = isPlayed ? base.text : wordsOf(sign);
        tempo = { ...base, range: freeRange(base), text, free: true };
        break;
      }
      case "gradual":
      case "pause":
      case "alla-breve":
        break;
    }
  }
  return tempo;
}

/** "A tempo" goes back to the last steady tempo, or to the earlier one whose number the file plays. */
function returned(playback: number | undefined, setting: TempoSetting) {
  const before = steadyBefore(setting);
  if (playback === undefined) return before;
  return setting.history.findLast((each) => isSteady(each) && says(playback, each)) ?? before;
}

/** What "a tempo", a step and an equation refer to: never a tempo that was free or held back. */
function steadyBefore({ before, history }: TempoSetting): HeldTempo | undefined {
  return before && !isSteady(before) ? history.findLast(isSteady) : before;
}

function isSteady({ free, passing }: HeldTempo): boolean {
  return !free && !passing;
}

/** Words that hold back for a while, where "meno mosso" sets a tempo of its own. */
const HOLDS_BACK = /riten|retenu|trattenut|zur[üu]ckgehalten|held back/i;

/** Whether a playback number means that tempo. */
function says(playback: number, { number, span }: HeldTempo): boolean {
  if (span) {
    return playback > span.low * (1 - SAME_NUMBER) && playback < span.high * (1 + SAME_NUMBER);
  }
  return number !== undefined && isSame(playback, number);
}

function spanOf({ range, quartersPerMinute }: PrintedTempo, playback = quartersPerMinute) {
  return {
    low: Math.min(range?.low ?? quartersPerMinute, playback),
    high: Math.max(range?.high ?? quartersPerMinute, playback),
  };
}

function tempoOfTerm(
  sign: TempoSign,
  { beatsPerMinute }: Extract<TempoTerm, { kind: "tempo" }>,
  setting: TempoSetting,
): HeldTempo {
  const { playback } = sign;
  const known = sameWordsBefore(sign, setting);
  if (known) return { ...known, text: asAt(sign, known) };
  if (playback === undefined) {
    const range = wordRange(beatsPerMinute, setting.beatQuarters);
    const words = wordsOf(sign);
    return { ...held(setting, range, "words", { text: words, number: undefined }), words };
  }
  const range = weighedRange(playback, beatsPerMinute, setting.beatQuarters);
  return played(sign, playback, range, setting);
}

/** The same words, with a number the first time, mean the same tempo when they come back. */
function sameWordsBefore(sign: TempoSign, { history }: TempoSetting): HeldTempo | undefined {
  const { playback } = sign;
  const words = wordsOf(sign);
  return history.findLast(
    (each) =>
      each.words === words &&
      (each.source === "metronome" || each.source === "sheet") &&
      (playback === undefined || each.number === undefined || isSame(playback, each.number)),
  );
}

/** "Più mosso": faster than before by an assumed step, or as the playback number says where it agrees. */
function stepFrom(
  base: HeldTempo,
  sign: TempoSign,
  { factor }: Extract<TempoTerm, { kind: "step" }>,
  setting: TempoSetting,
): HeldTempo {
  const stepped = multiplied(base.range, factor);
  const { playback } = sign;
  const number = playback ?? (base.number === undefined ? undefined : base.number * factor.likely);
  const faster = factor.likely > 1;
  const isExact = factor.slow === factor.fast;
  const agrees =
    playback !== undefined &&
    !isExact &&
    base.number !== undefined &&
    !isSame(playback, base.number) &&
    playback > base.number === faster;
  if (playback === undefined || !agrees) {
    const source = base.source === "assumed" || isExact ? base.source : "words";
    const text = playback === undefined ? wordsOf(sign) : worded(sign, playbackText(playback));
    return held(setting, stepped, source, { text, number });
  }
  if (base.bySheet && base.number !== undefined) {
    const range = scaled(base.range, playback / base.number);
    return { ...played(sign, playback, range, setting), bySheet: true };
  }
  return played(sign, playback, clipped(playbackRange(playback), base.range, faster), setting);
}

/** A range that lies on the right side of the tempo it departs from. */
function clipped(range: TempoRange, base: TempoRange, faster: boolean): TempoRange {
  const slow = faster ? Math.max(range.slow, base.slow) : range.slow;
  const fast = faster ? range.fast : Math.min(range.fast, base.likely);
  const [low, high] = [Math.min(slow, fast), Math.max(slow, fast)];
  return { slow: low, likely: Math.min(high, Math.max(low, Math.sqrt(low * high))), fast: high };
}

/** "L'istesso tempo": the beat keeps its duration, whatever note stands for it now. */
function sameBeat(before: HeldTempo, sign: TempoSign, setting: TempoSetting): HeldTempo {
  const factor = setting.beatQuarters / setting.beatQuartersBefore;
  return held(setting, scaled(before.range, factor), before.source, {
    text: wordsOf(sign),
    number: before.number === undefined ? undefined : before.number * factor,
  });
}

/** What is known only loosely spans it already. */
function freeRange({ range, source }: HeldTempo): TempoRange {
  return source === "sound" || source === "words" ? range : multiplied(range, FREE_TEMPO);
}

function freeBase(sign: TempoSign, setting: TempoSetting): HeldTempo | undefined {
  const { playback } = sign;
  if (playback === undefined) return steadyBefore(setting);
  return played(sign, playback, playbackRange(playback), setting);
}

/** A tempo known by its playback number, for the range it was found to stand for. */
function played(
  sign: TempoSign,
  playback: number,
  range: TempoRange,
  setting: TempoSetting,
): HeldTempo {
  const text = worded(sign, playbackText(playback));
  return held(setting, range, "sound", { text, number: playback });
}

function held(
  { beatQuarters, barLabel }: TempoSetting,
  range: TempoRange,
  source: TempoSource,
  { text, number }: { readonly text: string; readonly number: number | undefined },
): HeldTempo {
  return { range, source, text, beatQuarters, barLabel, ...(number !== undefined && { number }) };
}

function isSame(a: number, b: number): boolean {
  return Math.abs(a / b - 1) < SAME_NUMBER;
}

function asAt(sign: TempoSign, { barLabel }: HeldTempo): string {
  return `${wordsOf(sign).replace(/[\s.,;:]+$/, "")}, as at bar ${barLabel}`;
}

/** As on the page: what the editor added stands in square brackets. */
function printedText(sign: TempoSign, { editorial, text }: PrintedTempo): string {
  if (!editorial) return worded(sign, text);
  return [wordsOf(sign), `[${text}]`].filter(Boolean).join(" ");
}

function worded(sign: TempoSign, mark: string): string {
  const words = wordsOf(sign);
  return words ? `${words} (${mark})` : mark;
}

function playbackText(playback: number): string {
  return `playback: quarter = ${Math.round(playback * 100) / 100}`;
}
