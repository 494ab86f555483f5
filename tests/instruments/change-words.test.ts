import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { CHANGE_ROWS, LOOK_ALIKE_ROWS } from "../../src/instruments/change-words-data.js";
import { readChangeWords } from "../../src/instruments/change-words.js";
import { MAX_TEXT_LENGTH } from "../../src/instruments/tokens.js";
import { CORPUS_ROOT, describeCorpus } from "../support/corpus.js";
import { LOOK_ALIKES, UNCLEAR } from "./change-look-alikes.js";
import { expectedChange } from "./change-phrases.js";
import { GERMAN } from "./change-phrases-de.js";
import { ENGLISH } from "./change-phrases-en.js";
import { FRENCH } from "./change-phrases-fr.js";
import { ITALIAN } from "./change-phrases-it.js";
import { RUSSIAN, SPANISH } from "./change-phrases-others.js";

const TABLES = [ITALIAN, GERMAN, FRENCH, ENGLISH, SPANISH, RUSSIAN];

describe("readChangeWords", () => {
  describe.each(TABLES)("in $language", ({ language, phrases }) => {
    it.each(phrases.map((phrase) => [phrase[0], phrase] as const))("reads %j", (text, phrase) => {
      expect(readChangeWords(text)).toEqual(expectedChange(language, phrase));
    });
  });

  it.each(LOOK_ALIKES)("%j is no change", (text) => {
    expect(readChangeWords(text)).toEqual({ kind: "none" });
  });

  it.each(UNCLEAR)("%j asks for something that is not understood", (text) => {
    expect(readChangeWords(text)).toEqual({ kind: "unclear", text });
  });

  it("is tested with every text once", () => {
    const phrases = TABLES.flatMap((table) => table.phrases.map(([text]) => text));
    const texts = [...phrases, ...LOOK_ALIKES, ...UNCLEAR];
    expect(texts.filter((text, index) => texts.indexOf(text) < index)).toEqual([]);
  });

  it("understands every pattern of the table with a target it allows", () => {
    for (const { pattern, target, verb, language } of CHANGE_ROWS) {
      const to = target === "key" ? "Sib" : "Clarinetto in Sib";
      const text = pattern.replace("Y", "La").replace("X", to);
      const name = { keyFifths: -2, ...(target !== "key" && { family: "clarinet" }) };
      // A label that is only a key goes by the spelling of the key.
      const expected = { kind: "change", verb, name, language };
      expect(readChangeWords(text), text).toMatchObject(expected);
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
      ...["I.", "II.", "opt.", "da", "from", "again", "-\n"],
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 12 }), (list) => {
        const { kind } = readChangeWords(list.join(" "));
        expect(["change", "unclear", "none"]).toContain(kind);
      }),
    );
  });

  it("does not mind capitals, brackets, spaces and line breaks around an instruction", () => {
    // A bare "la" may be an article, and a small letter no key: texts keep their own capitals.
    const dress = fc.constantFrom<(text: string) => string>(
      (text) => text.toUpperCase(),
      (text) => `(${text})`,
      (text) => `[${text}]`,
      (text) => `  ${text}.`,
      (text) => text.replaceAll(" ", "\n"),
      (text) => text.replaceAll(" ", "\u00a0 "),
      (text) => text.replace("in ", "in\u00ad "),
    );
    const plain = fc.constantFrom("muta in La", "nimmt A-Klar.", "to Bass Cl.", "changez en si♭");
    fc.assert(
      fc.property(plain, dress, (text, put) => {
        const expected = { ...readChangeWords(text), text: put(text).trim() };
        expect(readChangeWords(put(text))).toEqual(expected);
      }),
    );
  });
});

/** A row of the reference table, as far as it is used here. */
interface ReferenceRow {
  readonly language: string;
  readonly example: string;
  readonly target: string;
  readonly is_change: string;
  readonly when: string;
}

/** Printed texts of the reference table; none where there is no corpus. */
function referenceTexts(): readonly (readonly [string, ReferenceRow])[] {
  const file = join(CORPUS_ROOT, "reference", "change_phrases.csv");
  if (!existsSync(file)) return [];
  const rows = parse<ReferenceRow>(readFileSync(file, "utf8"), { columns: true });
  // The rows of "mxml" are elements, not words.
  const printed = rows.filter(({ language }) => language !== "mxml");
  return printed.flatMap((row) => row.example.split(" / ").map((text) => [text, row] as const));
}

describeCorpus("change_phrases.csv of the corpus", () => {
  const texts = referenceTexts();
  const changes = texts.filter(([, row]) => row.is_change === "True");
  const others = texts.filter(([, row]) => row.is_change === "False");

  it("has changes and look-alikes", () => {
    expect(changes.length).toBeGreaterThan(30);
    expect(others.length).toBeGreaterThan(20);
    expect(changes.length + others.length).toBe(texts.length);
  });

  it.each(changes)("reads %j", (text, { when, target }) => {
    const verb = when.startsWith("at the note") ? "label" : "prepare";
    const found = readChangeWords(text);
    expect(found).toMatchObject({ kind: "change", verb });
    const players = found.kind === "change" ? found.players : undefined;
    expect(players !== undefined).toBe(/player number/.test(target) || /^3\. u\. 4\./.test(text));
  });

  it.each(others)("%j is no change", (text) => {
    expect(readChangeWords(text)).toEqual({ kind: "none" });
  });
});
