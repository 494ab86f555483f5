import { withoutGraceNotes } from "./verovio-oracle.js";

// Where verovio times a score otherwise than we do, and why. Whatever is not named here must agree; what
// is named here must differ.

type Rewrite = (xml: string) => string;

/** How a difference shows to be what it is said to be. */
export type Explanation = { readonly cause: string } & (
  | {
      /** The two agree on a copy that to us says the same. */
      readonly copy: Rewrite;
    }
  | {
      /** The two agree once these bars have one tempo each, in a copy that to us says the same. */
      readonly barsOfOneTempo: readonly string[];
      readonly copy: Rewrite;
    }
  | {
      /** The two agree when places may be this far apart. */
      readonly withinQuarters: number;
    }
  | {
      /** The two agree up to this place, in a copy that to us says the same. */
      readonly untilQuarters: number;
      readonly copy: Rewrite;
    }
  | {
      /** Nothing is played in the score. */
      readonly nothingPlayed: true;
    }
);

const GRACE_NOTES: Explanation = {
  cause: "verovio delays the note after grace notes that have no slash or begin a bar",
  copy: withoutGraceNotes,
};
const ARPEGGIOS: Explanation = {
  cause: "verovio plays the notes of an arpeggio one after the other",
  copy: (xml) => xml.replace(/<(?:non-)?arpeggiate[^>]*\/>/g, ""),
};
const ONE_BAR_OF_REST: Explanation = {
  cause: "verovio has no times for a score that is one bar of rest",
  nothingPlayed: true,
};
const NO_TYPE: Explanation = {
  cause: "verovio takes a note without a <type> for a quarter, whatever its duration",
  copy: withTypes,
};
const NO_BRACKET: Explanation = {
  cause: "verovio overlooks triplets that have a <time-modification> but no <tuplet>",
  copy: (xml) => {
    let count = 0;
    return xml.replace(/(<time-modification>(?:(?!<\/note>).)*)(<\/note>)/gs, (_, note, end) => {
      const type = ["start", undefined, "stop"][count++ % 3];
      const tuplet = type ? `<notations><tuplet type="${type}"/></notations>` : "";
      return `${String(note)}${tuplet}${String(end)}`;
    });
  },
};
const ROUNDED_IN_FILE =
  "the file rounds to whole divisions, and verovio goes by the types of the notes";
const SHOWN_NUMBERS: Explanation = {
  cause: "verovio times tuplets by the numbers to be shown, not by <time-modification>",
  copy: (xml) => xml.replace(/<tuplet-(actual|normal)>.*?<\/tuplet-\1>/gs, ""),
};
const NESTED = "verovio knows no repeat within a repeat: it goes back to the last beginning passed";

function withTypes(xml: string): string {
  return xml.replace(
    /<duration>4<\/duration>\s*<voice>1<\/voice>(?!\s*<type>)/g,
    "$&<type>whole</type>",
  );
}

/** The bars of a score of one part, as text, in another order. */
function inOrder(xml: string, order: string, change: Rewrite = (bar) => bar): string {
  const bars = xml.match(/<measure\b.*?<\/measure>/gs) ?? [];
  const written = order.split(" ").map((number) => change(bars[Number(number) - 1] ?? ""));
  const start = xml.indexOf(bars[0] ?? "");
  return xml.slice(0, start) + written.join("") + xml.slice(xml.lastIndexOf("</part>"));
}

/** Verovio counts a dotted beat as a third more, not half as much again: "quarter. = 77" said in quarters. */
function withUndottedBeats(xml: string): string {
  return xml
    .replace(/<beat-unit-dot\/>(\s*<per-minute>)77</g, "$1115.5<")
    .replace(/<beat-unit-dot\/>(\s*<per-minute>)100</g, "$1150<");
}

/** The test suite and the examples of the reference, by the names of their files. */
export const DIFFERENT_FILES: Readonly<Record<string, Explanation>> = {
  "00c-Basics-Durations.xml": {
    cause: 'verovio does not know the type "longa", which MusicXML calls "long"',
    copy: (xml) => xml.replaceAll("<type>longa<", "<type>long<"),
  },
  "00d-Basics-RestDurations.xml": { cause: ROUNDED_IN_FILE, withinQuarters: 1 / 64 },
  "04d-Spanners-JScore.xml": { cause: ROUNDED_IN_FILE, withinQuarters: 1 / 300 },
  "02d-Arpeggio.xml": ARPEGGIOS,
  "32a-Notations.xml": ARPEGGIOS,
  "32d-Arpeggio.xml": ARPEGGIOS,
  "12a-TripletsDuration-NoBracket-PJB.xml": NO_BRACKET,
  "23f-Tuplets-DurationButNoBracket.xml": NO_BRACKET,
  "23c-Tuplet-Display-NonStandard.xml": SHOWN_NUMBERS,
  "23d-Tuplets-Nested.xml": SHOWN_NUMBERS,
  "24a-GraceNotes.xml": GRACE_NOTES,
  "24d-AfterGrace.xml": GRACE_NOTES,
  "24e-GraceNote-StaffChange.xml": GRACE_NOTES,
  "24f-GraceNote-Slur.xml": GRACE_NOTES,
  "33f-Trill-EndingOnGraceNote.xml": GRACE_NOTES,
  "61f-Lyrics-GracedNotes.xml": GRACE_NOTES,
  "31c-MetronomeMarks.xml": {
    cause:
      'marks in mid-bar; verovio counts dotted beats wrongly and does not know the beat "long"',
    barsOfOneTempo: ["1", "3"],
    copy: (xml) =>
      withUndottedBeats(xml).replace(
        /<beat-unit>long<\/beat-unit>(\s*<per-minute>)100</,
        "<beat-unit>half</beat-unit>$1800<",
      ),
  },
  "31d-SwingMetronomeMark.xml": {
    cause: "a mark in mid-bar; verovio counts dotted beats wrongly",
    barsOfOneTempo: ["1"],
    copy: withUndottedBeats,
  },
  "33e-Spanners-OctaveShifts-InvalidSize.xml": {
    cause: "a quarter that lasts four quarters: verovio goes by the type, we by the duration",
    copy: (xml) => xml.replace(/(<duration>4<.*?<type>)quarter/s, "$1whole"),
  },
  "45a-SimpleRepeat.xml": NO_TYPE,
  "45b-SimpleRepeatWithStart.xml": NO_TYPE,
  "45c-SuccessiveSimpleRepeats.xml": NO_TYPE,
  "45d-SuccessiveSimpleRepeatsWithStart.xml": NO_TYPE,
  "45e-SimpleRepeatWithStartAndStop.xml": NO_TYPE,
  "45l-NestedRepeatMultipleTimes.xml": {
    cause: `no <type>; ${NESTED}, we to where the last repeat ended`,
    copy: (xml) =>
      withTypes(xml).replace(
        `<measure number="4">`,
        `$&<barline location="left"><repeat direction="forward"/></barline>`,
      ),
  },
  "45m-NestedRepeatMultipleTimesWithStart.xml": {
    cause: `no <type>; ${NESTED}`,
    // The outer repeat written out.
    copy: (xml) =>
      inOrder(
        withTypes(xml)
          .replace(/<barline location="left">.*?<\/barline>/s, "")
          .replace(/<repeat direction="backward" times="3"\/>/, ""),
        `${"1 2 3 4 5 6 7 ".repeat(3)}8`,
      ),
  },
  "45w-Repeats-Nested-Alternatives.xml": {
    // Brackets 1, 2, 3 with one repeat sign, then 1, 5, 8 with two: see performed-order.test.ts.
    cause: "no <type>; nobody could play the repeats as marked, after the first two brackets",
    copy: withTypes,
    untilQuarters: 24,
  },
  "45x-Repeats-Nested-Alternatives.xml": {
    cause: "no <type>; verovio does not repeat from a first bracket without a second",
    // The bars under it written out.
    copy: (xml) =>
      inOrder(withTypes(xml), "1 2 3 4 5 6 7 6 8 9 10", (bar) =>
        bar.startsWith(`<measure number="7">`)
          ? bar.replace(/<(?:ending|repeat)[^>]*\/>/g, "")
          : bar,
      ),
  },
  "BIS45b-RepeatWithAlternatives.xml": {
    cause: "verovio overlooks a bracket that has a number at its end only",
    copy: (xml) => xml.replace(`<ending type="start"/>`, `<ending number="1" type="start"/>`),
  },
  "41g-PartNoId.xml": ONE_BAR_OF_REST,
  "51b-Header-Quotes.xml": ONE_BAR_OF_REST,
  "51c-MultipleRights.xml": ONE_BAR_OF_REST,
  "51d-EmptyTitle.xml": ONE_BAR_OF_REST,
  "score-timewise-element.musicxml": {
    cause: "verovio does not read timewise scores",
    copy: (xml) =>
      xml
        .replaceAll("score-timewise", "score-partwise")
        .replace(/(<measure[^>]*>)\s*(<part[^>]*>)/, "$2$1")
        .replace(/(<\/part>)\s*(<\/measure>)/, "$2$1"),
  },
  "tutorial-percussion.musicxml": {
    cause: "verovio has no notes in a bar that is shown as a repetition of the last",
    copy: (xml) => xml.replace(/<measure-style>.*?<\/measure-style>/s, ""),
  },
};

/** Bars of the corpus in which the tempo changes after the first beat. */
export const BARS_OF_ONE_TEMPO: Readonly<Record<string, readonly string[]>> = {
  "boulanger-matin": ["53", "143", "206"],
  "brahms-op98-3": ["199"],
};

/** A bar of one part in which verovio places notes otherwise. */
export interface DifferentBar {
  readonly part: string;
  readonly bar: string;
  /** What stands in the bar and makes the difference. */
  readonly sign: RegExp;
}

const GRACE = /<grace\b/;
const ARPEGGIO = /<arpeggiate\b/;

/** In none of them is a clarinet concerned. */
export const DIFFERENT_BARS: Readonly<Record<string, readonly DifferentBar[]>> = {
  "beach-op32-2": [
    { part: "English Horn", bar: "184", sign: GRACE },
    { part: "Violin 2", bar: "184", sign: GRACE },
  ],
  "brahms-op98-2": [
    // A triplet that begins with a rest and ends within a beam: verovio draws it out to the end of the beam.
    {
      part: "Viola",
      bar: "115",
      sign: /<rest\/>(?:(?!<\/note>).)*<tuplet type="start".*?continue<\/beam>\s*<notations>\s*<tuplet type="stop"/s,
    },
  ],
  "brahms-op98-3": [
    { part: "Violin 1", bar: "62", sign: GRACE },
    { part: "Violin 1", bar: "63", sign: GRACE },
  ],
  "brahms-op98-4": [
    { part: "Contrabass", bar: "66", sign: ARPEGGIO },
    { part: "Contrabass", bar: "68", sign: ARPEGGIO },
    { part: "Contrabass", bar: "74", sign: ARPEGGIO },
  ],
  "haydn-104-1": [
    { part: "Oboe 1", bar: "80", sign: GRACE },
    { part: "Violin 1", bar: "80", sign: GRACE },
  ],
};
