import { InputError } from "../../model/input-error.js";
import { INSTRUMENT_IDS, type InstrumentId } from "../../model/instrument.js";
import { openScore } from "../../musicxml/document.js";
import { rewriteBars, type BarRange, type RewriteWarning } from "../../planning/rewrite.js";
import { clean } from "../../reporters/util/clean.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureOf, failureText, loadBytes } from "../load.js";
import { onePart, refuseCompressed } from "../one-part.js";
import { writeResult } from "../output.js";
import { UsageError } from "../usage-error.js";

/** What the user asked of `muta rewrite`. */
export interface RewriteOptions {
  readonly bars: readonly string[];
  readonly for: string;
  readonly part?: string;
  readonly out?: string;
  readonly force: boolean;
}

/** Runs `muta rewrite`: some bars of one part, written for another instrument. */
export async function runRewrite(file: string, options: RewriteOptions): Promise<ExitCode> {
  const { out, force } = options;
  const instrument = instrumentNamed(options.for);
  refuseCompressed(out);
  try {
    const bytes = await loadBytes(file);
    const score = openScore(bytes);
    const part = onePart(score.parts, options.part, "rewritten");
    const labels = new Set(score.barSlices(part.id).map(({ label }) => label));
    const ranges = options.bars.map((text) => barRange(text, labels));
    const result = rewriteBars(bytes, score, { partId: part.id, ranges, instrument });
    for (const warning of result.warnings) complain(warningText(warning, instrument));
    await writeResult(result.bytes, { path: out, force, inputs: [file] });
    return EXIT.clean;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    complain(failureText(failureOf(error, file)));
    return EXIT.badInput;
  }
}

function instrumentNamed(text: string): InstrumentId {
  const id = INSTRUMENT_IDS.find((each) => each === text.trim().toLowerCase());
  if (id) return id;
  const known = INSTRUMENT_IDS.join(", ");
  throw new UsageError(`--for knows no instrument "${clean(text)}"; it takes ${known}`);
}

/** "41-56", "41–56" or "41"; a printed number may have a dash of its own. */
function barRange(text: string, labels: ReadonlySet<string>): BarRange {
  const whole = text.trim();
  if (labels.has(whole)) return { from: whole, to: whole };
  const [, from, to] = /^(\S+?)\s*[-–]\s*(\S+)$/.exec(whole) ?? [];
  return from === undefined || to === undefined ? { from: whole, to: whole } : { from, to };
}

function warningText(warning: RewriteWarning, instrument: InstrumentId): string {
  switch (warning.kind) {
    case "already-so":
      return `nothing to rewrite: these bars are for ${instrument} already`;
    case "out-of-range":
      return `${instrument} does not have all the notes of ${barList(warning.bars)}`;
    case "tied-in":
      return `${barList(warning.bars)} begins in a note tied from before, where nobody can change`;
    case "words-left":
      return `bar ${clean(warning.bar)} still says "${clean(warning.text)}": see whether it is right`;
  }
}

function barList(bars: readonly string[]): string {
  return `bar${bars.length === 1 ? "" : "s"} ${bars.map(clean).join(", ")}`;
}
