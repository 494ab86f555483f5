import { A, attributes, B_FLAT, note, rest } from "../support/score-xml.js";

/** Bars of a B-flat clarinet part, of which some are written for A, and what is expected of each bar. */
export interface RewriteCase {
  readonly what: string;
  readonly bars: readonly string[];
  /** Printed numbers. */
  readonly range: readonly [from: string, to: string];
  /** By printed number; bars that are not named stay as they are. */
  readonly expected: Readonly<Record<string, string>>;
}

const START = attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT });
const sign = (name: string) => `<accidental>${name}</accidental>`;
const courtesy = (name: string) => `<accidental cautionary="yes">${name}</accidental>`;
const toA = `<direction placement="above"><direction-type><words>to A clarinet</words></direction-type></direction>`;
const toBFlat = `<direction placement="above"><direction-type><words>to B-flat clarinet</words></direction-type></direction>`;
// C major on B-flat sounds B-flat major, which is D-flat major on A: five flats, a semitone higher.
const forA = `<attributes><key><fifths>-5</fifths></key><transpose><diatonic>-2</diatonic><chromatic>-3</chromatic></transpose></attributes>`;
const forBFlat = `<attributes><key><fifths>0</fifths></key><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>`;

export const REWRITE_CASES: readonly RewriteCase[] = [
  {
    what: "words at the first note where there is no rest, and back",
    bars: [START + note("C5", 4), note("E5", 4), note("G5", 4)],
    range: ["2", "2"],
    expected: {
      "2": forA + toA + note("F5", 4),
      "3": forBFlat + toBFlat + note("G5", 4),
    },
  },
  {
    what: "words at the first rest before, signs at the bar",
    bars: [START + note("C5", 2) + rest(2), rest(4), note("E5", 4), rest(4), note("C5", 4)],
    range: ["3", "3"],
    expected: {
      "1": START + note("C5", 2) + toA + rest(2),
      "3": forA + note("F5", 4),
      // The signs come where there is something to read again.
      "4": toBFlat + rest(4),
      "5": forBFlat + note("C5", 4),
    },
  },
  {
    what: "a sign holds to the end of the bar for its line and octave only",
    bars: [START + note("C5", 4), note("C#5", 1) + note("C#5", 1) + note("C#4", 1) + note("C5", 1)],
    range: ["2", "2"],
    expected: {
      "2":
        forA +
        toA +
        note("D5", 1, sign("natural")) +
        note("D5", 1) +
        note("D4", 1, sign("natural")) +
        note("Db5", 1, sign("flat")),
    },
  },
  {
    what: "a courtesy sign in the bar after, and for what comes after a tie",
    bars: [
      START + note("C5", 4),
      note("C#5", 4),
      note("C5", 2) + note("F#5", 2, '<tie type="start"/>'),
      note("F#5", 2, '<tie type="stop"/>') + note("F5", 2),
    ],
    range: ["2", "4"],
    expected: {
      "2": forA + toA + note("D5", 4, sign("natural")),
      "3":
        note("Db5", 2, courtesy("flat")) + note("G5", 2, `<tie type="start"/>${sign("natural")}`),
      "4": note("G5", 2, '<tie type="stop"/>') + note("Gb5", 2, courtesy("flat")),
    },
  },
  {
    what: "a sign that was there keeps its element and attributes",
    bars: [
      START + note("C5", 4),
      note("F#5", 2, '<accidental parentheses="yes">sharp</accidental>') +
        note("C5", 2, '<accidental cautionary="yes" size="cue">natural</accidental>'),
    ],
    range: ["2", "2"],
    expected: {
      "2":
        forA +
        toA +
        note("G5", 2, '<accidental parentheses="yes">natural</accidental>') +
        note("Db5", 2, '<accidental cautionary="yes" size="cue">flat</accidental>'),
    },
  },
  {
    what: "a key past six accidentals is written as the other one, and the notes with it",
    // Five flats on B-flat sound C-flat major, which would be ten flats on A: two sharps.
    bars: [
      attributes({ meter: "4/4", fifths: -5, transpose: B_FLAT }) + note("Db5", 4),
      note("Gb4", 4),
    ],
    range: ["1", "2"],
    expected: {
      "1": attributes({ meter: "4/4", fifths: 2, transpose: A }) + toA + note("D5", 4),
      "2": note("G4", 4),
    },
  },
  {
    what: "the sign over a trill, chords, grace and cue notes, and the height on the page",
    bars: [
      START + note("C5", 4),
      `<note default-y="-10.50"><grace/><pitch><step>D</step><octave>5</octave></pitch></note>` +
        note(
          "C5",
          2,
          "<notations><ornaments><trill-mark/><accidental-mark>flat</accidental-mark></ornaments></notations>",
        ) +
        note("E5", 2).replace("<note>", "<note><chord/>") +
        note("B4", 2).replace("<note>", "<note><cue/>"),
    ],
    range: ["2", "2"],
    expected: {
      "2":
        forA +
        toA +
        `<note default-y="-5.50"><grace/><pitch><step>E</step><alter>-1</alter><octave>5</octave></pitch></note>` +
        note(
          "Db5",
          2,
          "<notations><ornaments><trill-mark/><accidental-mark>flat-flat</accidental-mark></ornaments></notations>",
        ) +
        note("F5", 2).replace("<note>", "<note><chord/>") +
        note("C5", 2).replace("<note>", "<note><cue/>"),
    },
  },
  {
    what: "what has no pitch, and comments, are left alone",
    bars: [
      START + note("C5", 4),
      `<!-- <note><pitch/> --><note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>480</duration></note>` +
        note("E5", 2),
    ],
    range: ["2", "2"],
    expected: {
      "2":
        `<!-- <note><pitch/> -->${forA}${toA}<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>480</duration></note>` +
        note("F5", 2),
    },
  },
  {
    what: "words of the print that are wrong now",
    bars: [
      START + note("C5", 4),
      `<direction><direction-type><words>muta in La</words></direction-type></direction>${rest(4)}`,
      attributes({ fifths: -5, transpose: A }) + note("F5", 4),
      rest(4),
      attributes({ fifths: 0, transpose: B_FLAT }) + note("C5", 4),
    ],
    range: ["5", "5"],
    expected: { "5": attributes({}) + note("Db5", 4) },
  },
];
