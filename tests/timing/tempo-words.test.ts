import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isTempoWords, readTempoWords, type TempoTerm } from "../../src/timing/tempo-words.js";
import { corpusRoot } from "../support/corpus-root.js";
import { corpusAvailable, describeCorpus } from "../support/corpus.js";

/** A term in short: "tempo 133", "step 1.15", "slower 0.75", "return first", "free". */
function summary(term: TempoTerm): string {
  switch (term.kind) {
    case "tempo":
      return `tempo ${Math.round(term.beatsPerMinute.typical)}`;
    case "step":
      return `step ${term.factor.likely}`;
    case "gradual":
      return `${term.direction} ${term.factor.likely}`;
    case "return":
      return `return ${term.to}`;
    case "same-beat":
    case "free":
    case "pause":
    case "alla-breve":
      return term.kind;
  }
}
const summaries = (text: string) => readTempoWords(text).map(summary);

/** The single term of a text. */
function only(text: string): TempoTerm {
  const terms = readTempoWords(text);
  expect(terms, text).toHaveLength(1);
  return terms[0]!;
}
function tempoOf(text: string) {
  const term = only(text);
  if (term.kind !== "tempo") throw new Error(`"${text}" is read as ${term.kind}`);
  return term.beatsPerMinute;
}

// --- The table of published figures and common practice

interface ReferenceRow {
  readonly term: string;
  readonly kind: string;
  readonly bpm_low: string;
  readonly bpm_high: string;
  readonly bpm_typical: string;
  readonly note: string;
}

function reference(): readonly ReferenceRow[] {
  if (!corpusAvailable) return [];
  const text = readFileSync(join(corpusRoot(), "reference", "tempo_words.csv"), "utf8");
  return parse(text, { columns: true });
}

/** What stands in the table without being words: the name of a sign, an equation. */
const NO_WORDS = ["fermata", "sign", "note = note"];

/** "rallentando (rall.)" and "tempo primo / Tempo I" are two names each. */
function namesOf(term: string): readonly string[] {
  const remarks = [...term.matchAll(/\(([^)]*)\)/g)].flatMap(([, inner]) => inner!.split(/[,;]/));
  const short = remarks.map((each) => each.trim()).filter((each) => /^\p{L}+\.?$/u.test(each));
  const long = term.replace(/\([^)]*\)/g, "").split(/[/,]/);
  return [...long.map((each) => each.trim()), ...short].filter((name) => !NO_WORDS.includes(name));
}

const slower = (term: TempoTerm) => term.kind === "gradual" && term.direction === "slower";
const faster = (term: TempoTerm) => term.kind === "gradual" && term.direction === "faster";

/** What the `kind` column of the table asks of a term, by the name it is printed as. */
const KINDS: Readonly<Record<string, (term: TempoTerm, name: string) => boolean>> = {
  "step change": ({ kind }) => kind === "step",
  equation: ({ kind }) => kind === "same-beat",
  return: (term, name) =>
    term.kind === "return" && term.to === (/primo|\bI|^1er/u.test(name) ? "first" : "before"),
  "gradual slower": slower,
  "immediate slower": (term) => term.kind === "step" && term.factor.likely < 1,
  "gradual faster": faster,
  "gradual/immediate faster": (term) =>
    faster(term) || (term.kind === "step" && term.factor.likely > 1),
  "gradual slower and softer": slower,
  "gradual softer, may slow": (term) =>
    term.kind === "gradual" && slower(term) && term.factor.fast === 1,
  "no steady tempo": ({ kind }) => kind === "free",
  "extra time": ({ kind }) => kind === "pause",
  metre: ({ kind }) => kind === "alla-breve",
};

describeCorpus("tempo_words.csv", () => {
  const named = reference().flatMap((row) =>
    namesOf(row.term).map((name) => [name, row.kind, row] as const),
  );
  const tempi = named.filter(([, kind]) => kind === "tempo word");
  const figured = tempi.filter(([, , row]) => row.bpm_low || row.bpm_high || row.bpm_typical);
  const mapped = tempi.filter(([, , row]) => row.note.startsWith("treat as: "));
  const others = named.filter(([, kind]) => kind !== "tempo word");

  it("is all looked at", () => {
    expect(figured.length).toBeGreaterThanOrEqual(75);
    expect(mapped).toHaveLength(28);
    expect(others.length).toBeGreaterThanOrEqual(45);
    expect(tempi).toHaveLength(figured.length + mapped.length);
  });

  it.each(figured)("%j: %s with the figures of the table", (name, _kind, row) => {
    const { low, typical, high } = tempoOf(name);
    expect(low).toBeLessThanOrEqual(typical);
    expect(typical).toBeLessThanOrEqual(high);
    for (const figure of [row.bpm_low, row.bpm_typical, row.bpm_high].filter(Boolean).map(Number)) {
      expect(figure).toBeGreaterThanOrEqual(low);
      expect(figure).toBeLessThanOrEqual(high);
    }
  });

  it.each(mapped)("%j: %s like the Italian words it is mapped to", (name, _kind, { note }) => {
    const words = note.replace(/^treat as: /, "").match(/\p{L}+(?: moto| mosso)?/gu) ?? [];
    const said = words.flatMap((word) => {
      // With a capital, since "tranquillo" and "comodo" are expressions without.
      const terms = readTempoWords(`${word.charAt(0).toUpperCase()}${word.slice(1)}`);
      return terms.flatMap((each) => (each.kind === "tempo" ? [each.beatsPerMinute] : []));
    });
    const { typical } = tempoOf(name);
    expect(typical).toBeGreaterThanOrEqual(Math.min(...said.map(({ low }) => low)));
    expect(typical).toBeLessThanOrEqual(Math.max(...said.map(({ high }) => high)));
  });

  it.each(others)("%j: %s", (name, kind) => {
    expect(KINDS[kind]?.(only(name), name)).toBe(true);
  });

  it.each(NO_WORDS)("%j: no words of the tempo", (text) => {
    expect(readTempoWords(text)).toEqual([]);
  });
});

// --- Texts as they are printed

/**
 * Text, terms. Typical figures are medians of the published ones worked out by hand, such as Allegro:
 * 132, 132 and the middles 144, 138, 133. "Non troppo" and "poco" take a tenth off (or put a ninth on).
 */
// prettier-ignore
const PRINTED: readonly (readonly [string, ...string[]])[] = [
  // Observed in public score files (the OpenScore Orchestra corpus).
  ["Allegro non troppo", "tempo 120"],
  ["Allegro giocoso [", "tempo 133"],
  ["Allegro energico e passionato", "tempo 133"],
  ["Andante moderato [", "tempo 93"],
  ["Allegro vivace. ", "tempo 174"],
  ["Adagio", "tempo 60"],
  ["Assez animé,  léger,  gai", "tempo 109"],
  ["Più Allegro", "step 1.15"],
  ["Poco meno presto", "step 0.925"],
  ["Un peu serré", "step 1.075"],
  ["Animez. Plus expressif", "faster 1.25"],
  ["Cédez", "slower 0.75"],
  ["poco a poco più animato", "faster 1.25"],
  ["poco ritard.", "slower 0.87"],
  ["smorz.", "slower 0.85"],
  ["Mysterieux, soutenu. Poco rubato", "free"],
  ["Tempo I.", "return first"],
  ["in tempo", "return before"],
  // All others: common practice, no source.
  ["Allegro", "tempo 133"],
  ["ALLEGRO", "tempo 133"],
  ["Allegro ma non tanto", "tempo 120"],
  ["Allegro (ma non troppo)", "tempo 120"],
  ["Allegro con brio", "tempo 133"],
  ["Allegro con fuoco", "tempo 133"],
  ["Allegro assai", "tempo 144"],
  ["Molto adagio", "tempo 40"],
  ["Adagio molto", "tempo 40"],
  ["Molto vivace", "tempo 176"],
  ["Allegrissimo", "tempo 157"],
  ["Allegro, legato assai", "tempo 133"],
  ["Allegro non troppo forte", "tempo 133"],
  ["Andante con moto", "tempo 79"],
  ["Andante un poco sostenuto", "tempo 71"],
  ["Adagio ma non troppo lento", "tempo 67"],
  ["Andante quasi Allegretto", "tempo 84"],
  ["Poco allegretto", "tempo 98"],
  ["Un poco sostenuto", "tempo 74"],
  ["Maestoso", "tempo 88"],
  ["Allegro maestoso", "tempo 126"],
  ["Maestoso. Allegro", "tempo 88", "tempo 133"],
  ["Mosso", "tempo 96"],
  ["Con moto", "tempo 96"],
  ["vivo", "tempo 160"],
  ["lento vibrato", "tempo 52"],
  ["Presto possibile", "tempo 208"],
  ["III. Presto", "tempo 184"],
  ["Andante (♩ = 72)", "tempo 74"],
  ["Lebhaft", "tempo 146"],
  ["Lebhaft, doch nicht zu schnell", "tempo 131"],
  ["Mässig", "tempo 92"],
  ["mäßig", "tempo 92"],
  ["Sehr langsam", "tempo 48"],
  ["Breit", "tempo 48"],
  ["Langsam, nicht schleppend", "tempo 56"],
  ["fast langsam", "tempo 56"],
  ["Etwas bewegt", "tempo 85"],
  ["Nicht zu schnell", "tempo 119"],
  ["Nicht schnell", "tempo 107"],
  ["So schnell wie möglich", "tempo 208"],
  ["Lent", "tempo 52"],
  ["Très vif", "tempo 184"],
  ["tres vite", "tempo 144"],
  ["Modéré", "tempo 92"],
  ["anime", "tempo 133"],
  ["Pas trop vite", "tempo 120"],
  ["Très calme", "tempo 64"],
  ["Not too fast", "tempo 119"],
  ["Very slow", "tempo 48"],
  ["Fast and light", "tempo 132"],
  ["Allegro molto e maestoso", "tempo 137"],
  ["Allegro molto ma maestoso", "tempo 137"],
  ["Andante con moto assai", "tempo 79"],
  ["Maestoso (Lento)", "tempo 50"],
  ["Andante. Moderato", "tempo 74", "tempo 92"],
  ["Allegro, senza rit. molto", "tempo 133"],
  ["Sans presser, très calme", "tempo 64"],
  ["Solo. Tranquillo", "tempo 70"],
  ["Schnelles Tempo", "tempo 132"],
  ["Tempo di valse", "tempo 160"],
  ["Moderato, tempo di valse", "tempo 133"],
  ["Valse lente", "tempo 110"],
  ["Alla marcia", "tempo 112"],
  ["Marcia funebre", "tempo 54"],
  ["Tempo di menuetto", "tempo 116"],
  ["Walzer", "tempo 160"],

  ["più mosso", "step 1.15"],
  ["PIU MOSSO", "step 1.15"],
  ["più-mosso", "step 1.15"],
  ["Più mosso, ma non troppo", "step 1.075"],
  ["un poco più mosso", "step 1.075"],
  ["molto più mosso", "step 1.27"],
  ["Con più moto", "step 1.15"],
  ["Più vivo e animato", "step 1.15"],
  ["Più vivo & animato", "step 1.15"],
  ["Più allegro e vivace", "step 1.15"],
  ["più \u200b mosso", "step 1.15"],
  ["Più mosso ed accel.", "step 1.15", "faster 1.25"],
  ["a tempo, un poco ancora più mosso", "return before", "step 1.075"],
  ["Più lento", "step 0.85"],
  ["più tranquillo", "step 0.85"],
  ["meno lento", "step 1.15"],
  ["meno presto", "step 0.85"],
  ["Meno mosso e tranquillo", "step 0.85"],
  ["schneller", "step 1.15"],
  ["noch etwas langsamer", "step 0.925"],
  ["Langsamer und ruhiger", "step 0.85"],
  ["nicht so schnell", "step 0.85"],
  ["plus animé", "step 1.15"],
  ["moins vite", "step 0.85"],
  ["Plus lent et plus calme", "step 0.85"],
  ["a little slower", "step 0.925"],
  ["faster", "step 1.15"],
  ["Ritenuto", "step 0.85"],
  ["poco riten.", "step 0.925"],
  ["sempre ritenuto", "step 0.85"],
  ["Stretto", "step 1.15"],
  ["Doppio movimento", "step 2"],
  ["doppelt so schnell", "step 2"],
  ["doppio più lento", "step 0.5"],
  ["half tempo", "step 0.5"],

  ["rit - - -", "slower 0.75"],
  ["[rit.]", "slower 0.75"],
  ["Ritar-dando", "slower 0.75"],
  ["molto rit.", "slower 0.6"],
  ["rit. molto", "slower 0.6"],
  ["(poco) rit.", "slower 0.87"],
  ["Cédez un peu", "slower 0.87"],
  ["rit. e dim.", "slower 0.75"],
  ["dim. molto rit.", "slower 0.6"],
  ["cresc. poco a poco ed accel.", "faster 1.25"],
  ["poco a poco cresc. e più mosso", "faster 1.25"],
  ["string.", "faster 1.25"],
  ["poco string.", "faster 1.12"],
  ["En animant peu à peu", "faster 1.25"],
  ["sempre più mosso", "faster 1.25"],
  ["sempre meno mosso", "slower 0.75"],
  ["immer schneller", "faster 1.25"],
  ["nach und nach langsamer", "slower 0.75"],
  ["ruhiger werdend", "slower 0.75"],
  ["ritenuto poco a poco", "slower 0.75"],
  ["peu à peu plus vite", "faster 1.25"],
  ["de moins en moins vite", "slower 0.75"],
  ["gradually faster", "faster 1.25"],
  ["accel. al Presto", "faster 1.25"],
  ["accel. molto al Presto", "faster 1.4"],
  ["senza rit., dolce e accel.", "faster 1.25"],
  ["p molto. rit.", "slower 0.75"],
  ["rit. al Tempo I", "slower 0.75"],

  ["a tempo", "return before"],
  ["  A   TEMPO ", "return before"],
  ["au Mouvt.", "return before"],
  ["im Zeitmaße", "return before"],
  ["Tempo", "return before"],
  ["rit. - - Tempo", "slower 0.75", "return before"],
  ["rit. Tempo", "slower 0.75", "return before"],
  ["Recit. Tempo", "free", "return before"],
  ["rall. Maestoso", "slower 0.75", "tempo 88"],
  ["rall. e maestoso", "slower 0.75"],
  ["a tempo, Maestoso", "return before"],
  ["senza rit., a tempo", "return before"],
  ["Tempo 1°", "return first"],
  ["au 1er Mouvt", "return first"],
  ["I. Tempo", "return first"],
  ["Erstes Zeitmaß", "return first"],
  ["Hauptzeitmaß", "return first"],
  ["Tempo I (Allegro)", "return first", "tempo 133"],
  ["a tempo, tranquillo", "return before"],
  ["A tempo, ma un poco più lento", "return before", "step 0.925"],
  ["poco rit. - a tempo", "slower 0.87", "return before"],
  ["rit. molto a tempo", "slower 0.6", "return before"],
  ["Andante. Meno mosso", "tempo 74", "step 0.85"],
  ["Rall. molto – Lento", "slower 0.6", "tempo 52"],

  ["L'istesso tempo", "same-beat"],
  ["même mouvement", "same-beat"],
  ["dasselbe Tempo", "same-beat"],
  ["ad lib.", "free"],
  ["a tempo rubato", "free"],
  ["Recit.", "free"],
  ["G.P.", "pause"],
  ["Generalpause", "pause"],
  ["lunga pausa", "pause"],
  ["Allegro alla breve", "tempo 133", "alla-breve"],
];

// Negations, words of expression, players and other things that only look like words of the tempo.
// The last rows of all are as in the OpenScore Orchestra corpus; the others common practice, no source.
// prettier-ignore
const LOOK_ALIKES: readonly string[] = [
  "senza rit.", "senza rit. e accel.", "senza accel. né rit.", "sans presser", "sans ralentir", "ohne zu eilen",
  "nicht eilen", "nicht schleppen", "nicht schneller", "non rit.", "non rallentare", "ma non rallentando",
  "ne ralentissez pas", "don't slow down", "attacca il Presto", "meno rit.", "Tempo di Bolero", "in tempo di Bolero", "Tempo II", "Alla Siciliana. ",
  "string", "String.", "Strings", "stringed", "string section", "strings.",
  "cresc. poco a poco", "dolce", "a 2", "à 2", "solo", "legato assai", "molto espressivo", "molto", "più", "più f",
  "poco meno p", "sempre pp", "sempre più", "ma non troppo", "con sord.", "in A", "in 4", "fine", "al Fine",
  "tranquillo", "un poco sostenuto", "dolce e tranquillo", "cantabile e largamente", "dolce, largamente",
  "più dolce e largamente", "Solo. tranquillo", "pesante", "con fuoco",
  "nota lunga", "Fl. 2 ad lib.", "Trgl. ad lib.", "slow vibrato", "Quickly change to A cl.", "Schnell Dämpfer auf",
  "Fast ohne Ausdruck", "Prestophone", "Allegros", "violento", "muta in La", "", " ", ".", "- - -",
  "ôtez vite la sourdine", "variation 12", "la moitié", "sans lourdeur", "un peu en dehors", "Très décidé",
  "Un peu à l'aise, souple, expressif, toujours léger", "Gai, rythmé", "Suivez", "piu dolce", "gai, léger",
];

describe("readTempoWords", () => {
  it.each(PRINTED.map(([text, ...terms]) => [text, terms] as const))("%j: %j", (text, terms) => {
    expect(summaries(text)).toEqual(terms);
  });

  it.each(LOOK_ALIKES)("%j does not speak of the tempo", (text) => {
    expect(readTempoWords(text)).toEqual([]);
  });

  // Each is slower than the one after it, by its typical figure.
  it.each([
    ["Molto lento", "Lento", "Poco lento"],
    ["Allegro sostenuto", "Allegro", "Allegro con moto"],
    ["Andante tranquillo", "Andante", "Andante con moto"],
    ["Presto non troppo", "Presto", "Prestissimo"],
    ["Ziemlich schnell", "Schnell", "Sehr schnell"],
    ["Très lent", "Lent", "Assez lent"],
    ["Adagio", "Andante quasi adagio", "Andante"],
  ])("%j, %j, %j become faster", (...texts) => {
    const figures = texts.map((text) => tempoOf(text).typical);
    expect(figures).toEqual([...new Set(figures)].sort((a, b) => a - b));
  });

  it.each([
    ["step", ["più mosso", "poco meno mosso", "molto più lento", "langsamer"]],
    [
      "gradual",
      ["rit.", "poco rit.", "molto rit.", "accel.", "poco accel.", "molto accel.", "morendo"],
    ],
  ] as const)(
    "gives the factors of a %s from slow to fast, all on one side of 1",
    (kind, texts) => {
      for (const text of texts) {
        const term = only(text);
        if (term.kind !== kind) throw new Error(`"${text}" is read as ${term.kind}`);
        const { slow, likely, fast } = term.factor;
        expect(slow, text).toBeLessThan(likely);
        expect(likely, text).toBeLessThan(fast);
        expect(slow >= 1 || fast <= 1, text).toBe(true);
      }
    },
  );

  it.each([
    ["Allegro ma non troppo, dolce", ["Allegro ma non troppo, dolce"]],
    ["poco rit.  - - a  tempo", ["poco rit.", "a tempo"]],
    ["Solo. Tempo di valse (più mosso)", ["Tempo di valse", "più mosso"]],
    ["Andante. rit a tempo", ["Andante", "rit", "a tempo"]],
    ["langsamer werdend.", ["langsamer werdend"]],
    ["Noch langsamer und ruhiger (im Ausdruck)", ["Noch langsamer und ruhiger"]],
    ["dolce, ce\u0301dez un peu!", ["ce\u0301dez un peu"]],
  ])("says of %j which words the terms are", (text, expected) => {
    expect(readTempoWords(text).map(({ term }) => term)).toEqual(expected);
  });

  it("reads a mark of 120 characters, and nothing longer", () => {
    const filled = (length: number) => `Allegro ${"x".repeat(length - 8)}`;
    expect(summaries(filled(120))).toEqual(["tempo 133"]);
    expect(summaries(filled(121))).toEqual([]);
  });

  it("gives sound terms for any text made of its own words", () => {
    const words = fc.constantFrom(
      ..."più meno molto poco non troppo nicht zu sehr Allegro Lento mosso rit. accel. a tempo primo".split(" "),
      ..."e ma di al con moto sostenuto valse immer langsamer werdend poco.a.poco doppio , . - ( 1".split(" "),
    ); // prettier-ignore
    fc.assert(
      fc.property(fc.array(words, { maxLength: 20 }), (list) => {
        const terms = readTempoWords(list.join(" "));
        expect(terms.length).toBeLessThanOrEqual(list.length);
        for (const term of terms) {
          expect(term.term).not.toBe("");
          if (term.kind === "tempo") {
            const { low, typical, high } = term.beatsPerMinute;
            expect(low > 0 && low <= typical && typical <= high).toBe(true);
          } else if (term.kind === "step" || term.kind === "gradual") {
            const { slow, likely, fast } = term.factor;
            expect(slow > 0 && slow <= likely && likely <= fast).toBe(true);
          }
        }
      }),
    );
  });
});

describe("isTempoWords", () => {
  it("tells whether there is any term", () => {
    expect(isTempoWords("poco rit.")).toBe(true);
    expect(isTempoWords("senza rit.")).toBe(false);
  });
});
