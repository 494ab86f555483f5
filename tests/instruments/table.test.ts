import { Interval, Note } from "tonal";
import { describe, expect, it } from "vitest";
import {
  INSTRUMENTS,
  instrumentList,
  instrumentsFor,
  instrumentsForSound,
  notationFor,
} from "../../src/instruments/table.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../../src/model/instrument.js";
import type { SpelledPitch, Step } from "../../src/model/score.js";
import { midiNumber, parsePitch, pitchName, soundingPitch } from "../../src/theory/pitch.js";

const MUSIC21 = "music21 instrument.py (2026): interval of the instrument class";
const DATA_FILE = "instruments.xml of an open notation program: transposeChromatic/Diatonic";
const GROVE = "Grove, Dictionary of Music and Musicians I (1879/1900), p. 362";
const BRITANNICA = "Encyclopaedia Britannica 11th ed. III (1911), Bass Clarinet";
const W3C = "MusicXML 4.0 <transpose> example: diatonic -4, chromatic -7";
const AT_PITCH = "non-transposing instrument, common practice";

/**
 * Written to sounding as these sources put it, one interval a notation, in tonal's names: M-9 is
 * a major ninth down.
 */
const PUBLISHED: Readonly<Record<InstrumentId, readonly (readonly [string, string])[]>> = {
  "clarinet-bflat": [["M-2", `${MUSIC21}; ${GROVE}`]],
  "clarinet-a": [["m-3", GROVE]],
  "clarinet-eflat": [["m3", GROVE]],
  "clarinet-d": [["M2", DATA_FILE]],
  "clarinet-c": [["P1", DATA_FILE]],
  "clarinet-aflat": [["m6", DATA_FILE]],
  "bass-clarinet-bflat": [
    ["M-9", `${BRITANNICA}; ${MUSIC21}`],
    ["M-2", `${BRITANNICA}; ${DATA_FILE}`],
  ],
  "bass-clarinet-a": [
    ["m-10", BRITANNICA],
    ["m-3", DATA_FILE],
  ],
  "basset-horn-f": [
    ["P-5", DATA_FILE],
    ["P4", "old bass clef: from memory"],
  ],
  "basset-clarinet-a": [["m-3", DATA_FILE]],
  "alto-clarinet-eflat": [["M-6", DATA_FILE]],
  "contra-alto-clarinet-eflat": [["M-13", DATA_FILE]],
  "contrabass-clarinet-bflat": [
    ["M-16", DATA_FILE],
    ["M-9", "bass clef: from memory"],
  ],
  flute: [["P1", AT_PITCH]],
  piccolo: [["P8", MUSIC21]],
  "alto-flute": [["P-4", "instrument in G: common practice"]],
  oboe: [["P1", AT_PITCH]],
  "oboe-damore": [["m-3", "instrument in A: common practice"]],
  "english-horn": [["P-5", `${W3C}; ${MUSIC21}`]],
  bassoon: [["P1", AT_PITCH]],
  contrabassoon: [["P-8", DATA_FILE]],
  "saxophone-soprano": [["M-2", DATA_FILE]],
  "saxophone-alto": [["M-6", MUSIC21]],
  "saxophone-tenor": [["M-9", MUSIC21]],
  "saxophone-baritone": [["M-13", MUSIC21]],
};

/** Every spelling from double flat to double sharp in the octaves 1 to 7: 245 pitches. */
const SPELLINGS: readonly SpelledPitch[] = (["C", "D", "E", "F", "G", "A", "B"] as Step[]).flatMap(
  (step) =>
    [-2, -1, 0, 1, 2].flatMap((alter) =>
      [1, 2, 3, 4, 5, 6, 7].map((octave) => ({ step, alter, octave })),
    ),
);

const NOTATIONS = instrumentList.flatMap((instrument) =>
  instrument.notations.map((notation, index) => {
    const [interval, source] = PUBLISHED[instrument.id][index] ?? ["", "no published interval"];
    return { id: instrument.id, clef: notation.description, interval, source, notation };
  }),
);

describe("the instrument table", () => {
  it("has one row for every id, each filed under its own id", () => {
    expect(Object.keys(INSTRUMENTS).sort()).toEqual([...INSTRUMENT_IDS].sort());
    for (const id of INSTRUMENT_IDS) expect(INSTRUMENTS[id].id).toBe(id);
    expect(instrumentList.map(({ id }) => id).sort()).toEqual([...INSTRUMENT_IDS].sort());
  });

  it("has as many notations as published intervals", () => {
    for (const id of INSTRUMENT_IDS)
      expect(INSTRUMENTS[id].notations).toHaveLength(PUBLISHED[id].length);
  });

  it.each(NOTATIONS)("transposes $id ($clef) by $interval: $source", ({ interval, notation }) => {
    const { diatonic, chromatic, octaveChange } = notation.transposition;
    expect(chromatic + 12 * octaveChange).toBe(Interval.semitones(interval));
    // tonal counts a unison as 1 and a second as 2, up or down.
    const number = Interval.num(interval);
    expect(diatonic + 7 * octaveChange).toBe(number - Math.sign(number));
  });

  it.each(NOTATIONS)("spells what $id ($clef) sounds as tonal does", ({ interval, notation }) => {
    const ours = SPELLINGS.map((pitch) => pitchName(soundingPitch(pitch, notation.transposition)));
    const tonals = SPELLINGS.map((pitch) => Note.transpose(pitchName(pitch), interval));
    expect(SPELLINGS).toHaveLength(245);
    expect(ours).toEqual(tonals);
  });

  it.each(instrumentList)("describes $id completely", (instrument) => {
    expect(instrument.name).not.toBe("");
    expect(instrument.shortName.length).toBeLessThanOrEqual(11);
    expect(instrument.source).not.toBe("");
    expect(midiNumber(instrument.lowest)).toBeLessThan(midiNumber(instrument.highest));
    expect(instrument.sounds[0]).toMatch(/^wind\.(reed|flutes)\./);
    // The instrument's own key is what a written C sounds like.
    const sounding = soundingPitch(parsePitch("C4"), instrument.notations[0].transposition);
    const fifths = "FCGDAEB".indexOf(sounding.step) - 1 + 7 * sounding.alter;
    expect(instrument.keyFifths).toBe(fifths);
  });

  it("sounds the lowest clarinet notes where handbooks put them", () => {
    // Grove I, p. 362: the lowest E sounds D on the B-flat, C-sharp on the A clarinet.
    const lowest = (id: InstrumentId) =>
      pitchName(soundingPitch(INSTRUMENTS[id].lowest, INSTRUMENTS[id].notations[0].transposition));
    expect(lowest("clarinet-bflat")).toBe("D3");
    expect(lowest("clarinet-a")).toBe("C#3");
    // The bassoon's low B-flat an octave down, and a low C bass clarinet: B-flat 1 (data file).
    expect(lowest("contrabassoon")).toBe("Bb0");
    expect(lowest("bass-clarinet-bflat")).toBe("Bb1");
  });

  it("lets B-flat, A, C and D clarinets stand in for each other, and the two basses", () => {
    const groups = new Map<string, string[]>();
    for (const { id, standInGroup } of instrumentList)
      if (standInGroup) groups.set(standInGroup, [...(groups.get(standInGroup) ?? []), id]);
    expect([...groups.values()].map((ids) => ids.sort())).toEqual([
      ["clarinet-a", "clarinet-bflat", "clarinet-c", "clarinet-d"],
      ["bass-clarinet-a", "bass-clarinet-bflat"],
    ]);
  });
});

describe("notationFor", () => {
  const bass = INSTRUMENTS["bass-clarinet-bflat"];
  const inBassClef = { diatonic: -1, chromatic: -2, octaveChange: 0 };

  it("finds the notation of a transposition", () => {
    expect(notationFor(bass, inBassClef)?.description).toMatch(/^bass clef/);
    expect(notationFor(bass, { ...inBassClef, octaveChange: -1 })?.description).toMatch(/^treble/);
  });

  it("does not care how the octaves are written", () => {
    const together = { diatonic: -8, chromatic: -14, octaveChange: 0 };
    expect(notationFor(bass, together)).toBe(bass.notations[0]);
  });

  it("tells enharmonic transpositions apart, and knows what is not there", () => {
    expect(notationFor(bass, { diatonic: -2, chromatic: -2, octaveChange: -1 })).toBeUndefined();
    expect(notationFor(INSTRUMENTS.flute, inBassClef)).toBeUndefined();
  });
});

describe("instrumentsFor", () => {
  // Common practice, no source: what a reader takes such a part to be for.
  it.each([
    [-1, -2, 0, ["clarinet-bflat", "saxophone-soprano", "bass-clarinet-bflat"]],
    [-2, -3, 0, ["clarinet-a", "oboe-damore", "basset-clarinet-a", "bass-clarinet-a"]],
    [2, 3, 0, ["clarinet-eflat"]],
    [0, 0, 0, ["flute", "oboe", "bassoon", "clarinet-c"]],
    [-4, -7, 0, ["english-horn", "basset-horn-f"]],
    [-1, -2, -1, ["bass-clarinet-bflat", "saxophone-tenor", "contrabass-clarinet-bflat"]],
    [-5, -9, 0, ["saxophone-alto", "alto-clarinet-eflat"]],
    [-6, -10, 0, []],
  ])("puts the usual ones first: %i, %i, octave %i", (diatonic, chromatic, octaveChange, ids) => {
    const found = instrumentsFor({ diatonic, chromatic, octaveChange });
    expect(found.map(({ id }) => id)).toEqual(ids);
  });
});

describe("instrumentsForSound", () => {
  // Ids: MusicXML 4.0 sounds.xml; the alias is music21's.
  it.each([
    ["wind.reed.clarinet.a", ["clarinet-a"]],
    ["wind.reed.clarinet.bass", ["bass-clarinet-bflat", "bass-clarinet-a"]],
    [
      "wind.reed.clarinet",
      ["clarinet-bflat", "clarinet-a", "clarinet-eflat", "clarinet-c", "clarinet-d"],
    ],
    ["wind.reed.saxophone.alto", ["saxophone-alto"]],
    ["wind.flutes.piccolo", ["piccolo"]],
    ["brass.french-horn", []],
    ["", []],
  ])("%s", (sound, ids) => {
    expect(instrumentsForSound(sound).map(({ id }) => id)).toEqual(ids);
  });

  it("finds every instrument by each of its sounds", () => {
    for (const instrument of instrumentList)
      for (const sound of instrument.sounds)
        expect(instrumentsForSound(sound)).toContain(instrument);
  });
});
