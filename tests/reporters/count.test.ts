import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import type { CountReport } from "../../src/model/count.js";
import { COUNT_REPORTERS, type CountFormat } from "../../src/reporters/count.js";
import { PLAIN } from "../../src/reporters/index.js";
import { countOf } from "../analyses/counting-cases.js";
import { meter, start } from "../analyses/change-cases.js";
import { A, attributes, note, rest } from "../support/score-xml.js";

const LETTER = "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>";
/** A change with a beat, two bars of 4/4, one of 5/8 (2+3) under B, and then nothing more for two bars. */
const PART = countOf([
  start(note("C5", 3) + rest(1)),
  rest(4),
  rest(4),
  attributes({ meter: "2+3/8" }) + LETTER + rest(2.5),
  meter("4/4") + attributes({ transpose: A }) + rest(1) + note("C5", 3),
  rest(4),
  rest(4),
]);

function show(format: CountFormat, part: CountReport = PART, width = 90): string {
  const options = { width, style: PLAIN, entries: false, bom: false };
  return COUNT_REPORTERS[format]({ parts: [part], errors: [] }, options);
}

describe("the page", () => {
  it("has a block a rest", () => {
    // Quarter = 55, the middle of 50–60: 12.5 quarters are 13.6 s, 8 are 8.7 s.
    const [, section = ""] = show("text").split("EVERY REST\n");
    expect(section.split("\n\n").slice(0, 2).join("\n\n")).toBe(
      [
        "         bars  count  rest             s  on the way",
        " ?  1  bar 1, beat 4 → bar 5, beat 2  B♭ → A",
        "      3 bars + 2 beats, 13.6 s (12.5–15.0)",
        "      hands 3.5 s: eyes down until bar 2, beat 4, count 1",
        "         1     –      1 beat of 4/4  1.1",
        "         2–3   1–2    2 × 4/4        8.7",
        "      B  4     3      5/8 (2+3)      2.7",
        "         5     –      1 beat of 4/4  1.1",
        "         5     ENTER  beat 2 of 4/4       on A",
        "",
        "    ·  end of bar 5 → the end",
        "      2 bars, 8.7 s (8.0–9.6)",
        "         6–7   1–2    2 × 4/4        8.7",
        "         end          tacet to the end, 2 bars",
      ]
        .join("\n")
        .replace(/ +$/gm, ""),
    );
  });

  it.each([40, 60, 80, 120])("keeps within %i columns, and within 90", (width) => {
    const lines = show("text", PART, width).split("\n");
    expect(lines.filter((each) => [...each].length > Math.min(width, 90))).toEqual([]);
  });

  it("of a part without a long rest", () => {
    const none = countOf([start(note("C5", 4)), rest(4), note("C5", 4)], 4);
    expect(show("text", none)).toMatch(/^RESTS of 4 bars or more, and every change\n {2}none$/m);
  });
});

describe("the table", () => {
  it("has a row a group, with a running total", () => {
    const rows: readonly Record<string, string>[] = parse(show("csv"), { columns: true });
    expect(
      rows.map((row) => [row["rest"], row["change"], row["from_bar"], row["meter"], row["count_to"], row["bars_so_far"], row["marks"]]),
    ).toEqual([
      ["1", "1", "1", "4/4", "", "0.25", ""],
      ["1", "1", "2", "4/4", "2", "2.25", ""],
      ["1", "1", "4", "5/8 (2+3)", "3", "3.25", "B; 4/4 to 2+3/8"],
      ["1", "1", "5", "4/4", "", "3.5", "2+3/8 to 4/4"],
      ["2", "", "6", "4/4", "2", "2", ""],
    ]); // prettier-ignore
  });

  it("has a row for a change without a rest", () => {
    const inA = attributes({ transpose: A });
    const direct = countOf([start(note("C5", 4)), inA + note("C5", 4)], 4);
    const rows: readonly Record<string, string>[] = parse(show("csv", direct), { columns: true });
    expect(rows).toMatchObject([{ change: "1", from_bar: "", quarters: "", enter_bar: "2" }]);
  });

  it.each(["=1+1", "@x"])("keeps %j from being a formula", (title) => {
    const [row]: readonly Record<string, string>[] = parse(
      show("csv", { ...PART, title, movement: title }),
      { columns: true },
    );
    expect(row).toMatchObject({ title: `'${title}`, movement: `'${title}` });
  });
});

it("the document has every group, and the count in a line", () => {
  const document = JSON.parse(show("json")) as {
    readonly schema: string;
    readonly parts: readonly {
      readonly rests: readonly { readonly line: string; readonly entry: unknown }[];
    }[];
  };
  expect(document.schema).toBe("muta.count/1");
  const [first, last] = document.parts[0]!.rests;
  expect(first!.line).toBe("1 beat of 4/4, 2 × 4/4, B, 5/8 (2+3), 1 beat of 4/4");
  expect(last).toMatchObject({ entry: null, line: "2 × 4/4" });
});
