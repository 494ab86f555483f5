import { describe, expect, it } from "vitest";
import { readResult, resultLine } from "../../src/cli/result-line.js";
import type { FileAudit } from "../../src/model/season.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { AUDIT_REPORTERS } from "../../src/reporters/audit.js";
import { auditWorkbook } from "../../src/reporters/audit-workbook.js";
import { PLAIN } from "../../src/reporters/index.js";
import { auditFile } from "../../src/season/audit-file.js";
import { seasonReport } from "../../src/season/report.js";
import { auditJob } from "../support/audit-job.js";

const FILE = "fixtures/demo/lanterns-on-the-weir.musicxml";
const { job } = auditJob(FILE);

/** A place in plain data, and what stands there. */
interface Leaf {
  readonly path: readonly (string | number)[];
  readonly value: unknown;
}

/** Every field and item, groups and lists among them. */
function placesIn(value: unknown, path: readonly (string | number)[] = []): readonly Leaf[] {
  if (typeof value !== "object" || value === null) return [{ path, value }];
  const inside = Array.isArray(value)
    ? value.flatMap((each, k) => placesIn(each, [...path, k]))
    : Object.entries(value).flatMap(([name, each]) => placesIn(each, [...path, name]));
  return [{ path, value }, ...inside];
}

/** A copy with something else at one place; without the field where that is `undefined`. */
function withOther(data: unknown, path: readonly (string | number)[], other: unknown): unknown {
  const [step, ...rest] = path;
  if (step === undefined) return other;
  const copy = (Array.isArray(data) ? [...(data as unknown[])] : { ...(data as object) }) as Record<
    string | number,
    unknown
  >;
  copy[step] = withOther(copy[step], rest, other);
  return copy;
}

async function aResult() {
  const audit = JSON.parse(JSON.stringify(await auditFile(job))) as FileAudit;
  const text = resultLine(job, audit);
  return { audit, text, data: JSON.parse(text) as unknown };
}

function read(data: unknown) {
  return readResult({ number: 1, bytes: Buffer.from(JSON.stringify(data)) });
}

/** One of each kind of place, whatever item of a list it is in. */
function oneOfEach(places: readonly Leaf[]): readonly Leaf[] {
  const kind = ({ path, value }: Leaf) =>
    `${path.map((step) => (typeof step === "number" ? "#" : step)).join(".")} ${value === null ? "null" : typeof value}`;
  return [...new Map(places.map((each) => [kind(each), each])).values()];
}

describe("a result", () => {
  it("comes back as it was written, its fields in their order", async () => {
    const { audit, text } = await aResult();
    const result = readResult({ number: 1, bytes: Buffer.from(text) });
    expect(result).toMatchObject({ ok: true, value: { file: FILE } });
    expect(result.ok && JSON.stringify(result.value.audit)).toBe(JSON.stringify(audit));
  });

  it("with a wrong kind of thing at any place, with a field missing or too many, is none", async () => {
    const { data } = await aResult();
    const places = oneOfEach(placesIn(data));
    expect(places.length).toBeGreaterThan(100);
    const optional = /\.(?:movement|keyFits|player|part|bar)$/;
    for (const { path, value } of places) {
      const name = path.join(".");
      const wrong = [
        typeof value === "string" ? 7 : "x",
        true === value || false === value ? 1 : true,
        ...(value === null ? [] : [null]),
        ...(typeof value === "object" && value !== null && !Array.isArray(value)
          ? [{ ...value, surplus: 1 }]
          : []),
        ...(typeof path.at(-1) === "string" && !optional.test(`.${name}`) ? [undefined] : []),
      ];
      for (const other of wrong) {
        // Whether somebody has notes, and how long it lasts, may be unknown.
        if (other === null && /(?:edges|pause|audit\.durationSeconds)$/.test(name)) continue;
        // A name may be any text.
        if (other === "x" && typeof value === "string") continue;
        const result = read(withOther(data, path, other));
        // Another build's results are not looked into.
        if (name === "muta" && typeof other === "string") continue;
        expect([name, other, result.ok]).toEqual([name, other, false]);
      }
    }
  });

  it("with any number or text in it makes a report", async () => {
    const { data } = await aResult();
    const season = {
      ...{ name: "", players: [], profile: USUAL_PROFILE },
      programmes: [1, 2].map(() => ({
        ...{ name: "P", date: "" },
        works: [
          {
            title: "",
            movements: [FILE, FILE].map((file) => ({
              ...{ title: "", path: file, file, parts: [], tacet: false, partOf: {}, wishes: {} },
              after: { kind: "usual" as const },
            })),
          },
        ],
      })),
    };
    let reports = 0;
    for (const { path, value } of oneOfEach(placesIn(data))) {
      // A number that no file has, a text that no part has, nothing at all, and everything twice.
      const others =
        typeof value === "number"
          ? [-1, 1e308]
          : typeof value === "string"
            ? ["\u001b[2J\u202e\n=1+1", "x".repeat(40_000)]
            : Array.isArray(value)
              ? [[], [...(value as unknown[]), ...(value as unknown[])]]
              : [];
      for (const other of others) {
        const result = read(withOther(data, path, other));
        if (!result.ok || !result.value.audit) continue;
        const { audit } = result.value;
        const report = seasonReport(season, [audit, audit, audit, audit]);
        const options = { width: 80, style: PLAIN, bom: false };
        for (const format of ["text", "csv", "json"] as const) {
          const text = AUDIT_REPORTERS[format](report, options);
          if (format !== "csv") expect(text).not.toContain("\u001b");
        }
        // The workbook takes longest.
        if (reports % 8 === 0) await auditWorkbook(report, options);
        reports++;
      }
    }
    expect(reports).toBeGreaterThan(100);
  });
});
