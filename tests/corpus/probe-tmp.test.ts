import { it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { bestChoice, wholePart, printedChoice } from "../../src/reporters/util/choices.js";
import { corpusScores } from "../support/corpus.js";
import { clarinetParts } from "./sounding-table.js";
import { writeFileSync } from "node:fs";
it("x", async () => {
  let out = "";
  for (const { name } of corpusScores()) {
    const { score, parts } = await clarinetParts(name);
    for (const p of parts) {
      const r = analysePart(score.timeline(p.id), USUAL_PROFILE, { file: "", title: "", movement: "" });
      const w = wholePart(r)!;
      const notes = r.passages.reduce((s, q) => s + q.noteCount, 0);
      const good = r.passages.filter((q) => bestChoice(q)?.printed).reduce((s, q) => s + q.noteCount, 0);
      out += `${name}|${p.name}|${r.instruments.join(",")}|${w.printed.toFixed(3)}|${w.onOne.map((o) => o.instrument + " " + o.score.toFixed(3)).join("; ")}|best ${w.best.toFixed(3)}|${notes}|${(good / notes).toFixed(3)}\n`;
      for (const q of r.passages) {
        out += `   ${q.from.barLabel}-${q.to.barLabel} n=${q.noteCount} snd=${q.soundingFifths} q=${q.notesPerSecond?.quickest.toFixed(1)} ` + q.choices.map((c) => `${c.instrument}${c.printed ? "*" : ""} w=${c.writtenFifths} acc=${c.accidentals} s=${c.difficulty.score.toFixed(2)} f=${c.difficulty.fingers?.toFixed(2)} r=${c.difficulty.reading.toFixed(2)} out=${c.outOfRange}/${c.tooLow} brk=${c.breakCrossings}`).join(" || ") + `  best=${bestChoice(q)?.instrument}\n`;
      }
      for (const d of r.demands) out += `   D ${d.kind} ${d.from.barLabel}-${d.to.barLabel} ${JSON.stringify({...d, from: undefined, to: undefined})}\n`;
    }
  }
  writeFileSync("/tmp/kt/out.txt", out);
});
