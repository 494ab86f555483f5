import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { analysisContext } from "../../src/analyses/index.js";
import {
  hearEntry,
  soundsAt,
  type HeardEntry,
  type HeardSpan,
} from "../../src/analyses/entry-heard.js";
import { exposureOf } from "../../src/analyses/exposure.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { Exposure } from "../../src/model/exposure.js";
import { toNumber, ZERO } from "../../src/theory/fraction.js";
import { CORPUS_ROOT } from "../support/corpus.js";
import { clarinetParts, tablePitch, TOLERANCE_QUARTERS } from "./sounding-table.js";

/** An entry after a rest of a bar or more, as reported and as heard. */
export interface ReportedEntry {
  readonly bar: string;
  readonly exposure: Exposure;
  readonly heard: HeardEntry;
}

/** Every such entry of a part of the corpus. */
export async function reportedEntries(folder: string, partName: string) {
  const { score, parts } = await clarinetParts(folder);
  const part = parts.find(({ name }) => name === partName);
  if (!part) throw new Error(`no part ${partName} in ${folder}`);
  const others = score.otherParts(part.id);
  const { context } = analysisContext(score.timeline(part.id), USUAL_PROFILE, {}, others);
  const { performance } = context;
  const entries = context.stretches
    .filter(({ silentFrom, startQuarters }) => {
      return performance.barsBetween(silentFrom ?? ZERO, startQuarters) >= 1;
    })
    .map((stretch): ReportedEntry => {
      const exposure = exposureOf(context, stretch);
      if (!exposure) throw new Error("a score has other parts");
      const bar = performance.momentAt(stretch.startQuarters).barLabel;
      return { bar, exposure, heard: hearEntry(context, stretch) };
    });
  return { entries, others, totalQuarters: toNumber(performance.totalQuarters) };
}

/** The whole table: rows in order, with the pitch in each column (null for silence). */
export interface WholeTable {
  readonly quarters: readonly number[];
  readonly columns: ReadonlyMap<string, readonly (number | null)[]>;
}

export function wholeTable(
  folder: string,
  shift?: { readonly fromQuarters: number; readonly byQuarters: number },
): WholeTable {
  const text = readFileSync(join(CORPUS_ROOT, "corpus", folder, "sounding.csv"), "utf8");
  const lines: readonly (readonly string[])[] = parse(text);
  const [header = [], ...rows] = lines;
  const quarters = rows.map(([first]) => {
    const at = Number(first);
    return shift && at >= shift.fromQuarters ? at - shift.byQuarters : at;
  });
  const columns = header
    .slice(4)
    .map((name, k) => [name, rows.map((row) => tablePitch(row[k + 4] ?? ""))] as const);
  return { quarters, columns: new Map(columns) };
}

/** The row of a moment, or -1. */
export function rowAt({ quarters }: WholeTable, moment: number): number {
  return quarters.findIndex((each) => Math.abs(each - moment) <= TOLERANCE_QUARTERS);
}

/** The highest pitch of a part at a moment by our reading. */
export function highestAt(spans: readonly HeardSpan[], moment: number): number | null {
  const pitches = spans
    .filter(({ start, end }) => start <= moment && end > moment)
    .flatMap((span) => span.pitches);
  return pitches.length > 0 ? Math.max(...pitches) : null;
}

/** What the table gives for the moments of one entry, its known faults mended. */
export interface TableView {
  /** Moments without a row. */
  readonly withoutRow: readonly number[];
  /** Cells that differ and are no known fault: "bar, part, moment: ours, the table's". */
  readonly unexplained: readonly string[];
  /**
   * Cells that are a known fault of the table, taken from our reading: a lost note, or a moment rounded down
   * into the note before (see sounding.test.ts); of two
   * voices the lower one (cello of brahms-op98-1, bar 195) or the rest of one
   * (second violin of boulanger-matin, bar 48); a cymbal whose ringing is printed as a cue note
   * (boulanger-matin, bars 21 and 27) and read as playing.
   */
  readonly faultyCells: number;
  readonly cells: number;
  /** By the id of the part: the pitch at each moment of the entry, and in the row before it. */
  readonly parts: ReadonlyMap<string, readonly { readonly now: Cell; readonly before: Cell }[]>;
}

/** A pitch, or only that a drum sounds; null for silence. */
type Cell = number | "drum" | null;

/**
 * Reads an entry out of the table. Parts that share their name with another have one column between them, and
 * nothing says whose it is; they are left out.
 */
export function viewOf(table: WholeTable, { bar, heard }: ReportedEntry): TableView {
  const rows = heard.moments.map(({ at }) => rowAt(table, at));
  const names = heard.lines.map(({ part }) => columnOf(part.part.name));
  const unexplained: string[] = [];
  let [cells, faultyCells] = [0, 0];
  const parts = new Map<string, { now: Cell; before: Cell }[]>();
  for (const { part, spans } of heard.lines) {
    const name = columnOf(part.part.name);
    const column = table.columns.get(name);
    if (!column || names.filter((each) => each === name).length > 1) continue;
    const isDrum = spans.length > 0 && spans.every(({ pitches }) => pitches.length === 0);
    const view = heard.moments.map(({ at }, k) => {
      const row = rows[k] ?? -1;
      const read = (index: number): Cell => {
        const pitch = column[index] ?? null;
        return pitch !== null && isDrum ? "drum" : pitch;
      };
      const ours: Cell = isDrum && soundsAt(spans, at) ? "drum" : highestAt(spans, at);
      cells++;
      const now = read(row);
      if (now === ours) return { now, before: read(row - 1) };
      const sounding = spans.filter(({ start, end }) => start <= at && end > at);
      const isLowerVoice = sounding.some(({ pitches }) => pitches.includes(now as number));
      const isRounded = highestAt(spans, at - TOLERANCE_QUARTERS) === now;
      const isOneVoiceResting = now === null && hasVoices(spans);
      if (
        isOneVoiceResting ||
        isRounded ||
        isLost(spans, at) ||
        isLowerVoice ||
        isRinging(name, sounding, now)
      )
        faultyCells++;
      else unexplained.push(`bar ${bar}, ${name}, ${at}: ${ours}, ${now}`);
      return { now: ours, before: read(row - 1) };
    });
    parts.set(part.part.id, view);
  }
  const withoutRow = heard.moments.filter((_, k) => rows[k] === -1).map(({ at }) => at);
  return { withoutRow, unexplained, faultyCells, cells, parts };
}

function columnOf(name: string): string {
  return name.trim().replace("♭", "b");
}

/**
 * Whether a note that sounds at a moment begins where four decimals round down, or on a fifth of a quarter, which
 * no binary number is (boulanger-matin, bar 205): those the tables lose.
 */
function isLost(spans: readonly HeardSpan[], at: number): boolean {
  const isFifth = (start: number) =>
    !Number.isInteger(start) && Math.abs(start * 5 - Math.round(start * 5)) < 1e-6;
  return spans.some(
    ({ start, end }) =>
      start <= at && at < end && (isFifth(start) || Number(start.toFixed(4)) < start - 1e-9),
  );
}

/** Whether notes of a part overlap: it has two voices. */
export function hasVoices(spans: readonly HeardSpan[]): boolean {
  return spans.some((a) => spans.some((b) => a !== b && a.start < b.end && b.start < a.end));
}

function isRinging(name: string, sounding: readonly HeardSpan[], table: Cell): boolean {
  return name === "Cymbal" && sounding.length === 0 && table !== null;
}

/** The share of the player's time in which each part sounds, by the table. */
export function sharesOf({ parts }: TableView, { heard }: ReportedEntry) {
  const whole = heard.moments.reduce((sum, { quarters }) => sum + quarters, 0);
  return new Map(
    [...parts].map(([id, view]) => {
      const sounding = heard.moments.reduce(
        (sum, { quarters }, k) => sum + (view[k]?.now === null ? 0 : quarters),
        0,
      );
      return [id, sounding / whole] as const;
    }),
  );
}

/**
 * How many of the player's notes each part doubles by the table: at least those at which its pitch is new, at
 * most those at which it is the same or octaves apart, since a note struck again looks like one that is held.
 */
export function doubledNotesOf({ parts }: TableView, { heard }: ReportedEntry) {
  const onsets = new Set(
    heard.own
      .filter(({ begins, start }) => begins && start >= heard.from && start < heard.to)
      .map(({ start }) => start),
  );
  const own = heard.moments.map(({ at }) => (onsets.has(at) ? highestAt(heard.own, at) : null));
  const bounds = [...parts].map(([id, view]) => {
    const doubled = view.filter(({ now }, k) => {
      const pitch = own[k];
      return typeof now === "number" && typeof pitch === "number" && (now - pitch) % 12 === 0;
    });
    const least = doubled.filter(({ now, before }) => now !== before).length;
    return [id, { least, most: doubled.length }] as const;
  });
  return { noteCount: onsets.size, bounds: new Map(bounds) };
}
