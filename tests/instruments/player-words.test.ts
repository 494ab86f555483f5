import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readPlayerWords } from "../../src/instruments/player-words.js";
import { MAX_TEXT_LENGTH } from "../../src/instruments/tokens.js";

// Texts marked "corpus" stand in the public scores that the corpus is made of; the rest is common
// practice, no source.

/** Texts by the players they name. */
const SOME: readonly (readonly [string, readonly number[]])[] = [
  // Corpus.
  ...["1.", "I.", "1. solo", "1. Solo", "1.  Solo", "1. sourd.", "1. sans sourd.", "1.  sans sourd."].map((text) => [text, [1]] as const),
  ...["Solo 1", "Solo I", "solo II."].map((text) => [text, [/2|II/.test(text) ? 2 : 1]] as const),
  ...["2.", "2. sourdine"].map((text) => [text, [2]] as const),
  ...["3.", "3.  Solo", "3. sourd."].map((text) => [text, [3]] as const),
  ...["4.", "4. sourd."].map((text) => [text, [4]] as const),
  ["1., 2.", [1, 2]],
  // A label for one player.
  ["2. in A", [2]],
  ["2., 3.", [2, 3]],
  // Others.
  ...["1º", "1°", "1o", "I. Solo", "I Solo", "1 Solo", "I°", "(1.)", "[I.]", "I", "1. dolce", "I. espr."].map((text) => [text, [1]] as const),
  ...["1. p dolce", "1. mf", "1. con sord."].map((text) => [text, [1]] as const),
  ...["II.", "II", "2º", "2. Solo", "II. Solo", "2. p", "2. dolce"].map((text) => [text, [2]] as const),
  ...["III.", "III", "3º"].map((text) => [text, [3]] as const),
  ...["1. 2.", "1.2.", "I. II.", "I., II.", "1. e 2.", "1. u. 2.", "1. und 2.", "1. & 2.", "1./2.", "1. et 2."].map((text) => [text, [1, 2]] as const),
  ...["3. 4.", "III. IV.", "3. u. 4."].map((text) => [text, [3, 4]] as const),
]; // prettier-ignore

/** The upper player's, whatever number that has. */
const UPPER = ["Solo", " Solo", "  solo", "Solo espr.", "SOLO"] as const;

const ALL = [
  // Corpus.
  "a 2", "a 2.", "a2", "à 2", "div.", "Div.", "Div. ", "Div", "divisi", "unis.", "unis", "Unis.", "Unis",
  "Div. en 2", "Div en 2", "Div. e 2", "div. en 3", "div. pizz.", "Tous div.", "tous div. en 2",
  // Others.
  "A 2", "a  2", "a\u00a02", "(a 2)", "[a 2]", "à2", "zu 2", "zu zweit", "a due", "à deux", "unisono", "unison",
  "a 2 dolce", "a 2 marc.", "a 2 ff", "zu 2 p", "tutti", "Tutti", "beide", "Beide", "both", "geteilt", "a 3", "a 4",
] as const; // prettier-ignore

const LOOK_ALIKES = [
  // Corpus.
  "1", "2", "3", "0....", "4....", "12", "Tempo I.", "sourd.", "sans sourd.", "mettez la sourdine", "ôtez la sourdine",
  "Un peu à l'aise, souple, expressif, toujours léger", "2 pizz", "2ème pupitre", "1er. pupitre",
  // Tempi, movements and endings.
  "1. Tempo", "1º tempo", "Tempo I", "Tempo 1", "Tempo 1º", "Tempo primo", "I. Allegro", "II. Andante", "1. Satz",
  "2. Satz", "I. Teil", "Act 2.", "1st ending", "1. Mal", "2. volta", "1a volta", "Allegro", "a tempo", "in 2",
  "in tempo", "2/4", "Variation 1.", "Var. II",
  // Changes and names of instruments.
  "muta in La", "2. muta in Es", "1. muta in La, 2. muta in Mi♭", "I. muta in A", "a 2 muta in La", "in A",
  "Fl. 1", "Cl. II", "Clarinet 2", "2. Klarinette", "Solo clarinet in A", "2 Clarinetti",
  // How to play, and other words.
  "dolce", "p", "sempre p", "a piacere", "al fine", "a", "i", "Viertel", "zu", "D.S.", "attacca", "tacet",
  "2. tacet", "1. Pult", "poco a poco", "A", "B", "", "   ", ".",
] as const; // prettier-ignore

describe("readPlayerWords", () => {
  it.each(SOME)("%j names players %j", (text, players) => {
    expect(readPlayerWords(text)).toEqual({ kind: "some", players });
  });

  it.each(UPPER)("%j is for the upper player", (text) => {
    expect(readPlayerWords(text)).toEqual({ kind: "upper" });
  });

  it.each(ALL)("%j is for all", (text) => {
    expect(readPlayerWords(text)).toMatchObject({ kind: "all" });
  });

  it.each(LOOK_ALIKES)("%j does not say who plays", (text) => {
    expect(readPlayerWords(text)).toBeUndefined();
  });

  it("is tested with every text once", () => {
    const texts = [...SOME.map(([text]) => text), ...UPPER, ...ALL, ...LOOK_ALIKES];
    expect(texts.filter((text, index) => texts.indexOf(text) < index)).toEqual([]);
  });

  it("reads no text longer than the cap", () => {
    const filled = (length: number) => "a 2".padEnd(length, " ");
    expect(readPlayerWords(filled(MAX_TEXT_LENGTH))).toEqual({ kind: "all", count: 2 });
    expect(readPlayerWords(filled(MAX_TEXT_LENGTH + 1))).toBeUndefined();
  });

  it("names players once each and in order, in any text made of its own words", () => {
    const words = fc.constantFrom(
      ...["1.", "2.", "II.", "3.", "a", "2", "zu", "Solo", ",", "e", "u.", "dolce", "div.", "Tempo", "in", "A"], // prettier-ignore
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 8 }), (list) => {
        const found = readPlayerWords(list.join(" "));
        if (found?.kind !== "some") return;
        const { players } = found;
        expect(players.length).toBeGreaterThan(0);
        expect(players).toEqual([...new Set(players)].sort((a, b) => a - b));
      }),
    );
  });
});
