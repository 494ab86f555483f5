/**
 * The note text. Bars are parted by "|", and everything is written at sounding pitch:
 *
 *   bb4:q.(    pitch, then w h q e (whole to eighth), dots, 3 for a triplet note,
 *              then marks: ( ) slur, ~ tie to the next note, ' staccato, > accent, ^ fermata
 *   r:q  R     a rest; a rest for the whole bar
 *   e5:g       a grace note
 *   *c3:q      a cue note
 *   !mf        a dynamic
 *   "to_X"     words above the staff, with _ for a space
 *   @a         playback changes to this instrument; "to_X"@a says both in one direction
 */
import { patternBar } from "./patterns.js";
import { readPitch } from "./pitch.js";
import { chordAt, LAST_BAR, meterAt, quartersIn } from "./plan.js";

/** Divisions of a quarter: enough for eighths and their triplets. */
export const DIVISIONS = 12;
const VALUES = { w: 48, h: 24, q: 12, e: 6, g: 0 };
const NOTE = /^(\*?)(r|[a-g][#b]?\d):([whqeg])(\.?)(3?)([()~'>^]*)$/;

/** Lays out the rows of a part ([bar, text] or [from, to, pattern, dynamic]) as one list of bars. */
export function readBars(rows) {
  const texts = [];
  const put = (bar, text) => {
    if (texts[bar] !== undefined) throw new Error(`bar ${bar} is written twice`);
    texts[bar] = text.trim();
  };
  for (const [from, second, pattern, dynamic] of rows) {
    if (typeof second === "string") {
      second.split("|").forEach((text, k) => put(from + k, text));
      continue;
    }
    for (let bar = from; bar <= second; bar++) {
      const mark = dynamic && bar === from ? `!${dynamic} ` : "";
      put(bar, mark + patternBar(pattern, chordAt(bar), meterAt(bar)));
    }
  }
  return Array.from({ length: LAST_BAR + 1 }, (_, bar) =>
    readBar(texts[bar] ?? (bar === 0 ? "r:q" : "R"), bar),
  );
}

/** Reads one bar into notes and signs, and checks that it adds up. */
function readBar(text, bar) {
  const full = quartersIn(bar) * DIVISIONS;
  const events = text.split(/\s+/).map((token) => readToken(token, full, bar));
  const length = events.reduce((sum, event) => sum + (event.duration ?? 0), 0);
  if (length !== full) throw new Error(`bar ${bar} has ${length} of ${full} divisions: ${text}`);
  let at = 0;
  for (const event of events) {
    event.at = at;
    at += event.duration ?? 0;
  }
  markTriplets(events);
  return events;
}

function readToken(token, full, bar) {
  if (token === "R") return { kind: "note", duration: full, wholeBar: true, marks: "" };
  if (token.startsWith("!")) return { kind: "dynamic", text: token.slice(1) };
  const sign = /^(?:"(.+)")?(?:@(\w+))?$/.exec(token);
  if (sign) return { kind: "sign", words: sign[1]?.replaceAll("_", " "), instrument: sign[2] };
  const [, cue, pitch, value, dot, triplet, marks] = NOTE.exec(token) ?? [];
  if (!pitch) throw new Error(`bar ${bar}: cannot read ${token}`);
  return {
    kind: "note",
    pitch: pitch === "r" ? undefined : readPitch(pitch),
    duration: (VALUES[value] * (dot ? 3 : 2) * (triplet ? 2 : 3)) / 6,
    value,
    dotted: dot !== "",
    triplet: triplet !== "",
    grace: value === "g",
    cue: cue !== "",
    marks,
  };
}

/** Groups triplet notes: a group ends when it fills whole eighths, at the earliest after three. */
function markTriplets(events) {
  let group = [];
  for (const event of events) {
    if (!event.triplet) {
      if (group.length > 0) throw new Error("a triplet is left open");
      continue;
    }
    group.push(event);
    const filled = group.reduce((sum, each) => sum + each.duration, 0);
    if (group.length < 3 || filled % DIVISIONS !== 0) continue;
    group[0].tuplet = "start";
    event.tuplet = "stop";
    group = [];
  }
}
