import { writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseProfile } from "../../src/cli/profile-file.js";
import { parseTempoSheet, readTempoSheet, SHEET_SPREAD } from "../../src/cli/tempo-sheet-file.js";
import { starterSheet, type StarterRow } from "../../src/cli/tempo-sheet-text.js";
import { InputError } from "../../src/model/input-error.js";
import type { SheetTempo } from "../../src/model/tempo.js";
import { temporaryFolder } from "../support/run-muta.js";

/** "12/1.5 #2 quarter = 126": where, in which pass and as what a tempo was read. */
function shown({ barLabel, beat, pass, text }: SheetTempo): string {
  return `${barLabel}/${beat}${pass === undefined ? "" : ` #${pass}`} ${text}`;
}

/** The complaint about a text; anything but the right kind of complaint fails the test. */
function complaintOf(read: () => unknown): string {
  try {
    read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.code).toBe("bad-tempo-sheet");
    expect(error.message).not.toMatch(/[\n\r]|Object|Array|undefined|NaN|YAML\.\w/);
    return error.message;
  }
  throw new Error("nothing was complained of");
}

async function complaintOfFile(name: string, content: string | Uint8Array): Promise<string> {
  const path = join(temporaryFolder(), name);
  writeFileSync(path, content);
  const error: unknown = await readTempoSheet(path).catch((reason: unknown) => reason);
  return complaintOf(() => {
    throw error;
  });
}

const entry = (fields: string) => `tempi:\n  - { ${fields} }\n`;

describe("a tempo sheet", () => {
  it.each<[string, string, readonly string[]]>([
    ["YAML", "tempi:\n  - bar: 12\n    tempo: 126\n", ["12/1 quarter = 126"]],
    ["YAML in one line", "tempi: [{bar: 12, tempo: 126}]", ["12/1 quarter = 126"]],
    ["JSON", '{"tempi": [{"bar": "12", "tempo": "126"}]}', ["12/1 quarter = 126"]],
    ["JSON over lines", '\n{\n"tempi": [\n{"bar": 1,\n"tempo": 60}]}', ["1/1 quarter = 60"]],
    ["YAML after remarks", "# a, b\n\n---\ntempi:\n- {bar: 1, tempo: 60}", ["1/1 quarter = 60"]],
    ["a byte order mark", `\uFEFF${entry("bar: 1, tempo: 60")}`, ["1/1 quarter = 60"]],
    ["CRLF", "tempi:\r\n  - bar: 1\r\n    tempo: 60\r\n", ["1/1 quarter = 60"]],
    ["lone CR", "tempi:\r  - bar: 1\r    tempo: 60\r", ["1/1 quarter = 60"]],
    [
      "every field",
      entry('bar: 12a, beat: 2.5, unit: dotted half, tempo: 66-70, pass: 2, note: "Più, mosso"'),
      ["12a/2.5 #2 Più, mosso (dotted half = 66-70)"],
    ],
    ["a label of blanks and letters", entry('bar: "  X 1 ", tempo: 60'), ["X 1/1 quarter = 60"]],
    ["a pick-up", entry("bar: 0, tempo: 60"), ["0/1 quarter = 60"]],
    ["a label with a zero before it", entry('bar: "012", tempo: 60'), ["012/1 quarter = 60"]],
    ["an empty note", entry('bar: 1, tempo: 60, note: " "'), ["1/1 quarter = 60"]],
    [
      "a note of several lines",
      "tempi:\n- bar: 1\n  tempo: 60\n  note: |\n    like\n    last year\n",
      ["1/1 like last year (quarter = 60)"],
    ],
    [
      "the same place in other passes",
      "bar,tempo,pass\n1,60,\n1,66,1\n1,70,2\n",
      ["1/1 quarter = 60", "1/1 #1 quarter = 66", "1/1 #2 quarter = 70"],
    ],
    [
      "an alias",
      "tempi:\n- &a {bar: 1, tempo: 60}\n- {bar: 2, tempo: 70}",
      ["1/1 quarter = 60", "2/1 quarter = 70"],
    ],
    ["CSV", "bar,tempo\n12,126\n", ["12/1 quarter = 126"]],
    ["CSV without a last line end", "bar,tempo\n12,126", ["12/1 quarter = 126"]],
    [
      "all columns, in any order and case",
      "Note,PASS, Tempo ,unit,Beat,bar\nAllegro,1,126-132,half,3,12\n",
      ["12/3 #1 Allegro (half = 126-132)"],
    ],
    ["semicolons", "bar;tempo;beat\n12;66,5;2,5\n", ["12/2.5 quarter = 66,5"]],
    [
      "tabs",
      "bar\ttempo\tbeat\tnote\n12\tca. 60\t\tslow; or not, so\n",
      ["12/1 slow; or not, so (quarter = ca. 60)"],
    ],
    ["tabs before an empty cell", "note\tbar\ttempo\n\t12\t126\n", ["12/1 quarter = 126"]],
    ["quotes", 'bar,tempo,note\n"12","126","a ""b"", c"\n', ['12/1 a "b", c (quarter = 126)']],
    ["quotes after a blank", 'bar, tempo, note\n12, 126, "a, b"\n', ["12/1 a, b (quarter = 126)"]],
    ["quoted names", '"bar";"tempo"\n12;126\n', ["12/1 quarter = 126"]],
    ["a line end in quotes", 'bar,tempo,note\n1,60,"a\r\nb"\n', ["1/1 a b (quarter = 60)"]],
    [
      "a byte order mark, CRLF, empty lines and remarks",
      "\uFEFF# by, me\r\n\r\nbar,tempo\r\n# now\r\n  \r\n12,126\r\n,\r\n",
      ["12/1 quarter = 126"],
    ],
    ["a table with lone CR", "bar,tempo\r12,126\r", ["12/1 quarter = 126"]],
    [
      "a table with an empty last column",
      "bar,tempo,\n12,126,\n13,60\n",
      ["12/1 quarter = 126", "13/1 quarter = 60"],
    ],
    ["a formula, which is a text", "bar,tempo,note\n1,60,=1+1\n", ["1/1 =1+1 (quarter = 60)"]],
  ])("is read: %s", (_, text, tempi) => {
    expect(parseTempoSheet(text).map(shown)).toEqual(tempi);
  });

  it.each<[string, string, number]>([
    ["whole", "whole", 4],
    ["half", "half", 2],
    ["quarter", "quarter", 1],
    ["eighth", "eighth", 0.5],
    ["16th", "16th", 0.25],
    ["32nd", "32nd", 0.125],
    ["dotted quarter", "dotted quarter", 1.5],
    ["double-dotted half", "double-dotted half", 3.5],
    ["double dotted half", "double-dotted half", 3.5],
    ["quarter.", "dotted quarter", 1.5],
    ["half..", "double-dotted half", 3.5],
    ["  Dotted   HALF note ", "dotted half", 3],
    ["crotchet", "quarter", 1],
    ["Minim.", "dotted half", 3],
    ["dotted quaver", "dotted eighth", 0.75],
    ["semibreve", "whole", 4],
    ["semiquaver", "16th", 0.25],
    ["demisemiquaver", "32nd", 0.125],
  ])("counts in the unit %j", (unit, name, quarters) => {
    for (const text of [
      entry(`bar: 1, tempo: 40-60, unit: "${unit}"`),
      `bar,tempo,unit\n1,40-60,${unit}`,
    ]) {
      const [tempo] = parseTempoSheet(text);
      expect(tempo?.text).toBe(`${name} = 40-60`);
      expect(tempo?.quartersPerMinute).toEqual({
        slow: 40 * quarters,
        likely: 50 * quarters,
        fast: 60 * quarters,
      });
    }
  });

  // Printed "ca." has the same width (`timing/tempo-range.ts`).
  const ONE = SHEET_SPREAD;
  it.each<[string, number, number, number]>([
    ["126", 126 * (1 - ONE), 126, 126 * (1 + ONE)],
    ["4", 4 * (1 - ONE), 4, 4 * (1 + ONE)],
    ["1200", 1200 * (1 - ONE), 1200, 1200 * (1 + ONE)],
    ["66.5", 66.5 * (1 - ONE), 66.5, 66.5 * (1 + ONE)],
    ["'66,5'", 66.5 * (1 - ONE), 66.5, 66.5 * (1 + ONE)],
    ["126-132", 126, 129, 132],
    ["126 - 132", 126, 129, 132],
    ["126–132", 126, 129, 132],
    ["126—132", 126, 129, 132],
    ["126\u2011132", 126, 129, 132],
    ["60-60", 60, 60, 60],
    ["ca. 60", 54, 60, 66],
    ["Ca 60", 54, 60, 66],
    ["c. 60", 54, 60, 66],
    ["circa 60", 54, 60, 66],
    ["~60", 54, 60, 66],
    ["ca. 60-66", 60, 63, 66],
  ])("takes %s as a range", (tempo, slow, likely, fast) => {
    const [read] = parseTempoSheet(entry(`bar: 1, tempo: ${tempo.replace(/^~.*/, '"$&"')}`));
    expect(read?.quartersPerMinute.slow).toBeCloseTo(slow, 9);
    expect(read?.quartersPerMinute.likely).toBeCloseTo(likely, 9);
    expect(read?.quartersPerMinute.fast).toBeCloseTo(fast, 9);
    expect(read?.text).toBe(`quarter = ${tempo.replaceAll("'", "")}`);
  });

  it("is told apart by the extension before the text", () => {
    const table = "tempo: of mine,bar\n";
    expect(complaintOf(() => parseTempoSheet(table, ".csv"))).toMatch(
      /^line 1: "tempo: of mine" is/,
    );
    expect(complaintOf(() => parseTempoSheet(table, ".txt"))).toMatch(/^must hold a list/);
    expect(complaintOf(() => parseTempoSheet("bar,tempo\n1,60", ".YAML"))).toMatch(/^must hold/);
    expect(parseTempoSheet("bar,tempo\n1,60", ".TSV")).toHaveLength(1);
  });

  it.each<[string, string | Uint8Array]>([
    ["may.csv", "bar,tempo\n1,60\n"],
    ["may.txt", "bar;tempo\n1;60\n"],
    ["may.yml", entry("bar: 1, tempo: 60")],
    ["may", entry("bar: 1, tempo: 60")],
    // What a spreadsheet calls "Unicode text".
    ["little.txt", Buffer.from("\uFEFFbar\ttempo\r\n1\t60\r\n", "utf16le")],
    ["big.txt", Buffer.from("\uFEFFbar\ttempo\r\n1\t60\r\n", "utf16le").swap16()],
  ])("is read from a file: %s", async (name, content) => {
    const path = join(temporaryFolder(), name);
    writeFileSync(path, content);
    expect((await readTempoSheet(path)).map(shown)).toEqual(["1/1 quarter = 60"]);
  });
});

const UNIT =
  "must be whole, half, quarter, eighth, 16th or 32nd (or semibreve, minim, crotchet, quaver, " +
  'semiquaver, demisemiquaver), with "dotted" or "double-dotted" before it where it has dots';
const TEMPO = "must be beats a minute from 4 to 1200, such as 126, 126-132 or ca. 126";
const FIELDS = "the fields are bar, beat, unit, tempo, pass and note";
const BAR = "must be the printed number of a bar";
const BEAT = "must be a number, such as 2 or 2.5";
const PASS = "must be a whole number from 1: 2 for the second time through the bar";
const SHEET = "must hold a list named tempi, or be a table whose header row names bar and tempo";
const NONE = `there are no tempi in it: it ${SHEET}`;
const UNREADABLE = "not readable as YAML or JSON: ";

describe("a mistake in a tempo sheet", () => {
  it.each<[string, string, string]>([
    ["nothing", "", NONE],
    ["only remarks", "# one, two\n", NONE],
    ["an empty list", "tempi: []", NONE],
    ["an empty field", "tempi:", NONE],
    ["only a header row", "bar,tempo\n", NONE],
    ["a text", "allegro", SHEET],
    ["a list without its name", "- bar: 1\n  tempo: 60", SHEET],
    ["another name", "tempo:\n- bar: 1", SHEET],
    ["a text for the list", "tempi: fast", "line 1: tempi: must be a list of tempi"],
    ["a group for the list", "\ntempi:\n  bar: 1", "line 2: tempi: must be a list of tempi"],
    [
      "another field beside it",
      "tempi:\n- {bar: 1, tempo: 60}\n\ntitel: x",
      "line 4: titel: is not a field of a tempo sheet; the only one is tempi",
    ],
    [
      "a misspelt field",
      "# mine\ntempi:\n- bar: 1\n  tempo: 60\n\n- bar: 2\n  bpm: 60\n",
      `line 6: tempi.1.bpm: is not a field of a tempo; ${FIELDS}`,
    ],
    [
      "a misspelt field after CRLF",
      "tempi:\r\n- bar: 1\r\n  tempo: 60\r\n- bpm: 60\r\n",
      `line 4: tempi.1.bpm: is not a field of a tempo; ${FIELDS}`,
    ],
    [
      "a capital letter",
      entry("Bar: 1, tempo: 60"),
      `line 2: tempi.0.Bar: is not a field of a tempo; ${FIELDS}`,
    ],
    ["no tempo", entry("bar: 1"), "line 2: tempi.0.tempo: is missing"],
    ["no bar", entry("tempo: 60"), "line 2: tempi.0.bar: is missing"],
    [
      "nothing for an entry",
      "tempi:\n-\n",
      `line 2: tempi.0: must be a group of fields; ${FIELDS}`,
    ],
    [
      "a number for an entry",
      "tempi: [60]",
      `line 1: tempi.0: must be a group of fields; ${FIELDS}`,
    ],
    [
      "a list for an entry",
      "tempi: [[1]]",
      `line 1: tempi.0: must be a group of fields; ${FIELDS}`,
    ],
    ["an empty bar", entry('bar: " ", tempo: 60'), `line 2: tempi.0.bar: ${BAR}`],
    ["nothing for a bar", entry("bar: , tempo: 60"), `line 2: tempi.0.bar: ${BAR}`],
    ["half a bar", entry("bar: 1.5, tempo: 60"), `line 2: tempi.0.bar: ${BAR}`],
    ["an endless bar", entry("bar: .inf, tempo: 60"), `line 2: tempi.0.bar: ${BAR}`],
    [
      "a bar beyond exact numbers",
      entry("bar: 12345678901234567890, tempo: 60"),
      `line 2: tempi.0.bar: ${BAR}`,
    ],
    ["a list for a bar", entry("bar: [1], tempo: 60"), `line 2: tempi.0.bar: ${BAR}`],
    [
      "a beat from 0",
      entry("bar: 1, tempo: 60, beat: 0"),
      "line 2: tempi.0.beat: must be 1 or more: beats are counted from 1",
    ],
    ["a beat in quotes", entry('bar: 1, tempo: 60, beat: "2"'), `line 2: tempi.0.beat: ${BEAT}`],
    [
      "no number for a beat",
      entry("bar: 1, tempo: 60, beat: .nan"),
      `line 2: tempi.0.beat: ${BEAT}`,
    ],
    [
      "an endless beat",
      entry("bar: 1, tempo: 60, beat: .inf"),
      "line 2: tempi.0.beat: must be at most 1000",
    ],
    ["pass 0", entry("bar: 1, tempo: 60, pass: 0"), `line 2: tempi.0.pass: ${PASS}`],
    ["half a pass", entry("bar: 1, tempo: 60, pass: 1.5"), `line 2: tempi.0.pass: ${PASS}`],
    ["a word for a pass", entry("bar: 1, tempo: 60, pass: all"), `line 2: tempi.0.pass: ${PASS}`],
    ["an unknown unit", entry("bar: 1, tempo: 60, unit: beat"), `line 2: tempi.0.unit: ${UNIT}`],
    ["a number for a unit", entry("bar: 1, tempo: 60, unit: 4"), `line 2: tempi.0.unit: ${UNIT}`],
    ["dots twice", entry("bar: 1, tempo: 60, unit: dotted half."), `line 2: tempi.0.unit: ${UNIT}`],
    ["three dots", entry("bar: 1, tempo: 60, unit: half..."), `line 2: tempi.0.unit: ${UNIT}`],
    [
      "a number for a note",
      entry("bar: 1, tempo: 60, note: 3"),
      "line 2: tempi.0.note: must be a text",
    ],
    ["words for a tempo", entry("bar: 1, tempo: fast"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["an empty tempo", entry('bar: 1, tempo: ""'), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["nothing for a tempo", entry("bar: 1, tempo: "), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["a tempo below all", entry("bar: 1, tempo: 3.9"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["a tempo beyond all", entry("bar: 1, tempo: 1200.5"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["a range beyond all", entry("bar: 1, tempo: 60-6000"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["a negative tempo", entry("bar: 1, tempo: -60"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["no number for a tempo", entry("bar: 1, tempo: .nan"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["three numbers", entry("bar: 1, tempo: 60-66-70"), `line 2: tempi.0.tempo: ${TEMPO}`],
    ["an open range", entry("bar: 1, tempo: 60-"), `line 2: tempi.0.tempo: ${TEMPO}`],
    [
      "a range backwards",
      entry("bar: 1, tempo: 70-66"),
      "line 2: tempi.0.tempo: must have the slower tempo first: 126-132",
    ],
    [
      "a place twice",
      "tempi:\n- {bar: 1, tempo: 60}\n- {bar: 2, tempo: 60}\n- {bar: '1', beat: 1.0, tempo: 70}",
      "line 4: bar 1, beat 1 has its tempo in line 2 already",
    ],
    [
      "a place twice in a pass",
      "bar,beat,tempo,pass\n\n1,2.5,60,2\n1,2.5,66,2\n",
      "line 4: bar 1, beat 2.5, pass 2 has its tempo in line 3 already",
    ],
    [
      "a field twice",
      "tempi:\n- bar: 1\n  bar: 2\n",
      `${UNREADABLE}a field is given twice, again at line 3, column 3`,
    ],
    [
      "no tempo column",
      "bar,beat\n1,2\n",
      "line 1: the header row must name bar and tempo; tempo is missing",
    ],
    [
      "no header row",
      "1,126\n2,60\n",
      'line 1: "1" is not a column of the tempo sheet; the columns are bar, beat, unit, tempo, pass, note',
    ],
    [
      "an unknown column",
      "# x\nbar,tempo,bpm\n1,60,60\n",
      'line 2: "bpm" is not a column of the tempo sheet; the columns are bar, beat, unit, tempo, pass, note',
    ],
    ["a column twice", "bar,tempo,Bar\n1,60,2\n", "line 1: the header row names bar twice"],
    ["an empty cell", "bar,tempo\n1,60\n2,\n", "line 3: tempo: is missing"],
    ["an empty bar in a table", "bar,tempo\n,60\n", "line 2: bar: is missing"],
    ["a wrong cell", "bar,tempo,unit\n\n# x\n1,60,beat\n", `line 4: unit: ${UNIT}`],
    ["a wrong cell after CRLF", "bar,tempo\r\n1,60\r\n2,x\r\n", `line 3: tempo: ${TEMPO}`],
    ["a wrong cell after lone CR", "bar,tempo\r1,60\r2,x\r", `line 3: tempo: ${TEMPO}`],
    [
      "a wrong cell after a long one",
      'bar,tempo,note\n1,60,"a\nb"\n2,x,"c\nd"\n',
      `line 4: tempo: ${TEMPO}`,
    ],
    ["a word for a beat", "bar,tempo,beat\n1,60,two\n", `line 2: beat: ${BEAT}`],
    ["an endless beat in a table", "bar,tempo,beat\n1,60,Infinity\n", `line 2: beat: ${BEAT}`],
    ["a hexadecimal pass", "bar,tempo,pass\n1,60,0x2\n", `line 2: pass: ${PASS}`],
    ["a decimal comma between commas", 'bar,tempo,beat\n1,60,"2,5"\n', `line 2: beat: ${BEAT}`],
    [
      "a comma too many",
      "bar,tempo\n1,66,5\n",
      "line 2: cell 3 is in no column (a comma inside a cell needs quotation marks around the cell)",
    ],
    ["an open quote", 'bar,tempo\n1,60\n2,"60\n3,60\n', "line 3: a quotation mark is not closed"],
    [
      "a quote in a cell",
      'bar,tempo,note\n1,60,the "big" one\n',
      'line 2: a quotation mark stands inside a cell: put the cell in quotes and double the mark ("")',
    ],
    [
      "more after a quote",
      'bar,tempo,note\n1,60,"big" one\n',
      'line 2: a cell goes on after its closing quotation mark: inside quotes a mark is doubled ("")',
    ],
  ])("is named with its line: %s", (_, text, message) => {
    expect(complaintOf(() => parseTempoSheet(text))).toBe(message);
  });

  it.each(["__proto__", "constructor", "prototype", "toString", "hasOwnProperty"])(
    "is the field %s",
    (name) => {
      const json = (text: string) => complaintOf(() => parseTempoSheet(text));
      expect(json(`{"tempi": [{"bar": 1, "tempo": 60, "${name}": {"beat": 3}}]}`)).toBe(
        `line 1: tempi.0.${name}: is not a field of a tempo; ${FIELDS}`,
      );
      expect(json(`{"tempi": [{"bar": 1, "tempo": 60}], "${name}": 1}`)).toContain(
        `${name}: is not`,
      );
      expect(json(`{"${name}": {"tempi": [{"bar": 1, "tempo": 60}]}}`)).toBe(SHEET);
      expect(json(`bar,tempo,${name}\n1,60,1\n`)).toContain(`"${name}" is not a column`);
      expect(json(`{"tempi": [{"bar": 1, "tempo": 60, "unit": "${name}"}]}`)).toContain(UNIT);
    },
  );
});

describe("a hostile tempo sheet", () => {
  it.each<[string, string]>([
    ["aliases that unfold", `tempi: [&a [1], ${"*a, ".repeat(40)}*a]`],
    [
      "a thousand million laughs",
      `a: &a [x,x,x,x,x,x,x,x,x,x]\n${[..."bcdefghi"]
        .map(
          (name, k) =>
            `${name}: &${name} [${Array<string>(10)
              .fill(`*${"abcdefgh"[k] ?? ""}`)
              .join(",")}]`,
        )
        .join("\n")}\n`,
    ],
    ["an alias of itself", "tempi: &a [*a]"],
    ["an alias of nothing", "tempi: *a"],
    ["brackets", "[".repeat(90_000)],
    ["closing brackets", "]".repeat(90_000)],
    ["nested groups", "{a: ".repeat(30_000)],
    // The next two end the process when the parser gets to see them.
    ["nested items", "- ".repeat(50_000)],
    ["nested keys", "? ".repeat(50_000)],
    ["tags", "!a ".repeat(30_000)],
    ["anchors", "&a ".repeat(30_000)],
    ["nested lines", Array.from({ length: 400 }, (_, k) => `${" ".repeat(k)}a:\n`).join("")],
    ["nested lists over lines", "[\n".repeat(5_000)],
    ["an open quote", '"'.repeat(50_001)],
    ["two documents", "tempi: []\n---\ntempi: []"],
    ["a tab for a blank", "tempi:\n\t- bar: 1"],
  ])("is refused at once: %s", { timeout: 60_000 }, (_, text) => {
    const start = Date.now();
    expect(complaintOf(() => parseTempoSheet(text, ".yaml"))).toMatch(
      /^(?:not readable as YAML or JSON: |must hold a list named tempi|line 1: tempi)/,
    );
    expect(Date.now() - start).toBeLessThan(10_000);
  });

  it("protects the profile in the same way", () => {
    expect(() => parseProfile("- ".repeat(49_000))).toThrow(/^not readable as YAML or JSON: /);
  });

  it("may have many fields", { timeout: 60_000 }, () => {
    const keys = Array.from({ length: 15_000 }, (_, k) => `k${k}: 1\n`).join("");
    expect(complaintOf(() => parseTempoSheet(`tempi: []\n${keys}`))).toMatch(/^line 2: k0: /);
  });

  it.each<[string, string | Uint8Array, string | RegExp]>([
    ["huge.yaml", "#".repeat(200_001), "the tempo sheet is too large"],
    ["huge.csv", `bar,tempo\n${"1,60\n".repeat(50_000)}`, "the tempo sheet is too large"],
    [
      "rows.csv",
      `bar,tempo\n${"1,60\n".repeat(10_001)}`,
      "the tempo sheet has more than 10000 rows",
    ],
    [
      "binary.yaml",
      Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0, 8, 0xff),
      "the tempo sheet is not a text file",
    ],
    [
      "latin1.csv",
      Buffer.from("bar,tempo,note\n1,60,Più\n", "latin1"),
      "the tempo sheet is not valid UTF-8: save it as text in UTF-8",
    ],
    ["cut.txt", Uint8Array.of(0xff, 0xfe, 0x41), /^the tempo sheet is not valid UTF-16: /],
    ["empty.csv", "", NONE],
    ["terminal.csv", "bar,tempo,\u001b[31m\n", /^line 1: "\s*\[31m" is not a column/],
  ])("is refused as a file: %s", async (name, content, message) => {
    const complaint = await complaintOfFile(name, content);
    if (typeof message === "string") expect(complaint).toBe(message);
    else expect(complaint).toMatch(message);
  });

  it.each([
    ["missing.yaml", "there is no such file"],
    [".", "cannot be read (EISDIR)"],
    ["a\0b", "cannot be read (ERR_INVALID_ARG_VALUE)"],
  ])("is in the name: %j", async (name, message) => {
    const path = `${temporaryFolder()}/${name}`;
    await expect(readTempoSheet(path)).rejects.toThrow(message);
  });

  it("is not standard input", async () => {
    await expect(readTempoSheet("-")).rejects.toMatchObject({
      code: "bad-tempo-sheet",
      message: "cannot be used here; give the name of a file",
    });
  });

  it.runIf(process.platform === "linux")("may have no end", async () => {
    await expect(readTempoSheet("/dev/zero")).rejects.toThrow("the tempo sheet is too large");
  });

  it("gets an answer or a complaint, whatever it is", () => {
    const piece = fc.constantFrom(
      ...[
        "bar",
        "tempo",
        "tempi",
        "beat",
        "1",
        "60",
        "60-66",
        ",",
        ";",
        "\t",
        ":",
        " ",
        "\n",
        "\r",
      ],
      ...[
        "- ",
        "{",
        "}",
        "[",
        "]",
        '"',
        "'",
        "#",
        "&a",
        "*a",
        "!",
        "|",
        "%",
        "---\n",
        "\0",
        "\uFEFF",
      ],
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), (pieces) => {
        try {
          expect(parseTempoSheet(pieces.join("")).length).toBeGreaterThan(0);
        } catch (error) {
          if (!(error instanceof InputError)) throw error;
        }
      }),
      { numRuns: 1000 },
    );
  });
});

describe("the tempo sheet to start from", () => {
  const ROW: StarterRow = {
    barLabel: "12",
    beat: 1,
    unit: "half",
    tempo: "66-70",
    note: "Allegro",
  };

  it("tells how to fill it in, and reads plainly", () => {
    const rows = [
      { ...ROW, comment: "bar 12: printed" },
      { ...ROW, barLabel: "012", note: "" },
    ];
    const text = starterSheet(rows, "Sinfonia");
    expect(text).toMatch(/^# Tempo sheet: Sinfonia\n#/);
    expect(text).toContain("muta check PART --tempo THIS-FILE");
    for (const field of ["bar", "beat", "unit", "tempo", "pass", "note"]) {
      expect(text).toMatch(new RegExp(`^# ${field}: `, "m"));
    }
    expect(text.slice(text.indexOf("tempi:"))).toBe(`tempi:
  # bar 12: printed
  - { bar: 12, beat: 1, unit: half, tempo: 66-70, note: Allegro }
  - { bar: "012", beat: 1, unit: half, tempo: 66-70 }
`);
  });

  it("has no line wider than a page", () => {
    expect(
      Math.max(
        ...starterSheet([ROW], "")
          .split("\n")
          .map(({ length }) => length),
      ),
    ).toBeLessThan(105);
  });

  it.each([
    "a: b",
    "# a",
    "tempi: []\n",
    "a\ntempi: []\n---\n",
    "a\r- b",
    "a\u2028tempi: []\u0085b\u2029c",
    "\u0000\u001b[31m\u202E",
    "%YAML 9.9\n---",
    "&a *a !a | >",
    "\uFEFF",
    '"',
    "'",
  ])("is safe from %j", (text) => {
    const rows = [{ ...ROW, note: text, comment: text }];
    const sheet = starterSheet(rows, text);
    expect(sheet).not.toMatch(/[^\P{Cc}\n]|\p{Bidi_Control}/u);
    const [read, ...more] = parseTempoSheet(sheet);
    expect(more).toEqual([]);
    expect(read).toMatchObject({ barLabel: "12", beat: 1 });
    expect(read?.text).toMatch(/half = 66-70\)?$/);
  });

  it("comes back as it was, whatever stands in it", { timeout: 60_000 }, () => {
    const hostile = fc.oneof(
      fc.string(),
      fc.string({ unit: "binary" }),
      fc.constantFrom(
        "null",
        "true",
        "~",
        "1e3",
        "0x1F",
        ".inf",
        "-",
        "- a",
        "a: b",
        "12:30",
        "<<",
      ),
      fc.constantFrom(
        "__proto__",
        "|",
        ">-",
        "@a",
        "`",
        "a #b",
        "007",
        "1_000",
        "2001-01-01",
        "=",
        "0",
      ),
    );
    const label = hostile.filter((text) => text.trim() !== "");
    const number = fc.integer({ min: 4, max: 1200 });
    const row: fc.Arbitrary<StarterRow> = fc.record({
      barLabel: label,
      beat: fc.double({ min: 1, max: 100, noNaN: true }),
      unit: fc.constantFrom("half", "quarter", "dotted eighth", "double-dotted whole"),
      tempo: fc.oneof(
        number.map(String),
        number.map((each) => `ca. ${each}`),
        fc.tuple(number, number).map((pair) => pair.toSorted((a, b) => a - b).join("–")),
      ),
      note: hostile,
      comment: hostile,
    });
    const rowsArbitrary = fc.uniqueArray(row, {
      minLength: 1,
      maxLength: 8,
      selector: ({ barLabel, beat }) => JSON.stringify([barLabel.trim(), beat]),
    });
    fc.assert(
      fc.property(rowsArbitrary, hostile, (rows, title) => {
        const read = parseTempoSheet(starterSheet(rows, title));
        expect(read.map(({ barLabel, beat }) => [barLabel, beat])).toEqual(
          rows.map(({ barLabel, beat }) => [barLabel.trim(), beat]),
        );
        read.forEach(({ text }, k) => {
          expect(text).toContain(`${rows[k]?.unit ?? ""} = ${rows[k]?.tempo ?? ""}`);
        });
        const plain = rows.map(({ barLabel, beat, unit, tempo }) => ({
          barLabel,
          beat,
          unit,
          tempo,
          note: "",
        }));
        expect(read.map(({ quartersPerMinute }) => quartersPerMinute)).toEqual(
          parseTempoSheet(starterSheet(plain, "")).map(
            ({ quartersPerMinute }) => quartersPerMinute,
          ),
        );
      }),
      { numRuns: 300 },
    );
  });
});
