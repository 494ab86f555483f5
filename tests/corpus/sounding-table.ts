import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { analysisContext } from "../../src/analyses/index.js";
import { selectParts } from "../../src/instruments/select-parts.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore, type ListedPart } from "../../src/musicxml/document.js";
import { readScoreFile } from "../../src/musicxml/source.js";
import { midiNumber, soundingPitch } from "../../src/theory/pitch.js";
import { CORPUS_ROOT } from "../support/corpus.js";

/** A stretch of sound: quarters from the start, and the highest sounding pitch (MIDI 1.0 number). */
export interface Sound {
  readonly start: number;
  readonly end: number;
  readonly pitch: number;
}

/** One row of `sounding.csv` for one part: null where the part is silent. */
export interface SoundingRow {
  readonly quarters: number;
  readonly bar: string;
  readonly pitch: number | null;
}

/** The clarinet parts of a corpus score, as chosen without `--part`. */
export async function clarinetParts(folder: string) {
  const { bytes } = await readScoreFile(join(CORPUS_ROOT, "corpus", folder, "score.mxl"));
  const score = openScore(bytes);
  return { score, parts: selectParts(score.parts, []) };
}

/** What the part sounds like by our reading, in the order of performance; grace notes take no time. */
export function soundsOf(score: ReturnType<typeof openScore>, part: ListedPart) {
  const { context } = analysisContext(score.timeline(part.id), USUAL_PROFILE);
  const sounds = context.stretches
    .flatMap(({ notes }) => notes)
    .filter(({ note }) => !note.grace)
    .map(({ note, noteIndex, startQuarters, endQuarters }): Sound => ({
      start: startQuarters.valueOf(),
      end: endQuarters.valueOf(),
      pitch: Math.max(
        ...note.pitches.map((written) =>
          midiNumber(soundingPitch(written, context.inHand.transpositionOf(noteIndex))),
        ),
      ),
    }));
  return { sounds, context };
}

const SEMITONES: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** Reads a pitch as the tables write it: `B-3` is B-flat 3, `C#5` is C-sharp 5, `r` silence. */
export function tablePitch(text: string): number | null {
  if (text === "r") return null;
  const match = /^([A-G])(#*|-*)(\d)$/.exec(text);
  if (!match) throw new Error(`not a pitch of the table: ${text}`);
  const [, step = "", signs = "", octave = ""] = match;
  const alter = signs.startsWith("#") ? signs.length : -signs.length;
  return (SEMITONES[step] ?? NaN) + alter + 12 * (Number(octave) + 1);
}

type TableRow = Readonly<Record<string, string>>;
const tables = new Map<string, readonly TableRow[]>();

function tableOf(folder: string): readonly TableRow[] {
  const known = tables.get(folder);
  if (known) return known;
  const text = readFileSync(join(CORPUS_ROOT, "corpus", folder, "sounding.csv"), "utf8");
  const rows: readonly TableRow[] = parse(text, { columns: true });
  tables.set(folder, rows);
  return rows;
}

function columnOf(partName: string): string {
  return partName.replace("♭", "b");
}

export function hasColumn(folder: string, partName: string): boolean {
  return tableOf(folder)[0]?.[columnOf(partName)] !== undefined;
}

/** The column of one part. */
export function soundingRows(folder: string, partName: string): readonly SoundingRow[] {
  const column = columnOf(partName);
  return tableOf(folder).map((row) => {
    const pitch = row[column];
    if (pitch === undefined) throw new Error(`sounding.csv of ${folder} has no column "${column}"`);
    return { quarters: Number(row["qstamp"]), bar: row["measure"] ?? "", pitch: tablePitch(pitch) };
  });
}

/**
 * In beach-op32-2 the table counts two quarters too many from bar 168 (a bar's rest under a fermata, missing
 * from the table) on. The corpus's own bars.json puts bar 169 at 406.5 and repeats 17 bars of two quarters
 * before it, so that it begins at 440.5; the table says 442.5.
 */
export function unshifted(folder: string, rows: readonly SoundingRow[]): readonly SoundingRow[] {
  if (folder !== "beach-op32-2") return rows;
  return rows.map((row) => (row.quarters >= 442 ? { ...row, quarters: row.quarters - 2 } : row));
}

/** The tables give positions to four decimals; a row may stand this far from the moment it means. */
export const TOLERANCE_QUARTERS = 0.001;

export function pitchAt(sounds: readonly Sound[], quarters: number): number | null {
  const sounding = sounds.filter(({ start, end }) => start <= quarters && end > quarters);
  return sounding.length === 0 ? null : Math.max(...sounding.map(({ pitch }) => pitch));
}

export function pitchesNear(
  sounds: readonly Sound[],
  quarters: number,
): readonly (number | null)[] {
  return [-TOLERANCE_QUARTERS, 0, TOLERANCE_QUARTERS].map((shift) =>
    pitchAt(sounds, quarters + shift),
  );
}

/** Whether a row that says r lies inside a note whose beginning rounds down at four decimals. */
export function isLostNote({ quarters, pitch }: SoundingRow, sounds: readonly Sound[]): boolean {
  return (
    pitch === null &&
    sounds.some(
      ({ start, end }) =>
        start < quarters && quarters < end && Number(start.toFixed(4)) < start - 1e-9,
    )
  );
}
