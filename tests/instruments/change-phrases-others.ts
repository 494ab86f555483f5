import type { PhraseTable } from "./change-phrases.js";

// Common practice, no source.
// prettier-ignore
export const SPANISH: PhraseTable = {
  language: "es",
  phrases: [
    ["cambia a Clarinete en La", "prepare", "clarinet A"],
    ["cambia a requinto", "prepare", "small-clarinet"],
    ["cambiar a clarinete bajo", "prepare", "bass-clarinet"],
    ["muta en La", "prepare", "A"],
    ["2do muta en Si bemol", "prepare", "B♭", [2]],
    ["toma el clarinete en La", "prepare", "clarinet A"],
    ["toma el flautín", "prepare", "piccolo"],
    ["pasa al corno inglés", "prepare", "english-horn"],
    ["vuelve al clarinete en Si bemol", "prepare", "clarinet B♭"],
    ["Clarinete en Si bemol", "label", "clarinet B♭"],
  ],
};

// Transliterated; from memory. Names: music21 languageExcerpts/instrumentLookup.py.
// prettier-ignore
export const RUSSIAN: PhraseTable = {
  language: "ru",
  phrases: [
    ["meniaet na klarnet A", "prepare", "clarinet A"],
    ["meniaet na klarnet lia", "prepare", "clarinet A"],
    ["meniaet na si-bemol'", "prepare", "B♭"],
    ["vziat' bas-klarnet", "prepare", "bass-clarinet"],
    ["vziat' malyi klarnet", "prepare", "small-clarinet"],
    ["vziat' malaia fleita", "prepare", "piccolo"],
  ],
};
