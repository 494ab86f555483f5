import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { CheckReport, PartReport } from "../../src/model/report.js";
import { csvText, guard } from "../../src/reporters/csv.js";
import { PLAIN, REPORTERS } from "../../src/reporters/index.js";
import { changeBars } from "../support/run-muta.js";
import { B_FLAT, scoreXml, timelineOf } from "../support/score-xml.js";

/** The design contract: names and order are what other people's sheets rely on. */
const HEADER =
  "file,title,movement,part,change,from,to,leave_bar,leave_pass,leave_beat,enter_bar,enter_pass,enter_beat,rest_quarters,rest_seconds_short,rest_seconds_likely,rest_seconds_long,needed_seconds,lookup_seconds,verdict,tempo_source,hazards,evidence";

const OPTIONS = { width: 100, style: PLAIN, entries: false, bom: false };

function reportOf(bars: readonly string[], names: Partial<PartReport> = {}): CheckReport {
  const source = { file: "part.xml", title: "Suite", movement: "1. Aria" };
  const part = analysePart(timelineOf(scoreXml([{ bars }])), USUAL_PROFILE, source);
  return { parts: [{ ...part, ...names }], errors: [] };
}

/** As a spreadsheet reads it: any line end outside quotes ends a row. */
function read(csv: string, delimiter = ","): Record<string, string>[] {
  return parse(csv, { delimiter, record_delimiter: ["\r\n", "\n", "\r"], columns: true });
}

const TIGHT = reportOf(changeBars(2));

describe("csv", () => {
  it("begins with the header of the contract, CRLF at the end of every row (RFC 4180)", () => {
    const csv = REPORTERS.csv(TIGHT, OPTIONS);
    expect(csv.split("\r\n")[0]).toBe(HEADER);
    expect(csv.split("\r\n")).toHaveLength(3);
    expect(csv.endsWith("\r\n")).toBe(true);
    expect(csv.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
  });

  it("is the header alone when nothing changes", () => {
    expect(REPORTERS.csv(reportOf(changeBars(2, B_FLAT).slice(0, 1)), OPTIONS)).toBe(
      `${HEADER}\r\n`,
    );
    expect(REPORTERS.csv({ parts: [], errors: [] }, OPTIONS)).toBe(`${HEADER}\r\n`);
  });

  it("has one row a change, numbers with a decimal point", () => {
    // Two bars of 2 s; 6 % faster 4/1.06, slower 4/0.94; the hands need 3.5 s.
    expect(read(REPORTERS.csv(TIGHT, OPTIONS))).toEqual([
      {
        file: "part.xml",
        title: "Suite",
        movement: "1. Aria",
        part: "Clarinet in Bb",
        change: "1",
        from: "clarinet-bflat",
        to: "clarinet-a",
        leave_bar: "1",
        leave_pass: "1",
        leave_beat: "5",
        enter_bar: "4",
        enter_pass: "1",
        enter_beat: "1",
        rest_quarters: "8",
        rest_seconds_short: "3.774",
        rest_seconds_likely: "4",
        rest_seconds_long: "4.255",
        needed_seconds: "3.5",
        lookup_seconds: "0.274",
        verdict: "tight",
        tempo_source: "metronome",
        hazards: "under ¼ bar to look up before the entry",
        evidence: '"muta in La" (bar 2); transposition (bar 4)',
      },
    ]);
  });

  it("has a row for each change of each part", () => {
    const [part] = TIGHT.parts;
    const twice = [...changeBars(6), ...changeBars(6)];
    const parts = [part!, part!, ...reportOf(twice).parts];
    const rows = read(REPORTERS.csv({ parts, errors: [] }, OPTIONS));
    expect(rows.map(({ change }) => change)).toEqual(["1", "1", "1", "2", "3"]);
  });

  it("takes the id of a part without a name", () => {
    const [part] = TIGHT.parts;
    const nameless = reportOf(changeBars(2), { part: { ...part!.part, name: "" } });
    expect(read(REPORTERS.csv(nameless, OPTIONS))[0]?.["part"]).toBe("P1");
  });

  it("leaves numbers numbers, a negative one too", () => {
    const [row] = read(REPORTERS.csv(reportOf(changeBars(1)), OPTIONS));
    expect(row?.["lookup_seconds"]).toBe("-1.613");
  });
});

/** What a spreadsheet takes for a formula: OWASP, "CSV injection" (= + - @, tab, carriage return). */
const FORMULAS = [
  "=1+1",
  '=HYPERLINK("http://example.org","x")',
  "@x",
  "-2",
  "+3",
  "\t=1",
  "\r=1",
  "\n=1",
  "＝1+1",
];
const TEXTS = [
  'the "Great"',
  "a, b; c",
  "first\nsecond",
  "first\rsecond",
  "first\r\nsecond",
  "tab\there",
  "🎼 Suite 😀",
  "סוויטה לקלרינט",
  "'tis",
  "a=1",
  "1-2",
  "",
  ",",
  '"',
  " ",
];

describe.each<["csv" | "tsv", string | undefined]>([
  ["csv", undefined],
  ["csv", ";"],
  ["csv", "|"],
  ["tsv", undefined],
])("texts from a file in %s with delimiter %j", (format, delimiter) => {
  const separator = delimiter ?? (format === "tsv" ? "\t" : ",");
  const options = { ...OPTIONS, ...(delimiter !== undefined && { delimiter }) };

  it.each([...FORMULAS.map((text) => [text, `'${text}`]), ...TEXTS.map((text) => [text, text])])(
    "%j is read back as %j",
    (text, expected) => {
      const report = reportOf(changeBars(2), { title: text, file: text, movement: `x${text}` });
      const rows = read(REPORTERS[format](report, options), separator);
      expect(rows).toHaveLength(1);
      expect(rows[0]).toMatchObject({ title: expected, file: expected, movement: `x${text}` });
      expect(rows[0]?.["verdict"]).toBe("tight");
    },
  );

  it.each([
    ["\u001b[31m", "' [31m"],
    ["a\u009b31m", "a 31m"],
  ])("%j gives a terminal nothing to obey", (text, expected) => {
    const report = reportOf(changeBars(2), { title: text });
    expect(read(REPORTERS[format](report, options), separator)[0]?.["title"]).toBe(expected);
  });

  it("neutralises the bars and names of the file", () => {
    const bars = changeBars(2).map((content, k) => ({
      attributes: `number="=${k + 1}"`,
      content: content.replace("muta in La", "=muta in La"),
    }));
    const timeline = timelineOf(scoreXml([{ name: "+Clarinet in Bb", bars }]));
    const source = { file: "f", title: "t", movement: "m" };
    const part = analysePart(timeline, USUAL_PROFILE, source);
    const csv = REPORTERS[format]({ parts: [part], errors: [] }, options);
    const [row] = read(csv, separator);
    expect(row).toMatchObject({
      part: "'+Clarinet in Bb",
      leave_bar: "'=1",
      enter_bar: "'=4",
    });
    for (const [name, value] of Object.entries(row ?? {})) {
      if (name !== "lookup_seconds") expect(value).not.toMatch(/^[=+\-@]/);
    }
  });
});

describe("what a spreadsheet would take for a value", () => {
  it.each(["00123", "1e5", "1.50", "1/2", "12:30", "TRUE", "false", "5 %", " 7", ".5", "١٢"])(
    "%j is in quotes, which is text where the program is told so",
    (text) => {
      expect(csvText([[text, 7]], "|", false)).toBe(`"${text}"|7\r\n`);
    },
  );

  it.each(["12", "0", "2027-04-10", "true love", "bar 7", "x1e5", "falsetto"])(
    "%j comes back as it was, and is not",
    (text) => {
      expect(csvText([[text]], ",", false)).toBe(`${text}\r\n`);
    },
  );

  it("has an apostrophe that can be told from one of its own", () => {
    for (const [text, cell] of [
      ["=1", "'=1"],
      ["'=1", "''=1"],
      ["''=1", "'''=1"],
      ["  =1", "'  =1"],
      ["' x", "'' x"],
      ["'tis", "'tis"],
      ["a=1", "a=1"],
    ] as const) {
      expect(guard(text)).toBe(cell);
    }
  });
});

describe("options for spreadsheets", () => {
  const MARK = "\ufeff";

  it("sets another delimiter, in the header too", () => {
    const csv = REPORTERS.csv(TIGHT, { ...OPTIONS, delimiter: ";" });
    expect(csv.split("\r\n")[0]).toBe(HEADER.replaceAll(",", ";"));
    expect(read(csv, ";")[0]?.["rest_seconds_likely"]).toBe("4");
  });

  it("separates by tabs in tsv, unless told otherwise", () => {
    const header = (delimiter?: string) =>
      REPORTERS.tsv(TIGHT, { ...OPTIONS, ...(delimiter && { delimiter }) }).split("\r\n")[0];
    expect(header()).toBe(HEADER.replaceAll(",", "\t"));
    expect(header(";")).toBe(HEADER.replaceAll(",", ";"));
  });

  it.each(["csv", "tsv"] as const)("begins with one byte order mark if asked: %s", (format) => {
    const plain = REPORTERS[format](TIGHT, OPTIONS);
    expect(plain.includes(MARK)).toBe(false);
    expect(REPORTERS[format](TIGHT, { ...OPTIONS, bom: true })).toBe(MARK + plain);
  });

  it("quotes numbers that hold the delimiter", () => {
    const csv = REPORTERS.csv(TIGHT, { ...OPTIONS, delimiter: "." });
    expect(read(csv, ".")[0]).toMatchObject({ needed_seconds: "3.5", verdict: "tight" });
  });
});
