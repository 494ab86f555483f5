import { VERDICTS, type Disagreement } from "../model/finding.js";
import type {
  AuditRow,
  ChangeRow,
  FileAudit,
  PartSummary,
  Season,
  SeasonPlace,
  SeasonReport,
  SeatAudit,
  VerdictCounts,
} from "../model/season.js";
import { groupBy } from "../theory/search.js";
import { chainsOf, type ChainLink } from "./chains.js";
import { measureJoint, jointDisagreements } from "./joints.js";
import { kitLists } from "./kit.js";
import { visitsOf, type MovementVisit } from "./visits.js";

/**
 * Joins what the files gave to one report, with the changes from one file to the next.
 * @param audits one for each job of `seasonJobs`, in its order
 */
export function seasonReport(season: Season, audits: readonly FileAudit[]): SeasonReport {
  const visits = visitsOf(season, audits);
  const links = chainsOf(visits);
  const nextOf = new Map(links.map((link) => [link.from.seat, link]));
  const rows: AuditRow[] = [];
  const parts: PartSummary[] = [];
  for (const visit of visits) {
    rows.push(...errorRows(visit));
    for (const seat of visit.seats) {
      const link = nextOf.get(seat);
      const inside = seat.changes.map((change): ChangeRow => ({
        ...rowHead(visit.place, seat),
        ...{ into: null, change },
      }));
      const joint = link && jointRow(season, link);
      const own = joint ? [...inside, joint] : inside;
      rows.push(...own);
      parts.push(partSummary(visit.place, seat, own, faultsOf(seat, link)));
    }
  }
  return {
    season: season.name,
    works: season.programmes.reduce((sum, { works }) => sum + works.length, 0),
    movements: visits.length,
    rows,
    parts,
    kits: kitLists(visits, links),
  };
}

function rowHead(place: SeasonPlace, { player, part }: SeatAudit) {
  return { kind: "change" as const, ...place, player, part: part.name || part.id };
}

function errorRows({ place, audit }: MovementVisit): readonly AuditRow[] {
  return audit.errors.map(({ player = "", ...error }) => ({
    kind: "error" as const,
    ...place,
    ...{ player, error },
  }));
}

/** The change into what follows; undefined where the instrument stays in hand. */
function jointRow(season: Season, { from, to, between }: ChainLink): ChangeRow | undefined {
  const { closes, opens } = edges(from.seat, to.seat);
  if (closes.instrument === opens.instrument) return undefined;
  const profile =
    season.players.find(({ name }) => name === from.seat.player)?.profile ?? season.profile;
  return {
    ...rowHead(from.visit.place, from.seat),
    into: {
      ...to.visit.place,
      across: from.visit.workIndex === to.visit.workIndex ? "movements" : "works",
    },
    change: measureJoint(closes, opens, between, profile),
  };
}

/** Words at the end that ask for what the next movement is not written for are told of where nothing changes, too. */
function faultsOf(seat: SeatAudit, link: ChainLink | undefined): readonly Disagreement[] {
  if (!link) return seat.faults;
  const { closes, opens } = edges(link.from.seat, link.to.seat);
  if (closes.instrument !== opens.instrument) return seat.faults;
  return [...seat.faults, ...jointDisagreements(closes, opens)];
}

function edges(from: SeatAudit, to: SeatAudit) {
  if (!from.edges || !to.edges) throw new Error("a link joins two parts with notes");
  return { closes: from.edges.closes, opens: to.edges.opens };
}

function partSummary(
  place: SeasonPlace,
  { player, part, instruments, durationSeconds }: SeatAudit,
  rows: readonly ChangeRow[],
  faults: readonly Disagreement[],
): PartSummary {
  const [tightest] = [...rows].sort((a, b) => a.change.lookUp.seconds - b.change.lookUp.seconds);
  return {
    ...place,
    ...{ player, part: part.name || part.id, instruments },
    counts: verdictCounts(rows),
    tightest: tightest ?? null,
    ...{ faults, durationSeconds },
  };
}

/** How many changes have each verdict. */
export function verdictCounts(rows: readonly ChangeRow[]): VerdictCounts {
  const byVerdict = groupBy(rows, ({ change }) => change.verdict);
  return Object.fromEntries(
    VERDICTS.map((verdict) => [verdict, byVerdict.get(verdict)?.length ?? 0]),
  ) as Record<(typeof VERDICTS)[number], number>;
}
