import { analyseTempo } from "../../analyses/tempo-report.js";
import { selectParts } from "../../instruments/select-parts.js";
import { InputError } from "../../model/input-error.js";
import type { TempoReport, TimedTempo } from "../../model/report.js";
import type { PartInfo } from "../../model/score.js";
import { TEMPO_REPORTERS, type TempoFormat } from "../../reporters/tempo.js";
import { beatUnit } from "../../reporters/wording/tempi.js";
import { overParts } from "../analyse-files.js";
import { deliver, type DeliveryOptions } from "../deliver.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { refuseSecondStdin } from "../load.js";
import { formatByEnding } from "../output.js";
import { sleepingSheet, type StarterRow } from "../tempo-sheet-text.js";
import { UsageError } from "../usage-error.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta tempo`. */
export interface TempoOptions extends DeliveryOptions {
  readonly format?: TempoFormat;
  readonly part: readonly string[];
  readonly writeSheet?: string;
}

/** Runs `muta tempo`: the tempo map of each part with its sources, or a sheet of it to edit. */
export async function runTempo(files: readonly string[], options: TempoOptions): Promise<ExitCode> {
  refuseSecondStdin(files);
  const { writeSheet } = options;
  if (writeSheet !== undefined && files.length > 1) {
    throw new UsageError("--write-sheet is for one file: a sheet belongs to one movement");
  }
  if (writeSheet !== undefined) refuseIdleOptions(options, writeSheet);
  const wishes = await loadWishes(options);
  const report = await overParts(
    files,
    options,
    (timeline, source) => analyseTempo(timeline, source, wishes),
    partsOf,
  );
  const [first] = report.parts;
  // The sheet goes where the report would.
  const target = writeSheet === undefined ? options : { ...options, out: writeSheet };
  await deliver(report, files, target, (rendering) => {
    if (writeSheet !== undefined && first) return sleepingSheet(starterRows(first), titleOf(first));
    const format = options.format ?? formatByEnding(options.out, ["csv", "json"]);
    return TEMPO_REPORTERS[format](report, rendering);
  });
  return report.errors.length > 0 ? EXIT.badInput : EXIT.clean;
}

/** An option that would do nothing is a mistake that the user should hear of. */
function refuseIdleOptions({ format, out }: TempoOptions, writeSheet: string): void {
  if (/\.(?:csv|tsv|json)$/i.test(writeSheet)) {
    throw new UsageError(`the sheet is written as YAML: name it .yaml, not ${writeSheet}`);
  }
  if (out !== undefined || format !== undefined) {
    throw new UsageError("--write-sheet writes the sheet only; leave out --out and --format");
  }
}

/** All parts share their tempi, but for a word here and there: unless asked, one is shown. */
function partsOf<P extends PartInfo>(
  parts: readonly P[],
  patterns: readonly string[],
): readonly P[] {
  if (patterns.length > 0) return selectParts(parts, patterns);
  try {
    return selectParts(parts, []).slice(0, 1);
  } catch (error) {
    // A score without a woodwind player has its tempi all the same.
    if (error instanceof InputError && error.code === "no-matching-part") return parts.slice(0, 1);
    throw error;
  }
}

function titleOf({ title, movement, file }: TempoReport): string {
  return [title, movement].filter(Boolean).join(" · ") || file;
}

/** A line for every steady tempo of the page: what a player would hear the conductor out on. */
function starterRows({ tempi }: TempoReport): readonly StarterRow[] {
  const seen = new Set<string>();
  return tempi.flatMap((span) => {
    const { from, text, endQuartersPerMinute } = span;
    const place = `${from.barLabel} ${from.beat}`;
    if (endQuartersPerMinute || seen.has(place)) return [];
    seen.add(place);
    return [
      { ...starterRow(span), barLabel: from.barLabel, beat: from.beat, note: wordsOnly(text) },
    ];
  });
}

/** A printed number as it stands, anything else as the range it was taken for. */
function starterRow({ beatQuarters, quartersPerMinute, source }: TimedTempo) {
  const { name, quarters } = beatUnit(beatQuarters);
  const [slow, likely, fast] = (["slow", "likely", "fast"] as const).map((speed) =>
    String(Math.round((10 * quartersPerMinute[speed]) / quarters) / 10),
  );
  const isKnown = source === "metronome" || source === "sheet";
  return { unit: name, tempo: isKnown ? (likely ?? "") : `${slow}-${fast}` };
}

/** The words of a mark without its number, which the player is about to replace. */
function wordsOnly(text: string): string {
  return text.replace(/\s*[([][^()[\]]*=[^()[\]]*[)\]]/g, "").replace(/^[^()[\]]* = .*$/, "");
}
