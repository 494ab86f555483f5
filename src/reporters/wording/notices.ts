import type { Notice, NoticeKind } from "../../model/finding.js";
import { clean } from "../util/clean.js";
import { disagreementText } from "./disagreements.js";
import { fullName, oneOf } from "./instruments.js";
import { partName } from "./parts.js";
import { lyingCaution } from "./lying.js";
import { counted } from "./quantities.js";

type Wording = { readonly [K in NoticeKind]: (notice: Extract<Notice, { kind: K }>) => string };

/** A list in a sentence gets no longer. */
const MOST_NAMED = 20;

const number = (value: number) => String(Math.round(value * 100) / 100);

function listed(marks: readonly { readonly text: string; readonly barLabel: string }[]): string {
  const named = marks
    .slice(0, MOST_NAMED)
    .map(({ text, barLabel }) => `"${clean(text)}" (bar ${clean(barLabel)})`)
    .join(", ");
  return marks.length > MOST_NAMED ? `${named}, and ${marks.length - MOST_NAMED} more` : named;
}

function barList(labels: readonly string[]): string {
  const named = labels.slice(0, MOST_NAMED).map(clean).join(", ");
  const more = labels.length > MOST_NAMED ? `, and ${labels.length - MOST_NAMED} more` : "";
  const isOne = labels.length === 1 && !named.includes("–");
  return `${isOne ? "bar" : "bars"} ${named}${more}`;
}

const BARE_B: Readonly<Record<Extract<Notice, { kind: "bare-b" }>["because"], string>> = {
  transposition: "the transposition says so too",
  german: "the part names keys the German way",
  italian: "older Italian parts name it so",
  "no-such-instrument": "there is no such instrument in B natural",
};

function spanList(
  spans: readonly { readonly fromBarLabel: string; readonly untilBarLabel: string }[],
): string {
  return barList(
    spans.map(({ fromBarLabel, untilBarLabel }) =>
      fromBarLabel === untilBarLabel ? fromBarLabel : `${fromBarLabel}–${untilBarLabel}`,
    ),
  );
}

/** A sentence for every kind of notice; a missing one does not compile. */
const WORDING: Wording = {
  "tempo-assumed": ({ quartersPerMinute: { slow, likely, fast }, fromBarLabel, untilBarLabel }) =>
    `TEMPO ASSUMED from bar ${clean(fromBarLabel)}${untilBarLabel === undefined ? "" : ` to bar ${clean(untilBarLabel)}`}: ` +
    `the file gives none, so quarter = ${likely} (${slow}–${fast}) was taken; the seconds are only a guide`,
  "tempo-from-playback": ({ count }) =>
    `${count === 1 ? "one tempo is" : `${count} tempi are`} only a playback number in the file, not printed; weighed with the words and the meter, and taken wide`,
  "tempo-from-words": ({ count }) =>
    `${count === 1 ? "one tempo is" : `${count} tempi are`} given in words only; taken from published tables, or as a usual step from the tempo before`,
  "tempo-bends": ({ marks }) =>
    `how far these bend the tempo is assumed, in a wide range: ${listed(marks)}`,
  "tempo-printed-twice": ({ taken, other }) =>
    `two printed tempi differ: ${clean(taken)} was taken, not ${clean(other)}`,
  "recording-incomplete": ({ recording, fromBarLabel, untilBarLabel }) =>
    `the timings of ${clean(recording)} reach from bar ${clean(fromBarLabel)} to bar ${clean(untilBarLabel)}; the rest is by the tempo marks`,
  "recording-odd": ({ recording, fromBarLabel, untilBarLabel, quartersPerMinute }) =>
    `by ${clean(recording)} bars ${clean(fromBarLabel)} to ${clean(untilBarLabel)} go at quarter = ${Math.round(quartersPerMinute)}, far from what is marked: a slip in the table?`,
  "tempo-words-unread": ({ marks }) =>
    `these refer to a tempo that nothing gives; the one before was kept: ${listed(marks)}`,
  "tempo-unreadable": ({ text }) =>
    `a tempo mark was not understood and is ignored: ${clean(text)}`,
  "tempo-contradiction": ({ printed, playback }) =>
    `the printed tempo (${clean(printed)}) was taken; another number there says quarter = ${number(playback)}`,
  "profile-assumed": ({ all }) =>
    all
      ? "hand times are usual figures, not yours: time your own changes and give them with --profile"
      : "hand times marked * are usual figures, not yours",
  "pitch-after-lying": ({ temperature }) => lyingCaution(temperature),
  "instrument-assumed": ({ instrument, by }) =>
    `the part list does not name the instrument; by ${by === "words" ? "the words on its first page" : "its transposition"} it was taken for ${fullName(instrument)}`,
  "name-against-transposition": ({ name, transpositionFits }) =>
    `the part is called "${clean(name)}", but its first transposition is for ${oneOf(transpositionFits)}`,
  "transposition-unknown": ({ semitones }) =>
    `a transposition of ${semitones} semitones fits no instrument known here; the one in hand was kept`,
  disagreement: ({ disagreement }) => disagreementText(disagreement),
  "instruction-unclear": ({ text }) =>
    `this may ask for another instrument, but which is unclear: "${clean(text)}"`,
  "bar-length": ({ quarters, meterQuarters, meter }) =>
    `the bar holds ${number(quarters)} quarters where ${clean(meter)} has ${number(meterQuarters)}; it was counted as it stands`,
  "measure-repeat": ({ count }) =>
    `${count === 1 ? "a bar" : `${count} bars`} under a repeat-the-bar sign had no notes; they were taken from the bars repeated`,
  "backup-before-bar": () => "the file steps back before the start of the bar; taken as its start",
  "missing-duration": ({ count }) =>
    `${count === 1 ? "a note" : `${count} notes`} without a duration; the printed note value was taken`,
  "odd-number": ({ element, text }) =>
    `"${clean(text)}" is no sensible ${clean(element)} and is ignored`,
  "meter-unreadable": ({ text }) =>
    `a time signature was not understood (${clean(text)}); the one before was kept`,
  "repeat-unclosed": () => "a repeat begins here and never ends; it was played once",
  "repeats-left-out": ({ bars }) =>
    `as you asked, ${bars.length === 1 ? "the repeat that ends" : "the repeats that end"} at ${barList(bars)} ${bars.length === 1 ? "is" : "are"} left out`,
  "jump-not-followed": ({ text }) => `no sign to jump to for "${clean(text)}"; played straight on`,
  "jump-unreadable": ({ text }) =>
    `"${clean(text)}" was not understood as a jump; played straight on`,
  "bars-not-reached": ({ lastBarLabel, bars }) =>
    bars === 1
      ? "the repeats and jumps never lead through this bar"
      : `the repeats and jumps never lead through these ${bars} bars (to bar ${clean(lastBarLabel)})`,
  "ending-unreadable": ({ text }) =>
    `an ending bracket with no number ("${clean(text)}") is ignored`,
  "concert-score": () =>
    "the score is notated at sounding pitch; keys and ranges are worked out from there",
  "score-in-c": ({ instrument, because }) =>
    `the part is for ${fullName(instrument)}, but was taken for notated at sounding pitch (a score in C): ` +
    (because === "key"
      ? "it has the key signature of the other players"
      : "nothing in the file is transposed"),
  "bare-b": ({ text, because }) => `"${clean(text)}" was read as B-flat: ${BARE_B[because]}`,
  "shared-staff": ({ players }) =>
    `several players read this staff, and the rests are those of all together: --player ${players[0] ?? 1} or --player ${players[1] ?? 2} gives the part of one`,
  "players-unmarked": ({ spans }) =>
    `nothing says which player these notes are for, so they were taken for all: ${spanList(spans)}`,
  "bass-clef-octave": ({ count }) =>
    `${counted(count, "note")} in bass clef have the transposition of the treble clef, by which some lie below the instrument; keys and range were taken an octave higher`,
  "other-part-unreadable": ({ partId }) =>
    `the bar of ${partId === undefined ? "another part" : `part ${clean(partId)}`} cannot be read; what it plays, and its key signature, are left out of account`,
  "listen-with-score": () =>
    "with the full score muta also says what to listen for before an entry",
  "grace-before-entry": ({ count, seconds }) =>
    `${count === 1 ? "an entry begins" : `${count} entries begin`} with grace notes before the beat; ${seconds} s was taken off the rest for each note`,
  "colleague-left-out": ({ part, because }) =>
    `${clean(partName(part))} was not asked to take bars: ${because === "other-bars" ? "its bars are not those of this part" : clean(because.message)}`,
  unpitched: ({ count }) => `${count === 1 ? "a note" : `${count} notes`} without pitch`,
};

/** The sentence for a notice, with its bar in front where it has one. */
export function noticeText(notice: Notice): string {
  const word = WORDING[notice.kind] as (each: Notice) => string;
  const text = word(notice);
  return notice.barLabel === undefined ? text : `bar ${clean(notice.barLabel)}: ${text}`;
}
