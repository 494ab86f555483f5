import type {
  BusyHands,
  CountedEntry,
  CountedGroup,
  CountedRest,
  CountMark,
} from "../../model/count.js";
import type { TempoSpan } from "../../model/report.js";
import type { Meter } from "../../model/score.js";
import { toNumber } from "../../theory/fraction.js";
import { clean, cleanTo } from "../util/clean.js";
import { PAUSE_NAMES } from "./pauses.js";
import { barText, leavingText, ordinal, placeText } from "./places.js";
import { mixedNumber, restLengthText, secondsText } from "./quantities.js";
import { beatsText } from "./tempi.js";

/** "3/4", "5/8 (2+3)", "free": the groups of beats only where the page prints them. */
export function meterText({ label, unmetered }: Pick<Meter, "label" | "unmetered">): string {
  if (unmetered) return "free";
  const [, groups, beatType] = /^(\d+(?:\+\d+)+)\/(\d+)$/.exec(label) ?? [];
  if (groups === undefined || beatType === undefined) return label;
  const beats = groups.split("+").reduce((sum, each) => sum + Number(each), 0);
  return `${beats}/${beatType} (${groups})`;
}

/** "4 × 3/4", "2/8", "1 beat of 4/4", "3/4 of 4 beats": what is counted in one go. */
export function groupText(group: CountedGroup): string {
  const { kind, count, meter, beats, bars, quarters } = group;
  const name = meterText(meter);
  if (kind !== "bars")
    return `${beatCount(toNumber(beats))}${meter.unmetered ? "" : ` of ${name}`}`;
  const number = count ? count.to - count.from + 1 : 1;
  const isLong = !meter.unmetered && quarters.compare(meter.barQuarters.mul(bars)) > 0;
  const long = isLong ? `, ${beatCount(toNumber(beats) / number)} long` : "";
  return `${number === 1 ? "" : `${number} × `}${name}${long}`;
}

function beatCount(beats: number): string {
  return `${mixedNumber(beats)} beat${beats > 1.001 ? "s" : ""}`;
}

/** "2–5", "6", "–" for a part of a bar. */
export function countSpan({ count }: Pick<CountedGroup, "count">): string {
  if (!count) return "–";
  return count.from === count.to ? String(count.from) : `${count.from}–${count.to}`;
}

const JUMPS: Readonly<Record<Extract<CountMark, { kind: "jump" }>["how"], string>> = {
  repeat: "repeat",
  ending: "ending",
  "da-capo": "D.C.",
  "dal-segno": "D.S.",
  coda: "coda",
  fine: "after the Fine",
  other: "",
};

/** No rehearsal mark needs more; a hostile one could fill the page. */
const LONGEST_REHEARSAL_MARK = 24;

export function rehearsalText({ text }: Extract<CountMark, { kind: "rehearsal" }>): string {
  return cleanTo(text, LONGEST_REHEARSAL_MARK);
}

/**
 * What is met on the way, such as "double bar", "fermata", "beat 3: rit.".
 * @param from the moment at which it needs no place: the beginning of what it stands beside
 */
export function countMarkText(mark: CountMark, from: CountedGroup["from"]): string {
  const { at } = mark;
  const inBar = at.quarters.compare(from.quarters) > 0 && !at.atBarEnd;
  const place = inBar ? `beat ${mixedNumber(at.beat)}: ` : "";
  return place + markName(mark);
}

function markName(mark: CountMark): string {
  switch (mark.kind) {
    case "rehearsal":
      return rehearsalText(mark);
    case "double-bar":
      return "double bar";
    case "meter":
      return `${clean(mark.from)} to ${clean(mark.to)}`;
    case "tempo":
      return tempoText(mark.span);
    case "pause":
      return mark.on === "last-note"
        ? `${PAUSE_NAMES[mark.sign]} on your last note`
        : PAUSE_NAMES[mark.sign];
    case "movement":
      return mark.at.movement === undefined
        ? "next movement"
        : `${ordinal(mark.at.movement)} movement`;
    case "new-page":
      return "new page";
    case "jump":
      return jumpText(mark);
  }
}

/** A number that a program plays at is on no page: the player knows the words, or hears the tempo. */
const PLAYBACK = /\s*\(?playback: [^()]*\)?/g;

function tempoText({ text, quartersPerMinute, beatQuarters }: TempoSpan): string {
  const printed = clean(text.replace(PLAYBACK, ""));
  if (printed !== "") return printed;
  return `new tempo, not printed, ${beatsText(quartersPerMinute, beatQuarters)}`;
}

/** "repeat: bar 50 back to 31 (2nd time)". */
function jumpText(mark: Extract<CountMark, { kind: "jump" }>): string {
  const { how, back, passes, fromBarLabel, at } = mark;
  const ending = passes && passes.length > 0 ? `${passes.map(ordinal).join(", ")} ` : "";
  const name = how === "ending" ? `${ending}ending` : JUMPS[how];
  return `${name ? `${name}: ` : ""}bar ${clean(fromBarLabel)} ${back ? "back" : "on"} to ${barText(at)}`;
}

/** "9 bars", "8 bars + 1 beat": of a silence to the end as well. */
export function tacetText({ rest }: Pick<CountedRest, "rest">): string {
  return `tacet to the end, ${restLengthText(rest)}`;
}

/** "bar 8, beat 4 → bar 17". */
export function restPlace({ leave, entry }: CountedRest): string {
  const from = leave ? leavingText(leave) : "the beginning";
  return `${from} → ${entry ? `bar ${placeText(entry.at)}` : "the end"}`;
}

/** "beat 2 of 6/8". */
export function entryBeatText({ at, meter }: CountedEntry): string {
  if (meter.unmetered)
    return mixedNumber(at.beat) === "1" ? "free" : `beat ${mixedNumber(at.beat)}`;
  return `beat ${mixedNumber(at.beat)} of ${meterText(meter)}`;
}

/** "2 grace notes first". */
export function graceTexts({ graceNotes }: Pick<CountedEntry, "graceNotes">): readonly string[] {
  if (graceNotes === 0) return [];
  return [graceNotes === 1 ? "a grace note first" : `${graceNotes} grace notes first`];
}

/** "hands 3.5 s: look up from bar 10, beat 2 (count 2)". */
export function handsText(hands: BusyHands, missingSeconds: number): string {
  const needed = `hands ${secondsText(hands.seconds)}`;
  switch (hands.ready) {
    case "in-rest": {
      const count = hands.count === null ? "" : `, count ${hands.count}`;
      return `${needed}: eyes down until bar ${placeText(hands.lookUp)}${count}`;
    }
    case "in-pause":
      return `${needed}: in the pause between the movements`;
    case "too-late":
      return missingSeconds > 0
        ? `${needed}: ${secondsText(missingSeconds)} too short, eyes down until the entry`
        : `${needed}: eyes down until the entry`;
  }
}

/** The whole count in a line: "1 beat of 4/4, 4 × 3/4, 2/8, 3 × 5/8 (2+3), fermata, 2 × 4/4". */
export function countingLine({ groups }: Pick<CountedRest, "groups">): string {
  return groups
    .flatMap((group) => [
      ...group.marks.filter(isBefore(group)).map((mark) => countMarkText(mark, group.from)),
      groupText(group),
      ...group.marks.filter(isAfter(group)).map((mark) => countMarkText(mark, group.from)),
    ])
    .join(", ");
}

/** Meters say themselves. */
const isBefore =
  ({ from }: CountedGroup) =>
  ({ kind, at }: CountMark) =>
    kind !== "meter" && kind !== "pause" && at.quarters.compare(from.quarters) <= 0;

const isAfter =
  ({ from }: CountedGroup) =>
  ({ kind, at }: CountMark) =>
    kind === "pause" || at.quarters.compare(from.quarters) > 0;
