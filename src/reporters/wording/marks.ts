import type { Disagreement, Hazard } from "../../model/finding.js";
import type { InstrumentId } from "../../model/instrument.js";
import type { MarkContent, PartMark } from "../../model/marks.js";
import { signatureText } from "../../theory/key.js";
import { groupBy } from "../../theory/search.js";
import { clean, cleanTo } from "../util/clean.js";
import { fullName, shortName } from "./instruments.js";
import { pauseSuffix } from "./pauses.js";
import { passesText } from "./places.js";
import { mixedNumber, secondsText } from "./quantities.js";

/** What a pencil mark says, in as few words as can be read between two notes. */
export function markText(mark: PartMark): string {
  const { content, passes } = mark;
  const words = contentText(content, aboutText(mark));
  return passes ? `(${passesText(passes)}) ${words}` : words;
}

function contentText(content: MarkContent, about: string): string {
  switch (content.kind) {
    case "change":
      return `${about === "" ? "" : `${about}: `}${changeText(content)}`;
    case "look-up":
      return `look up${inBar(about)}${content.cue ? ", cue!" : ""}`;
    case "cue":
      return `cue!${inBar(about)}`;
    case "misprint":
      return `? ${misprintText(content.disagreement)}`;
  }
}

function inBar(about: string): string {
  return about === "" ? "" : ` at ${about}`;
}

/** A printed number has no more figures. */
const LONGEST_LABEL = 12;

/** "bar 85", "bar 85, beat 3" for what stands elsewhere; "" for what stands at its place. */
function aboutText({ about }: PartMark): string {
  if (!about) return "";
  const beat = mixedNumber(about.beat);
  return `bar ${cleanTo(about.barLabel, LONGEST_LABEL)}${beat === "1" ? "" : `, beat ${beat}`}`;
}

/** "A clarinet: 4.6 s, hands 3.5 s, quick! · bar 83 in 7/8". */
function changeText(change: Extract<MarkContent, { kind: "change" }>): string {
  const { to, neededSeconds, verdict, hazards } = change;
  const tells = [
    `${instrumentName(to)}: ${restText(change)}`,
    `hands ${secondsText(neededSeconds)}`,
    ...(verdict === "tight" ? ["quick!"] : []),
    ...(verdict === "impossible" ? ["no time!"] : []),
  ];
  return [tells.join(", "), ...aheadText(hazards)].join(" · ");
}

function restText({
  rest,
  neededSeconds,
  verdict,
}: Extract<MarkContent, { kind: "change" }>): string {
  const { seconds, pauses } = rest;
  if (pauses.some(({ on, sign }) => on === "rest" && sign === "movement-end")) {
    return "before the next movement";
  }
  // The verdict is by the fast end: where the likely figure would belie it, the mark says the other.
  const isBelied = verdict === "impossible" && seconds.likely >= neededSeconds;
  const time = isBelied ? `down to ${secondsText(seconds.short)}` : secondsText(seconds.likely);
  return `${time}${pauseSuffix(rest)}`;
}

/** What begins in more bars than these is only counted. */
const MOST_BARS_AHEAD = 2;

/** "bar 83 in 7/8, bar 85 in 2/4, new tempo": what begins while the player looks down. */
function aheadText(hazards: readonly Hazard[]): readonly string[] {
  const byBar = groupBy(hazards, ({ at }) => at.barIndex);
  if (byBar.size > MOST_BARS_AHEAD) return [`${byBar.size} new meters or tempi`];
  const bars = [...byBar.values()].flatMap(([first, ...more]) => {
    if (!first) return [];
    const news = [first, ...more].flatMap((each) =>
      each.kind === "meter-change"
        ? [`in ${clean(each.to)}`]
        : each.kind === "tempo-change"
          ? ["new tempo"]
          : [],
    );
    return [`bar ${cleanTo(first.at.barLabel, LONGEST_LABEL)} ${news.join(", ")}`];
  });
  return bars.length === 0 ? [] : [bars.join(", ")];
}

/** "B♭ clarinet": as a player writes it. */
function instrumentName(id: InstrumentId): string {
  return fullName(id).replace("-flat", "♭");
}

/** What to ask, in a few words; the report has the rest. */
function misprintText(each: Disagreement): string {
  switch (each.kind) {
    case "words-against-transposition":
      return either(each.wordsMean, each.transpositionFits);
    case "encoded-against-transposition":
      return either(each.encodedMeans, each.transpositionFits);
    case "key-against-score":
      return `${signatureText(each.expectedFifths)}, not ${signatureText(each.writtenFifths)}`;
    case "words-against-words":
    case "words-before-transposition":
    case "nothing-printed":
    case "late-warning":
      return "which instrument";
  }
}

/** "A or B♭ clarinet". */
function either(one: InstrumentId, [other]: readonly InstrumentId[]): string {
  if (other === undefined || other === one) return instrumentName(one);
  return `${shortName(one)} or ${instrumentName(other)}`;
}
