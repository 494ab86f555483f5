import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { findChanges } from "../../src/analyses/changes.js";
import { analysisContext } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore } from "../../src/musicxml/document.js";
import { toNumber } from "../../src/theory/fraction.js";
import { outOfOrder } from "../planning/element-order.js";
import { CORPUS_ROOT, corpusScores, describeCorpus } from "../support/corpus.js";
import { errorsAdded, schemaErrorsOfAll } from "../support/schema.js";
import { loadVerovioLog, type VerovioLog } from "../support/verovio-log.js";
import { checked, eyeglassesIn, mark, marksIn, withoutMarks } from "../support/marked.js";
import { wholePart } from "./renotate-cut.js";
import { printPlan } from "./renotate-print.js";
import { seeded } from "./renotate-random.js";
import { sourceParts } from "./renotate-source.js";
import { planPart } from "./renotate.js";

// The parts of the corpus have no change of their own: their passages are written for other instruments, as
// in renotated.test.ts, so that there is something to mark.
const SEEDS = [1];

async function renotatedParts(folder: string) {
  const sources = await sourceParts(folder);
  return sources.flatMap((source) =>
    SEEDS.flatMap((seed) => {
      const plan = planPart(source, wholePart(source), seeded(seed));
      const name = `${source.name}, seed ${seed}`;
      return plan ? [{ name, bytes: Buffer.from(printPlan(plan)) }] : [];
    }),
  );
}

describeCorpus("marking the re-notated clarinet parts of the corpus", () => {
  let logOf: VerovioLog;
  beforeAll(async () => {
    logOf = await loadVerovioLog();
  });

  describe.each(corpusScores().map(({ name }) => name))("%s", (folder) => {
    it("changes nothing but the marks, nor what is reported", async () => {
      for (const { name, bytes } of await renotatedParts(folder)) {
        const marked = mark(bytes);
        expect(marksIn(marked.bytes), name).toHaveLength(marked.marks.length);
        expect(marked.marks.length, name).toBeGreaterThan(0);
        expect(marked.leftOut, name).toEqual([]);
        expect(withoutMarks(marked.bytes) === bytes.toString(), name).toBe(true);
        expect(mark(marked.bytes).bytes.equals(marked.bytes), name).toBe(true);
        expect(checked(marked.bytes) === checked(bytes), name).toBe(true);
        const faults = openScore(marked.bytes)
          .barSlices("P1")
          .flatMap(({ start, end }) => outOfOrder(marked.bytes.toString("utf8", start, end)))
          .filter((fault) => fault.startsWith("direction:"));
        expect(faults, name).toEqual([]);
      }
    });

    it("adds no fault by the published schema", async () => {
      const parts = await renotatedParts(folder);
      const sources = await schemaErrorsOfAll(parts.map(({ bytes }) => bytes.toString()));
      const written = await schemaErrorsOfAll(
        parts.map(({ bytes }) => mark(bytes).bytes.toString()),
      );
      parts.forEach(({ name }, k) => {
        expect(errorsAdded(sources[k] ?? [], written[k] ?? ["not judged"]), name).toEqual([]);
      });
    });

    it("has the eyeglasses where the report has the hands ready", async () => {
      for (const { name, bytes } of await renotatedParts(folder)) {
        const glasses = eyeglassesIn(mark(bytes).bytes);
        const timeline = openScore(bytes).timeline("P1");
        const { context } = analysisContext(timeline, USUAL_PROFILE);
        const { visits } = context.performance;
        for (const { ready, leave, enter, number } of findChanges(context)) {
          if (!ready || ready.quarters.equals(leave.quarters)) continue;
          const start = toNumber(visits[ready.visitIndex]!.startQuarters);
          const { barIndex } = ready;
          const beat = toNumber(timeline.bars[barIndex]!.meter.beatQuarters);
          const at = toNumber(ready.quarters) - start;
          const length = toNumber(visits[ready.visitIndex]!.lengthQuarters);
          // At the next division; or with the cue, which comes within a beat and may be past the barline.
          const isNear = glasses.some(
            (each) =>
              (each.barIndex === barIndex &&
                each.quarters > at - 1e-3 &&
                each.quarters < at + each.division + 1e-3) ||
              (each.barIndex === barIndex &&
                Math.abs(each.quarters - (toNumber(enter.quarters) - start)) < 1e-3 &&
                each.quarters < at + beat + 1e-3) ||
              (each.quarters === 0 &&
                each.barIndex === visits[ready.visitIndex + 1]?.barIndex &&
                length - at < beat + 1e-3),
          );
          expect(isNear, `${name}, change ${number}`).toBe(true);
        }
      }
    });

    it("opens in another program without a warning more", async () => {
      for (const { name, bytes } of await renotatedParts(folder)) {
        expect(logOf(mark(bytes).bytes.toString()), name).toBe(logOf(bytes.toString()));
      }
    });
  });
});

describeCorpus("the standard's example of a change", () => {
  it("is reported on as before, and is the same without its marks", () => {
    const path = join(CORPUS_ROOT, "w3c-examples", "instrument-change-element.musicxml");
    const bytes = readFileSync(path);
    const partId = openScore(bytes).parts[0]!.id;
    const marked = mark(bytes, partId).bytes;
    // Soprano to alto saxophone; the look-up is 5 divisions into the rest.
    expect(marksIn(marked)).toEqual(["alto saxophone: 7.2 s, hands 2.7 s", "look up"]);
    expect(withoutMarks(marked)).toBe(bytes.toString());
    expect(checked(marked, partId)).toBe(checked(bytes, partId));
  });
});
