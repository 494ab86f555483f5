import type { CheckedCue, Landmark, LongSilence, OrchestraGroup } from "../../model/landmark.js";
import { groupBy } from "../../theory/search.js";
import { clean } from "../util/clean.js";
import { barText, placeText } from "./places.js";
import { counted, restLengthText, secondsText } from "./quantities.js";

const EVERY: Readonly<Record<OrchestraGroup | "everybody", string>> = {
  everybody: "all others",
  strings: "all strings",
  woodwind: "all woodwind",
  brass: "all brass",
  timpani: "all timpani",
  percussion: "all percussion",
  "harp-keys": "all harps and keyboards",
  voice: "all voices",
  other: "all others",
};

/** More names than this make no short line. */
const MOST_NAMED = 3;

/** "Flute 1", "Horn 1, 2", "Flute 1, 2, Oboe 1 and 4 more", "all strings". */
export function playersText({ parts, all }: Pick<Landmark, "parts" | "all">): string {
  if (all) return EVERY[all];
  const numbered = parts.map((name) => {
    const match = /^(.*\S)\s+(\d+)$/.exec(clean(name));
    return { name: match?.[1] ?? clean(name), number: match?.[2] };
  });
  const groups = [...groupBy(numbered, ({ name }) => name)];
  const named = groups.slice(0, MOST_NAMED).map(([name, players]) => {
    const numbers = players.flatMap(({ number }) => number ?? []);
    return numbers.length > 0 ? `${name} ${numbers.join(", ")}` : name;
  });
  const more = groups.slice(MOST_NAMED).reduce((sum, [, players]) => sum + players.length, 0);
  return more > 0 ? `${named.join(", ")} and ${more} more` : named.join(", ");
}

/** "Horn 1, 2 enter at bar 83, 2 bars before you (4.1 s), after 31 bars of silence". */
export function landmarkText(landmark: Landmark): string {
  const { at, before, insideLookUp } = landmark;
  const place = at.atBarEnd ? `at the ${placeText(at)}` : `at bar ${placeText(at)}`;
  const when = `${restLengthText(before)} before you (${secondsText(before.seconds.likely)})`;
  const busy = insideLookUp ? "" : "; your hands are still busy then";
  return `${eventText(landmark)} ${place}, ${when}${afterText(landmark)}${busy}`;
}

function eventText(landmark: Landmark): string {
  const who = playersText(landmark);
  const isOne = landmark.parts.length === 1;
  switch (landmark.kind) {
    case "entrance":
      return `${who} ${isOne ? "enters" : "enter"}`;
    case "solo":
      if (landmark.alone) return `${who} is alone`;
      return isOne ? `${who} begins a solo` : `${who} begin solos`;
    case "tutti":
      return `tutti, ${landmark.sounding} of the ${landmark.of} other parts,`;
    case "many-start":
      return `${who} begin together`;
    case "loud-arrival":
      return `${who} come to ${landmark.dynamic}`;
    case "many-stop":
      return landmark.left === 0 ? "everybody stops" : `${who} stop`;
    case "cadence":
      return `cadence (${clean(landmark.bassPart)} ${landmark.from} to ${landmark.to})`;
  }
}

function afterText(landmark: Landmark): string {
  switch (landmark.kind) {
    case "entrance":
      return silenceText(landmark);
    case "cadence":
      return `, then nothing new for ${counted(landmark.restBeats, "beat")}`;
    case "many-stop":
      return landmark.left === 0
        ? ""
        : `, ${counted(landmark.left, "part")} ${landmark.left === 1 ? "goes" : "go"} on`;
    case "solo":
      return landmark.silence ? silenceText(landmark.silence) : "";
    case "tutti":
    case "many-start":
    case "loud-arrival":
      return "";
  }
}

function silenceText({ silentBars, sinceStart }: LongSilence): string {
  return sinceStart
    ? ", for the first time"
    : `, after ${counted(wholeBars(silentBars), "bar")} of silence`;
}

/** Rounded down, so that no silence is called longer than it is. */
function wholeBars(bars: number): number {
  return Math.floor(bars + 1e-6);
}

/** A second one is named where it is nearly as good. */
const NEARLY_AS_GOOD = 0.75;

/** One line with the best to listen for, and another player's where it helps as much; none where there is none. */
export function listenLines(landmarks: readonly Landmark[]): readonly string[] {
  const [best, ...others] = landmarks;
  if (!best) return [];
  const second = others.find(
    (each) =>
      each.insideLookUp &&
      each.score >= best.score * NEARLY_AS_GOOD &&
      playersText(each) !== playersText(best),
  );
  return [`listen for: ${[best, ...(second ? [second] : [])].map(landmarkText).join("; also ")}`];
}

/** "cue in your part at bar 85: Flute, as in the score". */
export function cueText(cue: CheckedCue): string {
  const at = `cue in your part at bar ${barText(cue.from)}`;
  const label = clean(cue.label);
  const who = playersText({ parts: cue.parts });
  const named = label === "" ? at : `${at}: ${label}`;
  switch (cue.verdict) {
    case "as-in-score":
      return label === "" ? `${at}: no name, it is what ${who} plays` : `${named}, as in the score`;
    case "octave-away":
      return `${label === "" ? `${at}: no name, it is what ${who} plays` : `${named}, as in the score`} but in another octave`;
    case "differs":
      return `${named}; it is not what ${who} plays there`;
    case "part-silent":
      return `${named}; ${who} plays nothing there`;
    case "no-such-part":
      return `${named}; the score has no part of that name`;
    case "not-named":
      return `${at}: no name, and no part plays these notes`;
    case "not-checked":
      return label === "" ? `${at}, without a name` : named;
  }
}
