import { dirname, extname, isAbsolute, join } from "node:path";
import { USUAL_PROFILE } from "../instruments/usual-profile.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { Season, SeasonMovement, SeasonPlayer, SeasonWork } from "../model/season.js";
import type { PerformanceWishes } from "../model/tempo.js";
import { loadProfile } from "./analyse-files.js";
import { USUAL_GAP, type MovementDraft, type SeasonDraft, type WorkDraft } from "./season-draft.js";
import { isFolder, scoresIn } from "./season-folder.js";
import { parseSeasonTable } from "./season-table.js";
import { parseSeasonYaml } from "./season-yaml.js";
import { lineError, readUserText } from "./user-file.js";
import { loadWishes } from "./wishes.js";

const CODE = "bad-season";
/** In bytes. */
const LARGEST_SEASON = 2_000_000;

const TABLES = [".csv", ".tsv"];
const SEASON_FILES = [".yaml", ".yml", ".json", ...TABLES];

/** Whether a path is, by its ending, that of a season file. */
export function isSeasonFile(path: string): boolean {
  return SEASON_FILES.includes(extname(path).toLowerCase());
}

/** A season and the other files it was read from, which are never written to. */
export interface LoadedSeason {
  readonly season: Season;
  readonly inputs: readonly string[];
}

/**
 * Reads a season file: YAML or JSON, or a table. Paths in it are relative to it.
 * @param usual the profile of whoever has none of their own; the season's goes before the usual figures
 * @throws InputError `bad-season` naming the line and the entry
 * @throws UsageError for a profile, tempo sheet or folder that it names and that cannot be used
 */
export async function readSeason(
  path: string,
  usual: ChangeoverProfile | undefined,
): Promise<LoadedSeason> {
  const text = await readUserText(path, LARGEST_SEASON, CODE);
  const draft = parseSeason(text, extname(path));
  refuseStrangers(draft);
  return new SeasonLoader(dirname(path), path).load(draft, usual);
}

/** Reads a season from its text; see `readSeason`. */
export function parseSeason(text: string, extension: string): SeasonDraft {
  return TABLES.includes(extension.toLowerCase()) ? parseSeasonTable(text) : parseSeasonYaml(text);
}

/** Two players of one name cannot be told apart, and a part for nobody would go unread. */
function refuseStrangers({ players, programmes }: SeasonDraft): void {
  const names = new Set<string>();
  for (const { line, name } of players) {
    if (names.has(name)) throw lineError(CODE, line, `there are two players called ${name}`);
    names.add(name);
  }
  for (const work of programmes.flatMap(({ works }) => works)) {
    for (const { line, partOf } of [work, ...work.movements]) {
      const stranger = Object.keys(partOf).find((name) => !names.has(name));
      if (stranger === undefined) continue;
      throw lineError(CODE, line, `part: ${stranger} is none of the players`);
    }
  }
}

class SeasonLoader {
  private readonly inputs: string[];
  private readonly profiles = new Map<string, ChangeoverProfile>();
  private readonly sheets = new Map<string, PerformanceWishes>();

  constructor(
    private readonly folder: string,
    path: string,
  ) {
    this.inputs = [path];
  }

  async load(draft: SeasonDraft, given: ChangeoverProfile | undefined): Promise<LoadedSeason> {
    const usual =
      given ?? (draft.profile === undefined ? USUAL_PROFILE : await this.profile(draft.profile));
    const players: SeasonPlayer[] = [];
    for (const { name, part, player, profile } of draft.players) {
      players.push({
        ...{ name, part },
        ...(player !== undefined && { staffPlayer: player }),
        profile: profile === undefined ? usual : await this.profile(profile),
      });
    }
    const programmes = [];
    for (const { name, date, works } of draft.programmes) {
      const loaded: SeasonWork[] = [];
      for (const work of works) loaded.push(await this.work(work));
      programmes.push({ name, date, works: loaded });
    }
    const season = { name: draft.name, programmes, players, profile: usual };
    return { season, inputs: this.inputs };
  }

  private at(file: string): string {
    return isAbsolute(file) ? file : join(this.folder, file);
  }

  private async work(draft: WorkDraft): Promise<SeasonWork> {
    const { title, folder, pause } = draft;
    const drafts = folder === undefined ? draft.movements : await this.inFolder(draft, folder);
    const movements: SeasonMovement[] = [];
    for (const [k, each] of drafts.entries()) {
      const movement = await this.movement(each);
      const isLast = k === drafts.length - 1;
      const after = isLast && movement.after.kind === "usual" ? pause : movement.after;
      movements.push({ ...movement, after });
    }
    return { title: title || (folder?.split("/").filter(Boolean).at(-1) ?? ""), movements };
  }

  private async inFolder(
    { line, part, partOf }: WorkDraft,
    folder: string,
  ): Promise<readonly MovementDraft[]> {
    const path = this.at(folder);
    if (!(await isFolder(path)))
      throw lineError(CODE, line, `folder: there is no folder ${folder}`);
    const scores = await scoresIn(path);
    if (scores.length === 0)
      throw lineError(CODE, line, `folder: there are no scores in ${folder}`);
    return scores.map((score) => ({
      ...{ line, title: "", part, partOf, tacet: false, pause: USUAL_GAP },
      file: join(folder, score.slice(path.length)),
    }));
  }

  private async movement(draft: MovementDraft): Promise<SeasonMovement> {
    const { title, part: parts, partOf, tacet, tempo, pause: after } = draft;
    const file = this.at(draft.file);
    return {
      ...{ title, path: file, file, parts, partOf, tacet, after },
      wishes: tempo === undefined ? {} : await this.sheet(tempo),
    };
  }

  private async profile(file: string): Promise<ChangeoverProfile> {
    const path = this.at(file);
    const known = this.profiles.get(path) ?? (await loadProfile(path));
    if (!this.profiles.has(path)) this.inputs.push(path);
    this.profiles.set(path, known);
    return known;
  }

  private async sheet(file: string): Promise<PerformanceWishes> {
    const path = this.at(file);
    const known = this.sheets.get(path) ?? (await loadWishes({ tempo: path, recording: [] }));
    if (!this.sheets.has(path)) this.inputs.push(path);
    this.sheets.set(path, known);
    return known;
  }
}
