import { describe, expect, it } from "vitest";
import {
  groupOfSound,
  orchestraGroup,
  readOrchestraName,
} from "../../src/instruments/orchestra.js";

// Names: common practice, no source.
// prettier-ignore
const NAMES = [
  ["Violin 1", "violin", "strings"], ["Violine I", "violin", "strings"], ["Violons", "violin", "strings"],
  ["Violino secondo", "violin", "strings"], ["Vl. 2", "violin", "strings"], ["1. Violinen", "violin", "strings"],
  ["Viola", "viola", "strings"], ["Bratschen", "viola", "strings"], ["Altos", "viola", "strings"],
  ["Violoncello", "cello", "strings"], ["Violoncelles", "cello", "strings"], ["Vc.", "cello", "strings"],
  ["Contrabass", "double-bass", "strings"], ["Kontrabaß", "double-bass", "strings"], ["Contrebasses", "double-bass", "strings"],
  ["Contrabbasso", "double-bass", "strings"], ["Basso", "double-bass", "strings"], ["Double Bass", "double-bass", "strings"],
  ["F Horn 1", "horn", "brass"], ["Horn in F", "horn", "brass"], ["Hörner", "horn", "brass"], ["Cors", "horn", "brass"],
  ["Corni in Fa", "horn", "brass"], ["E Trumpet 2", "trumpet", "brass"], ["Trompeten", "trumpet", "brass"],
  ["Trompettes", "trumpet", "brass"], ["Trombe in Do", "trumpet", "brass"], ["Piccolo Trumpet", "trumpet", "brass"],
  ["Posaune 3", "trombone", "brass"], ["Bass Trombone", "trombone", "brass"], ["Tromboni", "trombone", "brass"],
  ["Tuba", "tuba", "brass"], ["Timpani", "timpani", "timpani"], ["Pauken", "timpani", "timpani"],
  ["Timbales", "timpani", "timpani"], ["Bass Drum", "bass-drum", "percussion"], ["Gran Cassa", "bass-drum", "percussion"],
  ["Triangel", "triangle", "percussion"], ["Piatti", "cymbals", "percussion"], ["Tambour de basque", "tambourine", "percussion"],
  ["Harfe", "harp", "harp-keys"], ["Celesta", "celesta", "harp-keys"], ["Sopran", "voice", "voice"],
  ["Cor anglais", "english-horn", "woodwind"], ["Corno inglese", "english-horn", "woodwind"],
  ["Bass Clarinet", "bass-clarinet", "woodwind"], ["Fagotto 1", "bassoon", "woodwind"], ["Kontrafagott", "contrabassoon", "woodwind"],
  ["Basset Horn", "basset-horn", "woodwind"], ["Bass Sarrusophone", "sarrusophone", "woodwind"],
] as const;

describe("names of the orchestra", () => {
  it.each(NAMES)("%s is a %s of the %s", (text, instrument, group) => {
    expect(readOrchestraName(text)).toMatchObject({ instrument, group });
  });

  it.each(["Lanterns", "", "12", "p dolce"])("%j is none", (text) => {
    expect(readOrchestraName(text)).toBeUndefined();
  });

  it("knows the players", () => {
    expect(readOrchestraName("Horn 3, 4")?.players).toEqual([3, 4]);
    expect(readOrchestraName("II. Violine")?.players).toEqual([2]);
  });
});

// Source of the ids: MusicXML 4.0 standard sounds (sounds.xml), from memory but for those in the corpus.
it.each([
  ["brass.trumpet.c", "brass"],
  ["drum.timpani", "timpani"],
  ["drum.bass-drum", "percussion"],
  ["metal.cymbal.crash", "percussion"],
  ["strings.group", "strings"],
  ["pluck.harp", "harp-keys"],
  ["keyboard.celesta", "harp-keys"],
  ["wind.reed.oboe", "woodwind"],
  ["voice.soprano", "voice"],
  ["synth.pad", undefined],
])("the sound %s is %s", (sound, group) => {
  expect(groupOfSound(sound)).toBe(group);
});

it("a plain name outweighs a sound, a doubtful one does not", () => {
  const part = (name: string, sound: string) => ({
    id: "P1",
    name,
    abbreviation: "",
    scoreInstruments: [{ id: "I1", name, sound }],
  });
  expect(orchestraGroup(part("Trompete", "keyboard.piano"))).toBe("brass");
  expect(orchestraGroup(part("Bass", "voice.bass"))).toBe("voice");
  expect(orchestraGroup(part("Alto", "strings.viola"))).toBe("strings");
  expect(orchestraGroup(part("Part 7", "brass.tuba"))).toBe("brass");
  expect(orchestraGroup(part("Part 7", ""))).toBe("other");
});
