import { InputError } from "../model/input-error.js";
import {
  PAUSE_MESSAGE,
  readPause,
  USUAL_GAP,
  type MovementDraft,
  type ProgrammeDraft,
  type SeasonDraft,
  type WorkDraft,
  DATE_MESSAGE,
  isDateOrNone,
} from "./season-draft.js";
import { lineError, parseTable, readHeader, rowFields } from "./user-file.js";

const CODE = "bad-season";
const MOST_ROWS = 10_000;

const FIELDS = ["programme", "date", "work", "movement", "file", "part", "tempo", "pause"] as const;
type Field = (typeof FIELDS)[number];
const COLUMNS: ReadonlyMap<string, Field> = new Map(FIELDS.map((field) => [field, field]));

/**
 * Reads a season from a table with a row for each file. Programme, date and work are those of the row before
 * where their cells are empty.
 * @throws InputError `bad-season` naming the line
 */
export function parseSeasonTable(text: string): SeasonDraft {
  const table = parseTable(text, MOST_ROWS, CODE);
  const [header, ...rows] = table.rows;
  if (!header || rows.length === 0) {
    throw new InputError(
      CODE,
      `there are no works in it: it must have a header row (${FIELDS.join(", ")}) and a row for each file`,
    );
  }
  const columns = readHeader(header, COLUMNS, CODE);
  if (!columns.includes("file")) {
    throw lineError(CODE, header.line, "the header row must name file");
  }
  const programmes: { name: string; date: string; works: WorkDraft[] }[] = [];
  for (const row of rows) {
    const cells = rowFields(row, columns, table, CODE);
    const movement = movementOf(cells, row.line);
    const last = programmes.at(-1);
    if (!isDateOrNone(cells.get("date") ?? "")) {
      throw lineError(CODE, row.line, `date: ${DATE_MESSAGE}`);
    }
    const name = cells.get("programme") ?? last?.name ?? "";
    const isSame = last?.name === name && !isOther(cells.get("date"), last.date);
    const programme = isSame ? last : { name, date: cells.get("date") ?? "", works: [] };
    if (!isSame) programmes.push(programme);
    addTo(programme.works, cells.get("work"), movement);
  }
  return { name: "", players: [], programmes: programmes satisfies readonly ProgrammeDraft[] };
}

/** An empty cell is that of the row before. */
function isOther(cell: string | undefined, before: string): boolean {
  return cell !== undefined && cell !== before;
}

function addTo(works: WorkDraft[], title: string | undefined, movement: MovementDraft): void {
  const last = works.at(-1);
  if (last && (title ?? last.title) === last.title && (last.title !== "" || title !== undefined)) {
    works[works.length - 1] = { ...last, movements: [...last.movements, movement] };
    return;
  }
  const { line } = movement;
  works.push({
    ...{ line, title: title ?? "", movements: [movement], part: [], partOf: {} },
    pause: USUAL_GAP,
  });
}

function movementOf(cells: ReadonlyMap<Field, string>, line: number): MovementDraft {
  const file = cells.get("file");
  if (file === undefined) throw lineError(CODE, line, "file: is missing");
  const written = cells.get("pause");
  const pause = written === undefined ? USUAL_GAP : readPause(written);
  if (!pause) throw lineError(CODE, line, `pause: ${PAUSE_MESSAGE}`);
  const [part, tempo] = [cells.get("part"), cells.get("tempo")];
  return {
    ...{ line, title: cells.get("movement") ?? "", file, pause },
    part: part === undefined || part.toLowerCase() === "tacet" ? [] : [part],
    tacet: part?.toLowerCase() === "tacet",
    partOf: {},
    ...(tempo !== undefined && { tempo }),
  };
}
