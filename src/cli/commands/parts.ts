import { isWindDoublerName } from "../../instruments/names.js";
import { instrumentsFor } from "../../instruments/table.js";
import type { InputFailure } from "../../model/report.js";
import type { Transposition } from "../../model/score.js";
import type { PrintedTransposition, ScoreDocument } from "../../musicxml/document.js";
import { clean } from "../../reporters/util/clean.js";
import { jsonText } from "../../reporters/util/json-text.js";
import { columns } from "../../reporters/util/layout.js";
import { sameTransposition, transpositionSemitones } from "../../theory/pitch.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureOf, failureText, loadScore } from "../load.js";
import { writeStdout } from "../output.js";

/** What the user asked of `muta parts`. */
export interface PartsOptions {
  readonly format: "text" | "json";
}

interface PartRow {
  readonly id: string;
  readonly name: string;
  readonly instruments: readonly string[];
  readonly bars: number;
  readonly transpositions: readonly (Transposition & {
    readonly semitones: number;
    readonly fromBar: string;
  })[];
}

/** Runs `muta parts`: what is in each file, without reading its notes. */
export async function runParts(files: readonly string[], options: PartsOptions): Promise<ExitCode> {
  const listings: { file: string; title: string; movement: string; parts: readonly PartRow[] }[] =
    [];
  const errors: InputFailure[] = [];
  for (const file of files) {
    try {
      const score = await loadScore(file);
      listings.push({
        file,
        title: score.title,
        movement: score.movement,
        parts: score.parts.map(({ id }) => partRow(score, id)),
      });
    } catch (error) {
      errors.push(failureOf(error, file));
    }
  }
  for (const error of errors) complain(failureText(error));
  if (listings.length > 0) {
    const text =
      options.format === "json"
        ? jsonText({ schema: "muta.parts/1", files: listings, errors })
        : listings.map(listingText).join("\n");
    await writeStdout(text);
  }
  return errors.length > 0 ? EXIT.badInput : EXIT.clean;
}

function partRow(score: ScoreDocument, id: string): PartRow {
  const part = score.parts.find((each) => each.id === id);
  return {
    id,
    name: part?.name ?? "",
    instruments: (part?.scoreInstruments ?? []).map(({ name, sound }) => name || sound || ""),
    bars: part?.barCount ?? 0,
    transpositions: fromTheStart(score, id).map(({ barLabel, value }) => ({
      ...value,
      semitones: transpositionSemitones(value),
      fromBar: barLabel,
    })),
  };
}

const AS_WRITTEN: Transposition = { diatonic: 0, chromatic: 0, octaveChange: 0 };

/** Each transposition where it is new; a part that begins without one sounds as written until the first. */
function fromTheStart(score: ScoreDocument, id: string): readonly PrintedTransposition[] {
  const printed = score.transpositions(id);
  const [first] = printed;
  const all: readonly PrintedTransposition[] =
    first && first.barIndex > 0
      ? [{ barIndex: 0, barLabel: score.firstBarLabel(id), value: AS_WRITTEN }, ...printed]
      : printed;
  return all.filter(({ value }, k) => {
    const before = all[k - 1]?.value;
    return !before || !sameTransposition(before, value);
  });
}

function listingText({
  file,
  title,
  movement,
  parts,
}: {
  file: string;
  title: string;
  movement: string;
  parts: readonly PartRow[];
}): string {
  const heading = [file, title, movement].map(clean).filter(Boolean).join(" · ");
  const rows = parts.map(({ id, name, instruments, bars, transpositions }) => [
    `  ${clean(id)}`,
    clean(name),
    instruments.map(clean).join(", "),
    `${bars} bars`,
    transpositions.length === 0
      ? "as written"
      : transpositions
          .map((each) =>
            transpositionLabel(each, transpositions.length > 1, isWindDoublerName(name)),
          )
          .join(", "),
  ]);
  return `${heading}\n${columns([["  id", "name", "instruments", "", "transposition"], ...rows]).join("\n")}\n`;
}

/** "−3 semitones (as A)"; the instrument is named only where the part is for a woodwind player. */
function transpositionLabel(
  by: PartRow["transpositions"][number],
  several: boolean,
  woodwind: boolean,
): string {
  const { semitones, fromBar } = by;
  const [instrument] = woodwind ? instrumentsFor(by) : [];
  const steps =
    semitones === 0
      ? "as written"
      : `${semitones > 0 ? "+" : "−"}${Math.abs(semitones)} semitones${instrument ? ` (as ${instrument.shortName})` : ""}`;
  return several ? `${steps} from bar ${clean(fromBar)}` : steps;
}
