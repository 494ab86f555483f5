import { describe, expect, it } from "vitest";
import { analysisContext } from "../../src/analyses/index.js";
import { exposureOf } from "../../src/analyses/exposure.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore } from "../../src/musicxml/document.js";
import { exposureText } from "../../src/reporters/wording/exposure.js";
import type { Exposure } from "../../src/model/exposure.js";
import {
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
  type PartXml,
} from "../support/score-xml.js";

const FOUR = attributes({ meter: "4/4" });
const IN_B_FLAT = attributes({ meter: "4/4", transpose: B_FLAT }) + metronome("quarter", "60");

function level(sign: string): string {
  return `<direction><direction-type><dynamics><${sign}/></dynamics></direction-type></direction>`;
}

/** Quarters of these pitches, such as "C5 D5 E5 F5". */
function quarters(pitches: string): string {
  return pitches
    .split(" ")
    .map((pitch) => note(pitch, 1))
    .join("");
}

/** Written D5 E5 F#5 G5 for a B-flat clarinet sounds C5 D5 E5 F5. */
const MELODY = quarters("D5 E5 F#5 G5");
const SOUNDING = quarters("C5 D5 E5 F5");

/** The clarinet rests a bar and enters with this; the others have a bar and that of the entry. */
function exposed(entry: string, others: readonly PartXml[]): Exposure | undefined {
  const xml = scoreXml([{ name: "Clarinet in Bb", bars: [IN_B_FLAT + rest(4), entry] }, ...others]);
  const score = openScore(Buffer.from(xml));
  const { context } = analysisContext(
    score.timeline("P1"),
    USUAL_PROFILE,
    {},
    score.otherParts("P1"),
  );
  return exposureOf(context, context.stretches[0]!);
}

function part(name: string, entryBar: string, before = note("C4", 4)): PartXml {
  return { name, bars: [FOUR + before, entryBar] };
}

const STRINGS = ["Violin 1", "Violin 2", "Viola", "Violoncello", "Contrabass"];
const held = (sign: string, names = STRINGS) =>
  names.map((name) => part(name, level(sign) + note("A3", 4)));

describe("the kind of an entry", () => {
  it.each<[string, readonly PartXml[], Exposure["kind"], string]>([
    ["nobody else plays", [part("Flute", rest(4))], "alone", "exposed: alone, you at pp"],
    [
      "the strings hold a soft chord",
      held("p"),
      "small-group",
      "exposed: alone with the strings, you at pp, leading",
    ],
    [
      "two more play",
      [part("Flute", note("A3", 4)), part("Horn in F", note("B3", 4))],
      "small-group",
      "exposed: only with Flute and Horn in F, you at pp, leading",
    ],
    [
      "five winds play",
      held("p", ["Flute 1", "Flute 2", "Oboe", "Bassoon 1", "Bassoon 2"]),
      "among-others",
      "among others: 5 of 5 other parts play, at most p, you at pp, leading",
    ],
    [
      "the flute has the same an octave above",
      [part("Flute", quarters("C6 D6 E6 F6")), part("Oboe", rest(4))],
      "doubled",
      "doubled by Flute an octave above, you at pp, leading, 1 of 2 other parts play",
    ],
    [
      "two loud trombones play",
      held("ff", ["Trombone 1", "Trombone 2"]).concat(
        ["Flute", "Oboe", "Viola"].map((name) => part(name, rest(4))),
      ),
      "covered",
      "covered: ff brass, leading",
    ],
    [
      "a loud tutti, in which the oboe has the same",
      [...held("f"), part("Oboe", level("f") + SOUNDING)],
      "covered",
      "covered: f tutti, doubled by Oboe in unison, leading",
    ],
  ])("when %s", (_, others, kind, text) => {
    const exposure = exposed(level("pp") + MELODY, others)!;
    expect(exposure.kind).toBe(kind);
    expect(exposureText(exposure)).toBe(text);
  });

  it("is not told of a part alone", () => {
    expect(exposed(MELODY, [])).toBeUndefined();
  });

  it("is not loud brass when the English horn plays", () => {
    const others = held("ff", ["English Horn", "Corno inglese", "Bassetthorn"]);
    expect(exposed(MELODY, others)).toMatchObject({ kind: "small-group" });
  });

  it("goes by who plays along, not by who ends as the player begins", () => {
    const short = part("Horn in F", note("A3", 0.5) + rest(3.5));
    const chord = note("A3", 0.5) + rest(0.5);
    const steady = part("Horn in F", chord.repeat(4));
    // With others who begin notes the half of a quarter is over when the next begins.
    const clock = part("Bassoon", note("C3", 0.5).repeat(8));
    expect(exposed(MELODY, [short, clock])).toMatchObject({
      atEntry: 2,
      playing: [{ name: "Bassoon" }],
    });
    const along = exposed(MELODY, [steady, clock])!;
    expect(along.playing.map(({ name, share }) => [name, share])).toEqual([
      ["Horn in F", 0.5],
      ["Bassoon", 1],
    ]);
  });
});

describe("doublings", () => {
  it.each<[string, string, readonly unknown[]]>([
    ["all notes in unison", SOUNDING, [{ octaves: 0, share: 1 }]],
    ["three of four two octaves below", quarters("C3 D3 E3 A3"), [{ octaves: -2, share: 0.75 }]],
    ["one of four", quarters("C5 A4 A4 A4"), []],
    ["the same notes a half later", rest(0.5) + SOUNDING, []],
    ["a note that is held on", note("C5", 4), []],
  ])("%s", (_, flute, expected) => {
    expect(exposed(MELODY, [part("Flute", flute)])!.doubledBy).toMatchObject(expected);
    expect(exposed(MELODY, [part("Flute", flute)])!.doubledBy).toHaveLength(expected.length);
  });

  it("are told by what sounds, not by what is written", () => {
    const second: PartXml = {
      name: "Clarinet 2 in Bb",
      bars: [attributes({ meter: "4/4", transpose: B_FLAT }) + rest(4), MELODY],
    };
    expect(exposed(MELODY, [second])!.doubledBy).toMatchObject([{ octaves: 0, share: 1 }]);
    expect(exposed(MELODY, [part("Oboe", MELODY)])!.doubledBy).toEqual([]);
  });
});

describe("who leads", () => {
  const higher = part("Violin 1", quarters("C6 A5 B5 G5"));
  it.each<[string, string, readonly PartXml[], Exposure["role"]]>([
    ["alone", note("D5", 4), [part("Flute", rest(4))], { value: "leading", because: "alone" }],
    ["marked Solo", words("Solo") + MELODY, [higher], { value: "leading", because: "marked-solo" }],
    ["over a held chord", MELODY, held("p"), { value: "leading", because: "highest-moving-line" }],
    ["below a moving line", MELODY, [higher], { value: "unknown" }],
    ["holding a note below it", note("D5", 4), [higher], { value: "accompanying", because: "held-under-a-moving-line" }],
    ["in a held chord", note("D5", 4), held("p"), { value: "unknown" }],
    ["under another's solo", MELODY, [part("Oboe", words("1. Solo") + note("A3", 4))], { value: "accompanying", because: "another-marked-solo" }],
  ])("%s", (_, entry, others, role) => {
    expect(exposed(entry, others)!.role).toEqual(role);
  }); // prettier-ignore
});

describe("the level of an entry", () => {
  it("is the one that follows an accent within its first quarter", () => {
    const others = held("p");
    const eighths = note("D5", 0.5) + level("p") + note("E5", 0.5) + quarters("F#5 G5 A5");
    const before = level("mf") + level("sf");
    expect(exposed(before + eighths, others)!.dynamic.own).toBe("p");
    // A quarter later it is a new level.
    expect(
      exposed(level("mf") + note("D5", 1) + level("p") + quarters("E5 F#5 G5"), others)!.dynamic
        .own,
    ).toBe("mf");
  });
});

describe("who leads", () => {
  it("is not told of a murmur under a held note, which may begin a melody", () => {
    const murmur = quarters("D4 E4 F#4 E4");
    const low = part("Violoncello", note("C2", 4));
    expect(exposed(murmur, [low])!.role.value).toBe("leading");
    expect(exposed(murmur, [low, part("English Horn", note("F5", 4))])!.role.value).toBe("unknown");
  });
});

describe("what would be missed", () => {
  const weightOf = (entry: string, others: readonly PartXml[]) =>
    exposed(entry, others)!.missed.weight;

  it("tells a soft solo from the same soft notes in a tutti", () => {
    const soft = level("pp") + MELODY;
    const solo = weightOf(soft, held("pp"));
    const tutti = weightOf(soft, [...held("ff"), ...held("ff", ["Trombone 1", "Trombone 2"])]);
    expect(solo).toBe(0.9);
    expect(tutti).toBeLessThan(0.3);
  });

  it("is more when the player leads, less when another has the notes", () => {
    const order = [
      weightOf(MELODY, [part("Flute", rest(4))]),
      weightOf(MELODY, held("p")),
      weightOf(MELODY, [part("Oboe", SOUNDING)]),
      weightOf(level("p") + MELODY, held("ff", ["Trombone 1", "Trombone 2"])),
    ];
    expect(order).toEqual([...order].sort((a, b) => b - a));
    expect(new Set(order).size).toBe(order.length);
  });

  it("is the sum of its reasons, and no more than all", () => {
    const { weight, reasons } = exposed(MELODY, [part("Flute", rest(4))])!.missed;
    expect(reasons.map(({ kind }) => kind)).toEqual(["alone", "leading"]);
    expect(weight).toBe(1);
  });
});
