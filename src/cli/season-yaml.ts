import * as v from "valibot";
import { InputError } from "../model/input-error.js";
import {
  PAUSE_MESSAGE,
  readPause,
  SCORE_FILE,
  USUAL_GAP,
  type MovementDraft,
  type PlayerDraft,
  type ProgrammeDraft,
  type SeasonDraft,
  type WorkDraft,
  DATE_MESSAGE,
  isDateOrNone,
} from "./season-draft.js";
import { lineError, parseYamlFile } from "./user-file.js";

const CODE = "bad-season";

const text = v.pipe(
  v.union([v.string(), v.number()], "must be a text"),
  v.transform((value) => String(value).trim()),
);
const name = v.pipe(text, v.nonEmpty("must not be empty"));
const pause = v.exactOptional(
  v.pipe(
    v.union([v.string(), v.number()], PAUSE_MESSAGE),
    v.rawTransform(({ dataset, addIssue, NEVER }) => {
      const gap = readPause(String(dataset.value));
      if (gap) return gap;
      addIssue({ message: PAUSE_MESSAGE });
      return NEVER;
    }),
  ),
);
const PART_MESSAGE =
  'must be a part or a pattern such as "*clarinet*", a list of them, or one for each player by name';
const part = v.exactOptional(
  v.union([name, v.array(name), v.record(v.string(), name)], PART_MESSAGE),
);
const STAFF_MESSAGE = "must be the number of the player on a shared staff, such as 2";
const list = v.exactOptional(v.array(v.unknown(), "must be a list"));

const movementFields = {
  part,
  tacet: v.exactOptional(v.boolean("must be true or false"), false),
  tempo: v.exactOptional(name),
};
const SCHEMAS = {
  season: v.strictObject({
    season: v.exactOptional(text, ""),
    profile: v.exactOptional(name),
    players: list,
    programmes: list,
    works: list,
  }),
  player: v.strictObject({
    name,
    part: v.exactOptional(name),
    player: v.exactOptional(
      v.pipe(v.number(STAFF_MESSAGE), v.integer(STAFF_MESSAGE), v.minValue(1, STAFF_MESSAGE)),
    ),
    profile: v.exactOptional(name),
  }),
  programme: v.strictObject({
    name,
    date: v.exactOptional(v.pipe(text, v.check(isDateOrNone, DATE_MESSAGE)), ""),
    works: list,
  }),
  work: v.strictObject({
    title: v.exactOptional(text, ""),
    file: v.exactOptional(name),
    folder: v.exactOptional(name),
    movements: list,
    pause,
    ...movementFields,
  }),
  movement: v.strictObject({
    title: v.exactOptional(text, ""),
    file: name,
    pause,
    ...movementFields,
  }),
} as const;
type Kind = keyof typeof SCHEMAS;

type Path = readonly (string | number)[];

/**
 * Reads a season from YAML or JSON text.
 * @throws InputError `bad-season` naming the line and the entry
 */
export function parseSeasonYaml(source: string): SeasonDraft {
  const { value, lineOf } = parseYamlFile(source, CODE);
  if (value === null) throw nothingIn();
  const reader = new EntryReader(lineOf);
  const season = reader.check("season", value, []);
  if (season.works && season.programmes) {
    throw reader.fault(["works"], "stands beside programmes: put the works into one of them");
  }
  const programmes = season.works
    ? [{ name: "", date: "", works: reader.works(season.works, ["works"]) }]
    : (season.programmes ?? []).map((each, k) => reader.programme(each, ["programmes", k]));
  if (programmes.every(({ works }) => works.length === 0)) throw nothingIn();
  const players = (season.players ?? []).map((each, k) => reader.player(each, ["players", k]));
  return {
    name: season.season,
    ...(season.profile !== undefined && { profile: season.profile }),
    ...{ players, programmes },
  };
}

function nothingIn() {
  return new InputError(
    CODE,
    "there are no works in it: it must hold a list named programmes, or one named works",
  );
}

class EntryReader {
  constructor(private readonly lineOf: (path: Path) => number) {}

  fault(path: Path, message: string): InputError {
    return lineError(CODE, this.lineOf(path), `${placeText(path)}: ${message}`);
  }

  check<K extends Kind>(kind: K, value: unknown, path: Path): v.InferOutput<(typeof SCHEMAS)[K]> {
    const schema = SCHEMAS[kind] as v.GenericSchema<unknown, v.InferOutput<(typeof SCHEMAS)[K]>>;
    // A list would count as a group whose fields are numbers.
    const result = v.safeParse(schema, Array.isArray(value) ? null : value);
    if (result.success) return result.output;
    // A misspelt field before the one that is missing for it.
    const issue = result.issues.find(({ expected }) => expected === "never") ?? result.issues[0];
    const steps = (issue.path ?? []).map(({ key }) =>
      typeof key === "number" ? key : String(key),
    );
    const fields = Object.keys(SCHEMAS[kind].entries).join(", ");
    const message =
      issue.expected === "never"
        ? `is not a field of a ${kind}; the fields are ${fields}`
        : issue.type === "strict_object"
          ? steps.length > 0
            ? "is missing"
            : `must be a ${kind} with the fields ${fields}`
          : issue.message;
    const whole = [...path, ...steps];
    if (whole.length === 0) throw new InputError(CODE, message);
    throw this.fault(whole, message);
  }

  programme(value: unknown, path: Path): ProgrammeDraft {
    const { works, ...programme } = this.check("programme", value, path);
    return { ...programme, works: this.works(works ?? [], [...path, "works"]) };
  }

  player(value: unknown, path: Path): PlayerDraft {
    const player = this.check("player", value, path);
    return { ...player, part: player.part ?? player.name, line: this.lineOf(path) };
  }

  works(values: readonly unknown[], path: Path): readonly WorkDraft[] {
    return values.map((value, k) => this.work(value, [...path, k]));
  }

  /** A name alone is that of a file, or of a folder. */
  private work(value: unknown, path: Path): WorkDraft {
    const group =
      typeof value === "string" ? { [SCORE_FILE.test(value) ? "file" : "folder"]: value } : value;
    const work = this.check("work", group, path);
    const { title, file, folder, movements, pause: gap = USUAL_GAP, ...fields } = work;
    const line = this.lineOf(path);
    const given = [file, folder, movements].filter((each) => each !== undefined).length;
    if (given !== 1) throw this.fault(path, "must have one of file, folder and movements");
    const own = ["tempo", "tacet"].find((field) => Object.hasOwn(group as object, field));
    if (own !== undefined && file === undefined) {
      throw this.fault([...path, own], "belongs to a movement: put it beside its file");
    }
    const alone =
      file === undefined
        ? []
        : [movementDraft({ ...fields, title: "", file, pause: undefined }, line)];
    const list = movements?.map((each, k) =>
      this.movement(each, [...path, "movements", k], fields.part),
    );
    if (list?.length === 0) throw this.fault([...path, "movements"], "must not be empty");
    return {
      ...{ line, title, movements: list ?? alone, pause: gap },
      ...(folder !== undefined && { folder }),
      ...partsOf(fields.part),
    };
  }

  private movement(value: unknown, path: Path, workPart: Part): MovementDraft {
    const group = typeof value === "string" ? { file: value } : value;
    const movement = this.check("movement", group, path);
    return movementDraft({ ...movement, part: movement.part ?? workPart }, this.lineOf(path));
  }
}

const ENTRY_OF: Readonly<Record<string, string>> = {
  ...{ programmes: "programme", works: "work", movements: "movement", players: "player" },
};

/** "work 1, movement 2, pause": entries are counted from 1, as the reader of a list does. */
function placeText(path: Path): string {
  const places: string[] = [];
  for (const [k, step] of path.entries()) {
    const list = path[k - 1];
    if (typeof step !== "number") places.push(step);
    else places[places.length - 1] = `${ENTRY_OF[String(list)] ?? String(list)} ${step + 1}`;
  }
  return places.join(", ");
}

type Part = v.InferOutput<(typeof SCHEMAS)["movement"]>["part"];

interface MovementFields extends Pick<MovementDraft, "title" | "file" | "tacet"> {
  readonly part?: Part | undefined;
  readonly tempo?: string;
  readonly pause?: MovementDraft["pause"] | undefined;
}

function movementDraft(
  { title, file, part: parts, tacet, tempo, pause: gap }: MovementFields,
  line: number,
): MovementDraft {
  return {
    ...{ line, title, file, tacet },
    ...partsOf(parts),
    ...(tempo !== undefined && { tempo }),
    pause: gap ?? USUAL_GAP,
  };
}

/** For all, or for each of some players. */
function partsOf(parts: Part): Pick<MovementDraft, "part" | "partOf"> {
  if (parts === undefined) return { part: [], partOf: {} };
  if (typeof parts === "string") return { part: [parts], partOf: {} };
  return Array.isArray(parts) ? { part: parts, partOf: {} } : { part: [], partOf: parts };
}
