// Speed and memory as ratios, taken in one run on one machine: never a timed test.
// The yardstick is a bare saxes pass (no handlers) over the same bytes.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { SaxesParser } from "saxes";
import {
  analysePart,
  openScore,
  readScoreFile,
  selectParts,
  USUAL_PROFILE,
} from "../dist/index.js";
import { benchAudit } from "./bench-audit.js";
import { median, peakKilobytes, time } from "./bench-figures.js";
import { generatedScore } from "./bench-score.js";

const CORPUS = join(process.env.MUTA_CORPUS ?? resolve("../shared"), "corpus");
const ROUNDS = 15;
/** As many as a movement with frequent changes has. */
const CHANGES = 8;
const folder = mkdtempSync(join(tmpdir(), "muta-bench-"));

try {
  const scoreFile = await largeScore();
  const { bytes } = await readScoreFile(scoreFile);
  const plainFile = join(folder, "score.musicxml");
  writeFileSync(plainFile, bytes);
  const partBytes = onePart(bytes);
  const partFile = join(folder, "part.musicxml");
  writeFileSync(partFile, partBytes);

  report("cut and analyse one part of a score", bytes, 1, () => check(bytes));
  const changing = withChanges(bytes, CHANGES);
  const changes = listen(changing).changes.length;
  if (changes !== CHANGES) throw new Error(`${changes} changes instead of ${CHANGES}`);
  report(`the same with ${CHANGES} changes, listening`, changing, 2, () => listen(changing));
  // The fingers are tried out on every instrument, which takes as long as reading the part.
  report("a file of one part", partBytes, 7, () => check(partBytes));
  startUp();
  memory("peak memory, score", plainFile);
  memory("peak memory, one part", partFile);
  await benchAudit(mkdtempSync(join(folder, "audit-")), await corpusScores(), line);
} finally {
  rmSync(folder, { recursive: true });
}

/** The largest corpus score where there is one, else a generated score of the same size. */
async function largeScore() {
  const score = join(CORPUS, "brahms-op98-1/score.mxl");
  if (existsSync(score)) return score;
  console.log("no corpus: a generated score is used");
  const file = join(folder, "generated.musicxml");
  writeFileSync(file, generatedScore());
  return file;
}

/** All scores of the corpus; none without it. */
async function corpusScores() {
  if (!existsSync(CORPUS)) return [];
  const files = readdirSync(CORPUS, { withFileTypes: true }).filter((each) => each.isDirectory());
  const scores = files.map(({ name }) => readScoreFile(join(CORPUS, name, "score.mxl")));
  return (await Promise.all(scores)).map(({ bytes }) => bytes);
}

function check(bytes) {
  const score = openScore(bytes);
  const [part] = selectParts(score.parts, []);
  return analysePart(score.timeline(part.id), USUAL_PROFILE, { ...score, file: "" });
}

/** The same with the other players: what to listen for, and how exposed each change is. */
function listen(bytes) {
  const score = openScore(bytes);
  const [part] = selectParts(score.parts, []);
  const source = { ...score, file: "", orchestra: score.otherParts(part.id) };
  return analysePart(score.timeline(part.id), USUAL_PROFILE, source);
}

/** The first clarinet changes to and fro, in so many of its whole-bar rests from beginning to end. */
function withChanges(bytes, count) {
  const text = bytes.toString("utf8");
  const [{ id }] = selectParts(openScore(bytes).parts, []);
  const start = text.indexOf(`<part id="${id}">`);
  const end = text.indexOf("</part>", start);
  const bars = text.slice(start, end).split(/(?=<measure\b)/);
  const isPlayed = (bar) => bar.includes("<pitch>");
  const rests = bars.flatMap((bar, k) =>
    k > 1 && !isPlayed(bar) && isPlayed(bars[k - 1]) && bars.slice(k).some(isPlayed) ? [k] : [],
  );
  for (let n = 0; n < count; n++) {
    const k = rests[Math.floor(((n + 0.5) * rests.length) / count)];
    const words = `<words>muta in ${n % 2 === 0 ? "Do" : "Re"}</words>`;
    const direction = `<direction><direction-type>${words}</direction-type></direction>`;
    bars[k] = bars[k].replace(/(<measure\b[^>]*>)/, `$1${direction}`);
  }
  return Buffer.from(text.slice(0, start) + bars.join("") + text.slice(end));
}

/** The document with the first clarinet part alone. */
function onePart(bytes) {
  const text = bytes.toString("utf8");
  const [{ id }] = selectParts(openScore(bytes).parts, []);
  const header = text.slice(0, text.indexOf("<part-list>"));
  const entry = new RegExp(`<score-part id="${id}">[\\s\\S]*?</score-part>`).exec(text)[0];
  const part = new RegExp(`<part id="${id}">[\\s\\S]*?</part>`).exec(text)[0];
  return Buffer.from(`${header}<part-list>${entry}</part-list>${part}</score-partwise>`);
}

/** Runs the work and the yardstick in turn and compares their medians. */
function report(name, bytes, limit, work) {
  const text = bytes.toString("utf8");
  const times = { work: [], yardstick: [] };
  for (let round = -3; round < ROUNDS; round++) {
    const measured = {
      yardstick: time(() => new SaxesParser().write(text).close()),
      work: time(work),
    };
    if (round < 0) continue;
    for (const key of Object.keys(measured)) times[key].push(measured[key]);
  }
  const [mine, bare] = [median(times.work), median(times.yardstick)];
  line(
    name,
    `${mine.toFixed(1)} ms`,
    `bare pass ${bare.toFixed(1)} ms (${size(bytes.length)})`,
    mine / bare,
    limit,
  );
}

function startUp() {
  const times = { bare: [], muta: [] };
  for (let round = 0; round < ROUNDS; round++) {
    times.bare.push(time(() => execFileSync(process.execPath, ["-e", "0"])));
    times.muta.push(time(() => execFileSync(process.execPath, ["bin/muta.js", "--version"])));
  }
  const [mine, bare] = [median(times.muta), median(times.bare)];
  line("start-up", `${mine.toFixed(0)} ms`, `node -e 0 ${bare.toFixed(0)} ms`, mine / bare, 2.5);
}

/** Peak resident memory of a whole run of the command, against 6 times the document and 95 MB. */
function memory(name, file) {
  const kilobytes = peakKilobytes(["bin/muta.js", "check", file]);
  const allowed = 6 * statSync(file).size + 95e6;
  line(name, size(kilobytes * 1024), `allowed ${size(allowed)}`, (kilobytes * 1024) / allowed, 1);
}

function line(name, mine, other, ratio, limit) {
  const verdict = ratio <= limit ? "within" : "OVER";
  console.log(
    `${name.padEnd(38)} ${mine.padStart(10)}  ${other.padEnd(34)} ratio ${ratio.toFixed(2)}, ${verdict} ${Number(limit.toFixed(2))}`,
  );
  if (ratio > limit) process.exitCode = 1;
}

function size(bytes) {
  return `${(bytes / 1e6).toFixed(1)} MB`;
}
