import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { CHANGE_ROWS, LOOK_ALIKE_ROWS } from "../../src/instruments/change-words-data.js";
import { readChangeWords, type ChangeWords } from "../../src/instruments/change-words.js";
import type { NamedInstrument } from "../../src/instruments/names.js";
import type { Language } from "../../src/instruments/names-data.js";
import { MAX_TEXT_LENGTH } from "../../src/instruments/tokens.js";

const [A, BFLAT, C, EFLAT, E, BNATURAL] = [3, -2, 0, -3, 4, 5];

/** A target in short: a key in fifths, a family, or both. */
type Target = number | NonNullable<NamedInstrument["family"]> | NamedInstrument;

function nameOf(target: Target): NamedInstrument {
  if (typeof target === "number") return { keyFifths: target };
  return typeof target === "string" ? { family: target } : target;
}
function clarinet(keyFifths: number): NamedInstrument {
  return { family: "clarinet", keyFifths };
}

/** Text, language, target, players. */
type Row = readonly [string, Language, Target, (readonly number[])?];

// Observed in public score files: "Muta in B", "muta in A", "IV. muta in E" (MusicXML encoding
// of a late-19th-century symphony), "[muta in Fl.II.]", "muta in Flauto piccolo", "to bass
// clarinet" (LilyPond engravings). All others: common practice, no source.
const PREPARE: readonly Row[] = [
  ["muta in La", "it", A],
  ["Muta in B", "it", BFLAT],
  ["muta in A", "it", A],
  ["IV. muta in E", "it", E, [4]],
  ["MUTA IN LA", "it", A],
  ["muta in Si♭", "it", BFLAT],
  ["muta\u00a0in\u00a0Si\uE260", "it", BFLAT],
  ["Muta in\nLa", "it", A],
  ["(muta in Sib)", "it", BFLAT],
  ["muta in mi bemolle", "it", EFLAT],
  ["muta in Es.", "it", EFLAT],
  ["muta in Do", "it", C],
  ["muta in H", "it", BNATURAL],
  ["2. muta in Es", "it", EFLAT, [2]],
  ["1. 2. muta in A", "it", A, [1, 2]],
  ["1° e 2° mutano in Sib", "it", BFLAT, [1, 2]],
  ["mutano in Sib", "it", BFLAT],
  ["muta subito in La", "it", A],
  ["poi muta in La", "it", A],
  ["Cl. 2 muta in Cl. basso", "it", "bass-clarinet", [2]],
  ["muta in Clar. basso", "it", "bass-clarinet"],
  ["muta in Clarinetto in La", "it", clarinet(A)],
  ["muta in Flauto piccolo", "it", "piccolo"],
  ["[muta in Fl.II.]", "it", { family: "flute", players: [2] }],
  ["muta in Corno inglese", "it", "english-horn"],
  ["cambia in La", "it", A],
  ["prende il Clar. basso", "it", "bass-clarinet"],
  ["prende l'ottavino", "it", "piccolo"],
  ["nimmt A-Klarinette", "de", clarinet(A)],
  ["nimmt B-Klar.", "de", clarinet(BFLAT)],
  ["nimmt kl. Klar. (Es)", "de", { family: "small-clarinet", keyFifths: EFLAT }],
  ["nimmt wieder A-Klar.", "de", clarinet(A)],
  ["nimmt Englischhorn", "de", "english-horn"],
  ["3. u. 4. nehmen Bassklar.", "de", "bass-clarinet", [3, 4]],
  ["2. A-Klarinette nehmen", "de", clarinet(A), [2]],
  ["wechselt zu Bassklar.", "de", "bass-clarinet"],
  ["wechselt nach B", "de", BFLAT],
  ["Wechsel in A", "de", A],
  ["Wechsel zur Bassklarinette", "de", "bass-clarinet"],
  ["nach A umstimmen", "de", A],
  ["zur Bassklarinette", "de", "bass-clarinet"],
  ["zuletzt auch Es-Klar.", "de", clarinet(EFLAT)],
  ["prenez la clarinette en la", "fr", clarinet(A)],
  ["prenez la clar. en si♭", "fr", clarinet(BFLAT)],
  ["prend la petite Clar. (mib)", "fr", { family: "small-clarinet", keyFifths: EFLAT }],
  ["prenez le cor anglais", "fr", "english-horn"],
  ["changez en si♭", "fr", BFLAT],
  ["changez en la", "fr", A],
  ["changer en sib", "fr", BFLAT],
  ["changent en La", "fr", A],
  ["mettez en si b", "fr", BFLAT],
  ["take A clarinet", "en", clarinet(A)],
  ["take a B♭ clarinet", "en", clarinet(BFLAT)],
  ["take bass cl.", "en", "bass-clarinet"],
  ["To Alto Sax", "en", "saxophone-alto"],
  ["to bass clarinet", "en", "bass-clarinet"],
  ["to B. Cl.", "en", "bass-clarinet"],
  ["to E♭ cl.", "en", clarinet(EFLAT)],
  ["To Cl.", "en", "clarinet"],
  ["To A", "en", A],
  ["to B♭", "en", BFLAT],
  ["2nd to Bass Clarinet", "en", "bass-clarinet", [2]],
  ["change to B♭", "en", BFLAT],
  ["change to B flat clarinet", "en", clarinet(BFLAT)],
  ["switch to Alto Sax", "en", "saxophone-alto"],
  ["back to B♭ Cl.", "en", clarinet(BFLAT)],
  ["cambia a Clarinete en La", "es", clarinet(A)],
  ["muta en La", "es", A],
];

const LABELS: readonly Row[] = [
  ["in La", "it", A],
  ["in Sib", "it", BFLAT],
  ["in B", "de", BFLAT],
  ["in Es", "de", EFLAT],
  ["in A", "en", A],
  ["(in A)", "en", A],
  ["1. in A", "en", A, [1]],
  ["en ut", "fr", C],
  ["en si bémol", "fr", BFLAT],
  ["en mi♭", "fr", EFLAT],
  ["Clarinet in A", "en", clarinet(A)],
  ["A Clarinet", "en", clarinet(A)],
  ["Cl. in La", "it", clarinet(A)],
  ["Klarinette in B", "de", clarinet(BFLAT)],
  ["Clarinette en la", "fr", clarinet(A)],
  ["Clarinetto in Si♭", "it", clarinet(BFLAT)],
  ["Bass Clarinet", "en", "bass-clarinet"],
  ["Alto Sax", "en", "saxophone-alto"],
  ["Flute", "en", "flute"],
  ["Corno inglese", "it", "english-horn"],
];

// Look-alikes: common practice, no source; timpani tunings as in LilyPond engravings
// ("muta in G, D", "C muta in H"); harp pedals and mutes as in the OpenScore Orchestra corpus.
const LOOK_ALIKES: readonly string[] = [
  "in tempo", "in A major", "in C minor", "in A-Dur", "in B-dur", "in la maggiore", "en la majeur",
  "en ut mineur", "in 2", "in 4", "in one", "in modo di marcia", "div. in 3", "Div. en 2",
  "To Coda", "to Tpt. cue", "to Fl. cue", "to the end", "to p", "to B", "to C", "D.S. al Coda",
  "a 2", "a 2.", "a  2", "zu 2", "1.", "1., 2.", "I.", "Solo", "tutti", "Soli", "unis.",
  "con sord.", "con sordino", "senza sord.", "muta la sordina", "muta in sordina",
  "cambia il tempo", "nimmt zu", "nimmt ab", "Dämpfer auf", "nimmt Dämpfer", "umstimmen in B",
  "en dehors", "en mesure", "en animant", "en élargissant", "prenez le temps",
  "prenez la sourdine", "mettez la sourdine", "enlevez la Sourdine", "take your time",
  "take a breath", "take the repeat", "prende fiato", "take mute off", "take 2",
  "muta in Fa, Do", "muta in G, D", "C muta in H", "muta Sol in La", "Timpani muta in A",
  "Corno III muta in E", "do not change to A",
  "Fl.", "Ob. solo", "Hn.", "B. Cl.", "Oboe 1", "Clarinet solo", "Fl. cue", "Violin",
  "Horn in F", "Trumpet in B", "Bass", "Alto", "Soprano", "Clarino",
  "A", "B", "La", "Si♭", "Allegro", "Tempo I.", "a tempo", "poco a poco", "cresc. poco a poco",
  "Mi ♮  Fa ♯  Sol ♮  La ♮  Si ♮  Do ♮  Ré ♮", "préparez mi ♮ fa ♮ sol ♭ la ♮ si ♭", "Sul G",
  "petit tambourine et castagnettes", "variation 1", ".", "", " ",
]; // prettier-ignore

const UNCLEAR: readonly string[] = [
  "muta", "muta in", "muta in Tárogató", "cambia in tromba", "prende il tamburo",
  "nimmt Ratsche", "wechselt zu Trompete", "take recorder", "change to ocarina",
  "switch to keyboards", "prenez le tambour", "take A cl. or B♭ cl.", "muta in A; 2. in B",
  "muta in Fl. e Picc.", "if you like change to A",
]; // prettier-ignore

function change(verb: "prepare" | "label", [text, language, target, players]: Row): ChangeWords {
  const name = nameOf(target);
  const printed = text.trim();
  return { kind: "change", verb, name, ...(players && { players }), language, text: printed };
}

describe("readChangeWords", () => {
  it.each(PREPARE.map((row) => [row[0], change("prepare", row)] as const))(
    "%j prepares a change",
    (text, expected) => {
      expect(readChangeWords(text)).toEqual(expected);
    },
  );

  it.each(LABELS.map((row) => [row[0], change("label", row)] as const))(
    "%j labels the notes",
    (text, expected) => {
      expect(readChangeWords(text)).toEqual(expected);
    },
  );

  it.each(LOOK_ALIKES)("%j is no change", (text) => {
    expect(readChangeWords(text)).toEqual({ kind: "none" });
  });

  it.each(UNCLEAR)("%j asks for something that is not understood", (text) => {
    expect(readChangeWords(text)).toEqual({ kind: "unclear", text });
  });

  it("understands every pattern of the table with a target it allows", () => {
    for (const { pattern, target, verb } of CHANGE_ROWS) {
      const text = pattern.replace("X", target === "key" ? "Sib" : "Clarinetto in Sib");
      expect(readChangeWords(text), text).toMatchObject({ kind: "change", verb });
    }
  });

  it("takes the example of every look-alike row for what it is", () => {
    for (const { example } of LOOK_ALIKE_ROWS)
      expect(readChangeWords(example), example).toEqual({ kind: "none" });
  });

  it("reads no text longer than the cap, and none of many words", () => {
    const filled = (length: number) => "muta in La".padEnd(length, " ");
    expect(readChangeWords(filled(MAX_TEXT_LENGTH)).kind).toBe("change");
    expect(readChangeWords(filled(MAX_TEXT_LENGTH + 1))).toEqual({ kind: "none" });
    expect(readChangeWords("to ".repeat(60))).toEqual({ kind: "none" });
  });

  it("gives one of the three kinds for any text made of its own words", () => {
    const words = fc.constantFrom(
      ...["muta", "in", "La", "2.", "Cl.", "to", "A", "♭", "b", "e", ",", "take", "nehmen", "en"],
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 12 }), (list) => {
        const { kind } = readChangeWords(list.join(" "));
        expect(["change", "unclear", "none"]).toContain(kind);
      }),
    );
  });
});
