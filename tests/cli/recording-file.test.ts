import { writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseRecording, readRecording } from "../../src/cli/recording-file.js";
import { InputError } from "../../src/model/input-error.js";
import { temporaryFolder } from "../support/run-muta.js";

/** "12/1 #2 83.5": where, in which pass and at which second. */
function placesOf(text: string): readonly string[] {
  return parseRecording(text, "x").places.map(
    ({ barLabel, beat, pass, seconds }) =>
      `${barLabel}/${beat}${pass === undefined ? "" : ` #${pass}`} ${seconds}`,
  );
}

function complaintOf(read: () => unknown): string {
  try {
    read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.code).toBe("bad-recording");
    expect(error.message).not.toMatch(/[\n\r]|Object|Array|undefined|NaN/);
    return error.message;
  }
  throw new Error("nothing was complained of");
}

const TWO = ["1/1 0", "2/1 1.5"];

describe("a recording", () => {
  it.each<[string, string, readonly string[]]>([
    ["commas", "bar,seconds\n1,0\n2,1.5\n", TWO],
    ["no last line end", "bar,seconds\n1,0\n2,1.5", TWO],
    ["semicolons", "bar;seconds\n1;0\n2;1,5\n", TWO],
    ["semicolons with points", "bar;seconds\n1;0\n2;1.5\n", TWO],
    ["tabs", "bar\tseconds\n1\t0\n2\t1,5\n", TWO],
    ["measure and time", "Measure,TIME\n1,0\n2,1.5\n", TWO],
    ["sec", "sec, bar\n0, 1\n1.5, 2\n", TWO],
    ["all columns", "seconds,pass,beat,bar\n0,1,1,1\n1.5,2,2.5,1\n", ["1/1 #1 0", "1/2.5 #2 1.5"]],
    ["empty beats and passes", "bar,beat,pass,seconds\n1,,,0\n2,,,1.5\n", TWO],
    ["no header row", "1,0\n2,1.5\n", TWO],
    ["no header row, with beats", "1,2,0\n1,3.5,1.5\n", ["1/2 0", "1/3.5 1.5"]],
    ["no header row, with an empty column", "1,0,\n2,1.5\n", TWO],
    ["no header row, with decimal commas", "1;2,5;0,25\n2;1;0:01,5\n", ["1/2.5 0.25", "2/1 1.5"]],
    ["no header row, a label first", "A1,0:00\n2,0:01.5\n", ["A1/1 0", "2/1 1.5"]],
    ["no header row after a remark", "# bar, or so\n\n1,0\n2,1.5\n", TWO],
    ["minutes", "bar,seconds\n1,0:59\n2,1:02.125\n3,75:00\n", ["1/1 59", "2/1 62.125", "3/1 4500"]],
    [
      "hours",
      "bar,seconds\n1,0:59:59\n2,1:00:00.5\n3,01:02:03\n",
      ["1/1 3599", "2/1 3600.5", "3/1 3723"],
    ],
    ["seconds beyond a minute", "bar,seconds\n1,59.999\n2,3601\n", ["1/1 59.999", "2/1 3601"]],
    ["not from 0", "bar,seconds\n12,754\n13,756.25\n", ["12/1 754", "13/1 756.25"]],
    [
      "a bar that comes back",
      "bar,seconds\n1,0\n2,1\n1,2\n2,3\n",
      ["1/1 0", "2/1 1", "1/1 2", "2/1 3"],
    ],
    ["a bar repeated by itself", "bar,seconds\n1,0\n1,1\n", ["1/1 0", "1/1 1"]],
    ["labels that are no numbers", "bar,seconds\n12a,0\n X 1 ,1\n", ["12a/1 0", "X 1/1 1"]],
    [
      "a byte order mark, CRLF and empty lines",
      "\uFEFFbar,seconds\r\n\r\n1,0\r\n,\r\n2,1.5\r\n",
      TWO,
    ],
    ["lone CR", "bar,seconds\r1,0\r2,1.5\r", TWO],
    ["remarks", "# by me\nbar,seconds\n1,0\n# later, 3\n2,1.5\n", TWO],
    ["quotes", '"bar","seconds"\n"1","0"\n"2","0:01.5"\n', TWO],
    ["an empty last column", "bar,seconds,\n1,0,\n2,1.5,\n", TWO],
  ])("is read: %s", (_, text, places) => {
    expect(placesOf(text)).toEqual(places);
  });

  it("is named by its file", async () => {
    const path = join(temporaryFolder(), "Live 1999.csv");
    writeFileSync(path, "bar,seconds\n1,0\n2,0:01.5\n");
    expect(await readRecording(path)).toEqual({
      name: "Live 1999.csv",
      places: [
        { barLabel: "1", beat: 1, seconds: 0 },
        { barLabel: "2", beat: 1, seconds: 1.5 },
      ],
    });
  });

  it("reads every time of day as its seconds", () => {
    const part = (value: number) => String(value).padStart(2, "0");
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 359_999_999 }), (milliseconds) => {
        const seconds = milliseconds / 1000;
        const rest = (milliseconds % 60_000) / 1000;
        const tail = `${rest < 10 ? "0" : ""}${rest.toFixed(3)}`;
        const minutes = Math.floor(milliseconds / 60_000);
        const asHours = `${Math.floor(minutes / 60)}:${part(minutes % 60)}:${tail}`;
        const forms = [String(seconds), asHours, ...(minutes < 1000 ? [`${minutes}:${tail}`] : [])];
        for (const form of forms) {
          const { places } = parseRecording(`bar,time\n1,${form}\n2,999999`, "x");
          expect(places[0]?.seconds).toBeCloseTo(seconds, 6);
        }
      }),
    );
  });
});

const SECONDS = "must be seconds, such as 83.25, or minutes and seconds, such as 1:23.25";
const FIRST =
  "is neither a header row, which names bar and seconds (and beat, pass), nor a bar with its seconds";
const FEW = "at least two places with their seconds are needed; there is ";

describe("a mistake in a recording", () => {
  it.each<[string, string, string]>([
    ["nothing", "", `${FEW}none`],
    ["only remarks", "# bar, seconds\n\n", `${FEW}none`],
    ["only a header row", "bar,seconds\n", `${FEW}none`],
    ["one place", "bar,seconds\n1,0\n", `${FEW}one`],
    ["one place without a header row", "1,0\n", `${FEW}one`],
    ["words", "to be done", `line 1: ${FIRST}`],
    ["other names", "Takt;Zeit\n1;0\n2;1\n", `line 1: ${FIRST}`],
    ["one column", "# x\n1\n2\n", `line 2: ${FIRST}`],
    ["four columns and no names", "1,1,1,0\n2,1,1,1\n", `line 1: ${FIRST}`],
    [
      "XML",
      '<?xml version="1.0"?>\n<a/>',
      'line 1: a quotation mark stands inside a cell: put the cell in quotes and double the mark ("")',
    ],
    [
      "no seconds",
      "bar,beat\n1,1\n",
      "line 1: the header row must name bar and seconds; seconds is missing",
    ],
    [
      "no bar",
      "beat,seconds\n1,1\n",
      "line 1: the header row must name bar and seconds; bar is missing",
    ],
    [
      "both names of a column",
      "bar,measure,time\n1,1,1\n",
      "line 1: the header row names bar twice",
    ],
    [
      "an unknown column",
      "bar,seconds,dynamics\n1,0,p\n",
      'line 1: "dynamics" is not a column of the recording; the columns are bar, beat, pass, seconds',
    ],
    ["an empty time", "bar,seconds\n1,0\n2,\n", "line 3: seconds: is missing"],
    ["an empty bar", "bar,seconds\n1,0\n,1\n", "line 3: bar: is missing"],
    ["a word for a time", "bar,seconds\n1,0\n\n2,soon\n", `line 4: seconds: ${SECONDS}`],
    ["a negative time", "bar,seconds\n1,-1\n2,0\n", `line 2: seconds: ${SECONDS}`],
    ["an exponent", "bar,seconds\n1,1e3\n2,2e3\n", `line 2: seconds: ${SECONDS}`],
    ["no end of time", "bar,seconds\n1,Infinity\n", `line 2: seconds: ${SECONDS}`],
    ["sixty seconds", "bar,seconds\n1,0:60\n", `line 2: seconds: ${SECONDS}`],
    ["one digit of seconds", "bar,seconds\n1,1:5\n", `line 2: seconds: ${SECONDS}`],
    ["sixty minutes in an hour", "bar,seconds\n1,1:60:00\n", `line 2: seconds: ${SECONDS}`],
    ["one digit of minutes in an hour", "bar,seconds\n1,1:5:00\n", `line 2: seconds: ${SECONDS}`],
    ["days", "bar,seconds\n1,1:00:00:00\n", `line 2: seconds: ${SECONDS}`],
    [
      "a decimal comma between commas",
      'bar,seconds\n1,0\n2,"1,5"\n',
      `line 3: seconds: ${SECONDS}`,
    ],
    [
      "a decimal comma without quotes",
      "bar,seconds\n1,0\n2,1,5\n",
      "line 3: cell 3 is in no column (a comma inside a cell needs quotation marks around the cell)",
    ],
    ["thousands", "bar;seconds\n1;1.234,5\n2;3\n", `line 2: seconds: ${SECONDS}`],
    [
      "beat 0",
      "bar,beat,seconds\n1,0,0\n",
      "line 2: beat: must be 1 or more: beats are counted from 1",
    ],
    [
      "a word for a beat",
      "bar,beat,seconds\n1,x,0\n",
      "line 2: beat: must be a number, such as 2 or 2.5",
    ],
    [
      "pass 0",
      "bar,pass,seconds\n1,0,0\n",
      "line 2: pass: must be a whole number from 1: 2 for the second time through the bar",
    ],
    [
      "back in time",
      "bar,seconds\n1,0\n# x\n2,14\n\n3,0:12.5\n",
      "line 6: 12.5 seconds are not later than the 14 seconds of line 4",
    ],
    [
      "no time between",
      "1,0\n2,1\n3,1.0\n",
      "line 3: 1 seconds are not later than the 1 seconds of line 2",
    ],
    [
      "a place twice",
      "bar,pass,seconds\n1,1,0\n2,1,1\n1,1,2\n",
      "line 4: bar 1, beat 1, pass 1 has its seconds in line 2 already",
    ],
    ["an open quote", 'bar,seconds\n1,0\n"2,1\n', "line 3: a quotation mark is not closed"],
  ])("is named with its line: %s", (_, text, message) => {
    expect(complaintOf(() => parseRecording(text, "x"))).toBe(message);
  });

  it.each(["__proto__", "constructor", "toString"])("is the column %s", (name) => {
    const text = `bar,seconds,${name}\n1,0,1\n2,1,1\n`;
    expect(complaintOf(() => parseRecording(text, "x"))).toContain(`"${name}" is not a column`);
  });

  it.each<[string, string | Uint8Array, string]>([
    ["huge.csv", "#".repeat(5_000_001), "the recording is too large"],
    [
      "binary.csv",
      Uint8Array.of(0x52, 0x49, 0x46, 0x46, 0, 1, 2),
      "the recording is not a text file",
    ],
    [
      "latin1.csv",
      Buffer.from("bar,seconds\nü,0\n", "latin1"),
      "the recording is not valid UTF-8: save it as text in UTF-8",
    ],
    ["empty.csv", "", `${FEW}none`],
  ])("is refused as a file: %s", async (name, content, message) => {
    const path = join(temporaryFolder(), name);
    writeFileSync(path, content);
    await expect(readRecording(path)).rejects.toMatchObject({ code: "bad-recording", message });
  });

  it("is in the name of the file", async () => {
    const folder = temporaryFolder();
    await expect(readRecording(join(folder, "x.csv"))).rejects.toThrow("there is no such file");
    await expect(readRecording(folder)).rejects.toThrow("cannot be read (EISDIR)");
    await expect(readRecording("-")).rejects.toThrow("cannot be used here");
  });
});

describe("a large recording", () => {
  const rows = (count: number) =>
    `bar,seconds\n${Array.from({ length: count }, (_, k) => `${k},${k}\n`).join("")}`;

  it("may have 200,000 places and no more", { timeout: 60_000 }, () => {
    expect(parseRecording(rows(200_000), "x").places).toHaveLength(200_000);
    expect(complaintOf(() => parseRecording(rows(200_001), "x"))).toBe(
      "the recording has more than 200000 rows",
    );
  });

  it.each([
    ",".repeat(5e6),
    "\n".repeat(5e6),
    '"'.repeat(5e6),
    " ,".repeat(2e6),
    "1\n".repeat(2e6),
  ])("of nothing is refused (%#)", { timeout: 60_000 }, (text) => {
    expect(complaintOf(() => parseRecording(text, "x"))).not.toBe("");
  });

  it("gets an answer or a complaint, whatever it is", () => {
    const piece = fc.constantFrom(
      ...[
        "bar",
        "seconds",
        "beat",
        "1",
        "2",
        "0:01",
        ",",
        ";",
        "\t",
        ":",
        " ",
        "\n",
        "\r",
        '"',
        "#",
      ],
      ...["\0", "\uFEFF", "\u2028", "1.5", "1,5"],
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), (pieces) => {
        try {
          expect(parseRecording(pieces.join(""), "x").places.length).toBeGreaterThan(1);
        } catch (error) {
          if (!(error instanceof InputError)) throw error;
        }
      }),
      { numRuns: 1000 },
    );
  });
});
