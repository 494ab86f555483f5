import { describe, expect, it } from "vitest";
import { instrumentsInHand } from "../../src/analyses/instruments-in-hand.js";
import { playerPart } from "../../src/analyses/player-part.js";
import type { PartNote, PartTimeline } from "../../src/model/score.js";
import {
  attributes,
  B_FLAT,
  DIVISIONS,
  note,
  rest,
  scoreXml,
  timelineOf,
  words,
} from "../support/score-xml.js";

const NAME = "Clarinets 1. 2. in Bb";
const BACK = `<backup><duration>${4 * DIVISIONS}</duration></backup>`;

/**
 * One voice of a bar in shorthand: `C5:2` is a note of two quarters, `C5+A4:2` a chord, `gC5` a grace
 * note, `~C5~:2` tied from before and to the next; `r:2` a rest, `h:2` a hidden one, `_:2` nothing; and
 * what stands in quotation marks is printed.
 */
function voiceXml(text: string, voice: number): string {
  return (text.match(/"[^"]*"|\S+/g) ?? [])
    .map((item) => {
      if (item.startsWith('"')) return words(item.slice(1, -1));
      const [what = "", length = "0"] = item.split(":");
      const quarters = Number(length);
      const inside = `<voice>${voice}</voice>`;
      if (what === "_") return `<forward><duration>${quarters * DIVISIONS}</duration></forward>`;
      if (what === "r") return rest(quarters, inside);
      if (what === "h") return rest(quarters, inside).replace("<note>", '<note print-object="no">');
      return what
        .split("+")
        .map((each, k) => noteXml(each, quarters, inside, k > 0))
        .join("");
    })
    .join("");
}

function noteXml(text: string, quarters: number, inside: string, inChord: boolean): string {
  const stop = text.startsWith("~") ? '<tie type="stop"/>' : "";
  const start = text.endsWith("~") ? '<tie type="start"/>' : "";
  const plain = note(text.replace(/[~g]/g, ""), quarters, stop + start + inside);
  const grace = text.startsWith("g") ? "<grace/>" : "";
  const timed = grace ? plain.replace(/<duration>.*<\/duration>/, "") : plain;
  return timed.replace("<note>", `<note>${grace}${inChord ? "<chord/>" : ""}`);
}

/** A staff in 4/4; the voices of a bar, divided by a slash, have the given numbers. */
function staffOf(bars: readonly string[], name = NAME, numbers = [1, 2]): PartTimeline {
  const contents = bars.map((bar) =>
    bar
      .split(" / ")
      .map((text, k) => voiceXml(text, numbers[k] ?? 0))
      .join(BACK),
  );
  const [first = "", ...others] = contents;
  const start = attributes({ meter: "4/4", transpose: B_FLAT }) + first;
  return timelineOf(scoreXml([{ name, bars: [start, ...others] }]));
}

function showNote({ pitches, grace }: PartNote): string {
  const names = pitches.map(({ step, octave }) => `${step}${octave}`);
  return (grace ? "g" : "") + names.join("+");
}

/** The notes bar by bar, such as `C5 D5 | - | gE5 F5+A4`. */
function show({ bars, notes }: PartTimeline): string {
  return bars
    .map(({ barIndex }) => {
      const inBar = notes.filter((each) => each.barIndex === barIndex).map(showNote);
      return inBar.join(" ") || "-";
    })
    .join(" | ");
}

/** Bars of which nothing says who plays them, such as `1–2`. */
function unmarked({ notices }: PartTimeline): readonly string[] {
  return notices.flatMap((notice) =>
    notice.kind === "players-unmarked"
      ? notice.spans.map(({ fromBarLabel, untilBarLabel }) => `${fromBarLabel}–${untilBarLabel}`)
      : [],
  );
}

/** Name, bars, what the first and the second player play, and the bars that are not marked. */
type Row = readonly [string, readonly string[], string, string, (readonly string[])?];

const WORDS: readonly Row[] = [
  ["hold until the next", ['"1." C5:4', "D5:4", '"2." E5:4', "F5:4", '"a 2" G5:4', "A5:4"], "C5 | D5 | - | - | G5 | A5", "- | - | E5 | F5 | G5 | A5"],
  ["hold from their place in the bar", ['"1." C5:1 D5:1 "2." E5:1 "unis." F5:1'], "C5 D5 F5", "E5 F5"],
  ["may stand over the rest before", ['"a 2" C5:4', '"1." r:4', "D5:4"], "C5 | - | D5", "C5 | - | -"],
  ["may stand at the end of the bar before", ['"a 2" C5:4 "2."', "D5:4"], "C5 | -", "C5 | D5"],
  ["count from where the first stand", ["C5:4", "D5:4", '"1." E5:4'], "C5 | D5 | E5", "C5 | D5 | -", ["1–2"]],
  ["for all are for all, divided or not", ['"div." C5+A4:2 D5:2', '"1., 2." E5:4'], "C5 D5 | E5", "A4 D5 | E5"],
  ["alone: Solo is the first player", ['"a 2" C5:4', '"Solo" D5:4'], "C5 | D5", "C5 | -"],
  ["that mean something else end nothing", ['"1." C5:4', '"dolce" D5:4', '"Tempo I" E5:4', '"2. muta in Es" F5:4'], "C5 | D5 | E5 | F5", "- | - | - | -"],
  ["with how it is played say who plays", ['"a 2" C5:4', '"2. dolce" D5:4'], "C5 | -", "C5 | D5"],
]; // prettier-ignore

const VOICES: readonly Row[] = [
  ["each has one", ["C5:4 / A4:4"], "C5", "A4"],
  ["the upper voice is the first player's where it lies lower", ["A4:4 / C5:4"], "A4", "C5"],
  ["a printed rest is the player's own", ["C5:4 / r:4", "r:4 / D5:4"], "C5 | -", "- | D5"],
  ["a printed rest counts more than words", ['"a 2" C5:4 / r:4', "D5:4"], "C5 | D5", "- | D5"],
  ["a hidden rest says nothing", ['"1." C5:4 / h:4', '"a 2" D5:4 / h:4'], "C5 | D5", "- | D5"],
  ["a hidden rest marks nothing", ["C5:4 / h:4"], "C5", "C5", ["1–1"]],
  ["a blank says nothing", ['"2." _:4 / C5:4', '"a 2" D5:4 / _:4'], "- | D5", "C5 | D5"],
  ["a second voice that begins in the bar", ['"a 2" C5:2 D5:2 / _:2 A4:2'], "C5 D5", "C5 A4"],
  ["a second voice that ends in the bar", ['"a 2" C5:2 D5:2 / A4:2 h:2'], "C5 D5", "A4 D5"],
  ["a note that goes on under the other voice", ['"a 2" C5:4 / A4:1 r:1 B4:2'], "C5", "A4 B4"],
  ["words go on after voices in which nobody was left out", ['"a 2" C5:4 / A4:4', "D5:4"], "C5 | D5", "A4 | D5"],
  ["words go on after a rest of the one left out", ['"1." C5:4 / r:4', "D5:4"], "C5 | D5", "- | -"],
  ["words end with a note of the second, left out", ['"1." C5:4 / A4:4', "D5:4"], "C5 | D5", "A4 | D5", ["2–2"]],
  ["words end with a note of the first, left out", ['"2." C5:4 / r:4', "D5:4"], "C5 | D5", "- | D5", ["2–2"]],
  ["words end inside a bar", ['"1." C5:2 D5:2 / A4:2 _:2', "E5:4"], "C5 D5 | E5", "A4 D5 | E5", ["1–2"]],
  ["words hold up to the note that ends them", ['"1." C5:2 D5:2 / _:2 A4:2', "E5:4"], "C5 D5 | E5", "A4 | E5", ["2–2"]],
  ["a chord of one voice is one player's", ["E5+C5:4 / A4:4"], "E5+C5", "A4"],
]; // prettier-ignore

const CHORDS: readonly Row[] = [
  ["are divided", ["C5+A4:4"], "C5", "A4"],
  ["are divided from the top, however they are written", ["A4+C5:4"], "C5", "A4"],
  ["are divided under words for both", ['"a 2" C5+A4:2 D5:2'], "C5 D5", "A4 D5"],
  ["end the words for the first", ['"1." C5:4', "D5+A4:4", "E5:4"], "C5 | D5 | E5", "- | A4 | E5", ["3–3"]],
  ["end the words for the second", ['"2." C5:4', "D5+A4:4", "E5:4"], "- | D5 | E5", "C5 | A4 | E5", ["3–3"]],
  ["do not end words for both", ['"a 2" C5:4', "D5+A4:4", "E5:4"], "C5 | D5 | E5", "C5 | A4 | E5"],
  ["of grace notes are divided", ["gD5+B4 C5+A4:4"], "gD5 C5", "gB4 A4"],
]; // prettier-ignore

const TIES: readonly Row[] = [
  ["keep a note with who held it in a voice", ["C5~:4 / A4:4", "~C5:2 r:2"], "C5 | C5", "A4 | -"],
  ["keep a lower note", ["C5:4 / A4~:4", "~A4:2 r:2"], "C5 | -", "A4 | A4"],
  ["keep a note of a chord", ["C5~+A4:4", "~C5:4"], "C5 | C5", "A4 | -"],
  ["keep the lower note of a chord", ["C5+A4~:4", "~A4:4"], "C5 | -", "A4 | A4"],
  ["keep one note of a chord, and the other is new", ["C5~+A4:4", "~C5+B4:4"], "C5 | C5", "A4 | B4"],
  ["keep a chord as it was divided", ["C5~+A4~:4", "~C5+~A4:4"], "C5 | C5", "A4 | A4"],
  ["count more than new words", ['"1." C5~:4', '"2." ~C5:2 D5:2'], "C5 | C5", "- | D5"],
  ["keep a note with both", ['"a 2" C5~:4', '"1." ~C5:2 D5:2'], "C5 | C5 D5", "C5 | C5"],
  ["reach over several bars", ["C5~:4 / A4:4", "~C5~:4", "~C5:4"], "C5 | C5 | C5", "A4 | - | -"],
  ["without a beginning count for nothing", ['"2." ~C5:4'], "-", "C5"],
  ["of both in unison, with a voice for each", ["C5~:4 / C5~:4", "~C5:4 / ~C5:4"], "C5 | C5", "C5 | C5"],
  ["of both in unison, from one voice to two", ['"a 2" C5~:4', "~C5:4 / ~C5:2 r:2"], "C5 | C5", "C5 | C5"],
  ["of both in unison, from two voices to one", ["C5~:4 / C5~:4", '"a 2" ~C5:4'], "C5 | C5", "C5 | C5"],
  ["of both in unison, of which one ends", ["C5~:4 / C5~:4", "~C5:4 / ~C5:2 r:2"], "C5 | C5", "C5 | C5"],
]; // prettier-ignore

const GRACE_NOTES: readonly Row[] = [
  ["of one voice", ["gD5 C5:4 / A4:4"], "gD5 C5", "A4"],
  ["over a rest of the other", ["gD5 C5:4 / r:4"], "gD5 C5", "-"],
  ["of the lower voice", ["C5:4 / gB4 A4:4"], "C5", "gB4 A4"],
  ["under words", ['"2." gD5 C5:2 "a 2" gF5 E5:2'], "gF5 E5", "gD5 C5 gF5 E5"],
  ["after a trill, before new words", ['"2." C5:4 gD5', '"1." E5:4'], "- | E5", "C5 gD5 | -"],
  ["after a trill, in a voice", ["C5:4 gB4 gC5 / A4:4", "C5:4 / r:4"], "C5 gB4 gC5 | C5", "A4 | -"],
  ["after a trill, in the lower voice", ["r:4 / C5:4 gB4 gC5", "r:4 / C5:4"], "- | -", "C5 gB4 gC5 | C5"],
]; // prettier-ignore

const UNMARKED: readonly Row[] = [
  ["by bars", ["C5:4", "D5:4", '"1." E5:4', "r:4", "F5+D5:4", "E5:4"], "C5 | D5 | E5 | - | F5 | E5", "C5 | D5 | - | - | D5 | E5", ["1–2", "6–6"]],
  ["in some beats of a bar", ["C5:2 D5:2 / A4:2 _:2"], "C5 D5", "A4 D5", ["1–1"]],
  ["in no bar of rests", ["r:4", "r:4 / r:4", '"a 2" C5:4'], "- | - | C5", "- | - | C5"],
  ["in no chord", ["C5+A4:4", "D5+B4:4"], "C5 | D5", "A4 | B4"],
]; // prettier-ignore

describe.each([
  ["words", WORDS],
  ["two voices", VOICES],
  ["chords", CHORDS],
  ["ties", TIES],
  ["grace notes", GRACE_NOTES],
  ["what is not marked", UNMARKED],
])("players of one staff: %s", (_, rows) => {
  const named = rows.map((row) => [row[0], row] as const);
  it.each(named)("%s", (_name, [, bars, first, second, spans = []]) => {
    const staff = staffOf(bars);
    const [one, two] = [playerPart(staff, 1), playerPart(staff, 2)];
    expect([show(one), show(two)]).toEqual([first, second]);
    expect([unmarked(one), unmarked(two)]).toEqual([spans, spans]);
  });
});

describe("playerPart", () => {
  it("keeps places and lengths, and the page with its signs", () => {
    const staff = staffOf(['"1." C5:1 r:1 D5:2', "r:4"]);
    const part = playerPart(staff, 1);
    expect(part).toMatchObject({ bars: staff.bars, instructions: staff.instructions });
    expect(part.notes).toEqual(staff.notes);
    expect(part.part).toEqual({ ...staff.part, player: 1 });
  });

  it("takes the lower-numbered voice for the upper, wherever it stands in the file", () => {
    const staff = staffOf(["A4:4 / C5:4"], NAME, [10, 5]);
    expect([1, 2].map((player) => show(playerPart(staff, player)))).toEqual(["C5", "A4"]);
  });

  it("counts the players as the name of the part does", () => {
    const staff = staffOf(['C5:4 / A4:4', '"3." D5:4', '"4." E5:4'], "Clarinets 3. 4. in A"); // prettier-ignore
    expect(show(playerPart(staff, 3))).toBe("C5 | D5 | -");
    expect(show(playerPart(staff, 4))).toBe("A4 | - | E5");
    expect(() => playerPart(staff, 1)).toThrow(expect.objectContaining({ code: "no-matching-part" })); // prettier-ignore
  });

  it("leaves the part of one player as it is", () => {
    const staff = staffOf(["C5+A4:4", "D5:4"], "Clarinet 2");
    expect(show(playerPart(staff, 2))).toBe("C5+A4 | D5");
    expect(unmarked(playerPart(staff, 2))).toEqual([]);
  });

  it("gives every player a staff where there is one for each", () => {
    const on = (staff: number, pitch: string) => note(pitch, 4, `<voice>${staff * 4 - 3}</voice><staff>${staff}</staff>`); // prettier-ignore
    const bars = [on(1, "C5") + BACK + on(2, "E5"), words("1.") + on(2, "D5")];
    const start = attributes({ meter: "4/4", transpose: B_FLAT });
    const staves = timelineOf(scoreXml([{ name: NAME, bars: [start + bars[0], bars[1] ?? ""] }]));
    expect(show(playerPart(staves, 1))).toBe("C5 | -");
    expect(show(playerPart(staves, 2))).toBe("E5 | D5");
    expect(unmarked(playerPart(staves, 2))).toEqual([]);
  });

  it("lets only the player change whom the words tell to", () => {
    const staff = staffOf(['"a 2" C5:4', '"2. muta in Es" r:4', "D5:4"]);
    const inHand = [1, 2].map((player) => {
      const { instrumentOf } = instrumentsInHand(playerPart(staff, player));
      return [0, 1].map(instrumentOf);
    });
    expect(inHand).toEqual([
      ["clarinet-bflat", "clarinet-bflat"],
      ["clarinet-bflat", "clarinet-eflat"],
    ]);
  });
});
