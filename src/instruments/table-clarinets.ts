import { instrument, SOURCES } from "./rows.js";

const { musicxml, dataFile, music21, grove, britannica } = SOURCES;

/**
 * B-flat, A, C and D clarinets may stand in for each other. Instruments wanted for their own
 * sound (E-flat, bass, basset horn ...) may not.
 */
const CLARINETS = "clarinets";
/** The A bass clarinet is obsolete: its parts are played on the B-flat. */
const BASS_CLARINETS = "bass clarinets";

/** Every size shares the unspecific sound: files use it for whichever clarinet is meant. */
const ANY_CLARINET = "wind.reed.clarinet";

export const CLARINET_ROWS = {
  "clarinet-bflat": instrument({
    id: "clarinet-bflat",
    name: "B-flat clarinet",
    shortName: "B♭",
    family: "clarinet",
    notations: [["treble clef, sounds a major second lower", -1, -2, 0]],
    range: ["E3", "C7"],
    sounds: ["wind.reed.clarinet.bflat", ANY_CLARINET],
    standInGroup: CLARINETS,
    sources: [musicxml, dataFile, music21, grove],
  }),
  "clarinet-a": instrument({
    id: "clarinet-a",
    name: "A clarinet",
    shortName: "A",
    family: "clarinet",
    notations: [["treble clef, sounds a minor third lower", -2, -3, 0]],
    range: ["E3", "C7"],
    sounds: ["wind.reed.clarinet.a", ANY_CLARINET],
    standInGroup: CLARINETS,
    sources: [musicxml, dataFile, grove],
  }),
  "clarinet-eflat": instrument({
    id: "clarinet-eflat",
    name: "E-flat clarinet",
    shortName: "E♭",
    family: "clarinet",
    notations: [["treble clef, sounds a minor third higher", 2, 3, 0]],
    range: ["E3", "C7"],
    sounds: ["wind.reed.clarinet.eflat", ANY_CLARINET],
    sources: [musicxml, dataFile, grove],
  }),
  "clarinet-d": instrument({
    id: "clarinet-d",
    name: "D clarinet",
    shortName: "D",
    family: "clarinet",
    notations: [["treble clef, sounds a major second higher", 1, 2, 0]],
    range: ["E3", "C7"],
    // sounds.xml lists no D clarinet.
    sounds: [ANY_CLARINET],
    standInGroup: CLARINETS,
    sources: [musicxml, dataFile],
  }),
  "clarinet-c": instrument({
    id: "clarinet-c",
    name: "C clarinet",
    shortName: "C",
    family: "clarinet",
    notations: [["treble clef, sounds as written", 0, 0, 0]],
    range: ["E3", "Bb6"],
    // sounds.xml lists no C clarinet.
    sounds: [ANY_CLARINET],
    standInGroup: CLARINETS,
    sources: [musicxml, dataFile],
  }),
  "clarinet-aflat": instrument({
    id: "clarinet-aflat",
    name: "A-flat clarinet",
    shortName: "A♭",
    family: "clarinet",
    notations: [["treble clef, sounds a minor sixth higher", 5, 8, 0]],
    range: ["E3", "C7"],
    sounds: ["wind.reed.clarinet.piccolo.aflat"],
    sources: [musicxml, dataFile],
  }),
  "bass-clarinet-bflat": instrument({
    id: "bass-clarinet-bflat",
    name: "B-flat bass clarinet",
    shortName: "bass",
    family: "clarinet",
    // Parts in mixed ("Russian") notation change between the two with the clef.
    notations: [
      ["treble clef, sounds a major ninth lower", -1, -2, -1],
      ["bass clef, sounds a major second lower", -1, -2, 0],
    ],
    range: ["C3", "A6"],
    sounds: ["wind.reed.clarinet.bass"],
    standInGroup: BASS_CLARINETS,
    sources: [musicxml, dataFile, britannica],
  }),
  "bass-clarinet-a": instrument({
    id: "bass-clarinet-a",
    name: "A bass clarinet",
    shortName: "bass A",
    family: "clarinet",
    notations: [
      ["treble clef, sounds a minor tenth lower", -2, -3, -1],
      ["bass clef, sounds a minor third lower", -2, -3, 0],
    ],
    range: ["E3", "A6"],
    sounds: ["wind.reed.clarinet.bass"],
    standInGroup: BASS_CLARINETS,
    sources: [musicxml, dataFile, britannica, "low note: from memory"],
  }),
  "basset-horn-f": instrument({
    id: "basset-horn-f",
    name: "basset horn in F",
    shortName: "basset hn",
    family: "clarinet",
    notations: [
      ["treble clef, sounds a fifth lower", -4, -7, 0],
      // From memory: low notes of older parts.
      ["bass clef, old notation, sounds a fourth higher", 3, 5, 0],
    ],
    range: ["C3", "A6"],
    sounds: ["wind.reed.basset-horn"],
    sources: [musicxml, dataFile, "old bass clef: from memory"],
  }),
  "basset-clarinet-a": instrument({
    id: "basset-clarinet-a",
    name: "basset clarinet in A",
    shortName: "basset cl",
    family: "clarinet",
    notations: [["treble clef, sounds a minor third lower", -2, -3, 0]],
    range: ["C3", "C7"],
    sounds: ["wind.reed.clarinet.basset"],
    sources: [musicxml, dataFile],
  }),
  "alto-clarinet-eflat": instrument({
    id: "alto-clarinet-eflat",
    name: "E-flat alto clarinet",
    shortName: "alto cl",
    family: "clarinet",
    notations: [["treble clef, sounds a major sixth lower", -5, -9, 0]],
    range: ["E3", "A6"],
    sounds: ["wind.reed.clarinet.alto"],
    sources: [musicxml, dataFile],
  }),
  "contra-alto-clarinet-eflat": instrument({
    id: "contra-alto-clarinet-eflat",
    name: "E-flat contra-alto clarinet",
    shortName: "contra-alto",
    family: "clarinet",
    notations: [["treble clef, sounds an octave and a major sixth lower", -5, -9, -1]],
    range: ["Eb3", "C7"],
    sounds: ["wind.reed.clarinet.contra-alto"],
    sources: [musicxml, dataFile],
  }),
  "contrabass-clarinet-bflat": instrument({
    id: "contrabass-clarinet-bflat",
    name: "B-flat contrabass clarinet",
    shortName: "contrabass",
    family: "clarinet",
    notations: [
      ["treble clef, sounds two octaves and a major second lower", -1, -2, -2],
      ["bass clef, sounds a major ninth lower", -1, -2, -1],
    ],
    range: ["C3", "C7"],
    sounds: ["wind.reed.clarinet.contrabass"],
    sources: [musicxml, dataFile, "bass clef: from memory"],
  }),
} as const;
