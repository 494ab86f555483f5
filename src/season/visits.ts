import type {
  FileAudit,
  Gap,
  Season,
  SeasonPlace,
  SeasonProgramme,
  SeatAudit,
} from "../model/season.js";

/** A movement where it stands in the season, with what its file gave. */
export interface MovementVisit {
  readonly place: SeasonPlace;
  readonly programmeIndex: number;
  /** Counted over the whole season. */
  readonly workIndex: number;
  /** Whether the order of the works is known, so that the next work follows this one. */
  readonly inProgramme: boolean;
  readonly after: Gap;
  readonly audit: FileAudit;
  /** Those of the audit, made anew for this visit: a piece may come back in another programme. */
  readonly seats: readonly SeatAudit[];
}

/** The movements of a season in order, each with its audit. */
export function visitsOf(season: Season, audits: readonly FileAudit[]): readonly MovementVisit[] {
  const visits: MovementVisit[] = [];
  let workIndex = 0;
  season.programmes.forEach((programme, programmeIndex) => {
    for (const { title, movements } of programme.works) {
      const own = audits.slice(visits.length, visits.length + movements.length);
      const work = title || (own.find((audit) => audit.title)?.title ?? "") || fileStem(own[0]);
      const areMovements = nameMovements(own);
      movements.forEach((movement, k) => {
        const audit = own[k];
        if (!audit) throw new Error(`no audit of ${movement.path}`);
        const number = movements.length > 1 ? String(k + 1) : "";
        const printed = audit.movement || (areMovements ? audit.title : "");
        const called = movement.title || printed || number;
        visits.push({
          place: placeOf(programme, work, called, movement.file),
          ...{ programmeIndex, workIndex, audit },
          inProgramme: programme.name !== "",
          after: movement.after,
          seats: audit.seats.map((seat) => ({ ...seat })),
        });
      });
      workIndex++;
    }
  });
  return visits;
}

/**
 * A file that prints one title only has it as that of the piece. Where the files of a work differ in it, it is that of
 * the movement.
 */
function nameMovements(audits: readonly FileAudit[]): boolean {
  const titles = audits.flatMap(({ title, movement }) =>
    title !== "" && movement === "" ? [title] : [],
  );
  return new Set(titles).size > 1;
}

function placeOf(
  { name, date }: SeasonProgramme,
  work: string,
  movement: string,
  file: string,
): SeasonPlace {
  return { programme: name, date, work, movement, file };
}

/** The name of the file without folders and ending, for a work that nothing else names. */
function fileStem(audit: FileAudit | undefined): string {
  const name = audit?.file.split(/[/\\]/).at(-1) ?? "";
  return name.replace(/\.(?:musicxml|xml|mxl)$/i, "");
}
