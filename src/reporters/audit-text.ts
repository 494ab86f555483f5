import { isMisprint, VERDICTS, type Verdict } from "../model/finding.js";
import type {
  AuditRow,
  ChangeRow,
  ErrorRow,
  KitList,
  PartSummary,
  SeasonReport,
} from "../model/season.js";
import { groupBy } from "../theory/search.js";
import { isMisprinted } from "./audit-rows.js";
import { errorText } from "./audit-table.js";
import type { RenderOptions } from "./index.js";
import { changeMargin, painter, verdictWord } from "./text-changes.js";
import { clean, cleanTo } from "./util/clean.js";
import { columns, wrap } from "./util/layout.js";
import { adviceText } from "./wording/advice.js";
import { disagreementText } from "./wording/disagreements.js";
import { hazardText } from "./wording/hazards.js";
import { shortName } from "./wording/instruments.js";
import { counted } from "./wording/quantities.js";
import {
  onlyFor,
  unreadText,
  programmeText,
  tightestText,
  timeText,
  titleText,
  warmPlaceText,
  wayText,
} from "./wording/season.js";

type Page = Pick<RenderOptions, "width" | "style">;

const INDENT = "     ";

/** The worst first, for the verdicts of a table or a sentence. */
const WORST_FIRST = VERDICTS.toReversed();

/**
 * The season on one page: what is in danger first, then every work, every player and what they carry.
 * @param rows those to be listed, in their order
 * @param page `only`: what the rows were chosen by, where the user chose
 */
export function auditText(
  report: SeasonReport,
  rows: readonly AuditRow[],
  { only, ...page }: Page & { readonly only: readonly string[] | undefined },
): string {
  const { style } = page;
  const errors = report.rows.filter((row) => row.kind === "error");
  const changes = rows.filter((row) => row.kind === "change");
  const section = (name: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", style.heading(name), ...lines];
  return `${[
    ...headLines(report, page),
    ...section("NOT READ: what changes are in these is not known", errorLines(errors, page)),
    ...section(
      only
        ? `CHANGES: ${only.join(", ")}`
        : "CHANGES that are impossible, tight or perhaps misprinted",
      [...changeLines(changes, page), ...restOfChanges(report, changes, page)],
    ),
    ...section("PRINT, away from a change", faultLines(report, page)),
    ...section("WORKS", workLines(report, page)),
    ...section("PLAYERS", playerLines(report, page)),
    ...section(
      "TO CARRY",
      report.kits.flatMap((kit) => kitLines(kit, page)),
    ),
    ...section("ASSUMED", assumedLines(report, page)),
  ].join("\n")}\n`;
}

function headLines(report: SeasonReport, { width, style }: Page): readonly string[] {
  const changes = report.rows.filter((row) => row.kind === "change");
  const errors = report.rows.filter((row) => row.kind === "error");
  const programmes = new Set(report.kits.flatMap(({ programme }) => programme || [])).size;
  const players = new Set(report.parts.map(({ player }) => player)).size;
  const size = [
    ...(programmes > 0 ? [counted(programmes, "programme")] : []),
    counted(report.works, "work"),
    counted(report.movements, "movement"),
    counted(players, "player"),
  ];
  const counts = WORST_FIRST.flatMap((verdict) => {
    const count = changes.filter(({ change }) => change.verdict === verdict).length;
    return count > 0 ? [`${count} ${verdict}`] : [];
  });
  const misprints = changes.filter(isMisprinted).length;
  const unannounced = changes.filter(({ change }) =>
    change.disagreements.some((each) => !isMisprint(each)),
  ).length;
  const says = [
    changes.length === 0
      ? "No change of instrument"
      : `${counted(changes.length, "change")}: ${counts.join(", ")}`,
    ...(misprints > 0 ? [`${misprints} may be misprinted`] : []),
    ...(unannounced > 0 ? [`${unannounced} not announced in time`] : []),
    ...(errors.length > 0
      ? [
          errors.length === 1
            ? "one file or part could not be read"
            : `${errors.length} files or parts could not be read`,
        ]
      : []),
  ];
  return [
    ...wrap(clean(report.season) || "Season", width, "  ").map(style.heading),
    ...wrap(size.join(" · "), width, "  ").map(style.faint),
    ...wrap(`${says.join("; ")}.`, width, "  "),
  ];
}

function errorLines(errors: readonly ErrorRow[], { width, style }: Page): readonly string[] {
  return errors.flatMap((row) => {
    const who = row.player === "" ? "" : ` · ${clean(row.player)}`;
    const where = [programmeText(row), titleText(row)].filter(Boolean).join(" · ");
    return [
      ...wrap(` x ${where}${who}`, width, INDENT).map(style.warning),
      ...wrap(`${INDENT}${clean(row.file)}: ${cleanTo(errorText(row.error), 500)}`, width, INDENT),
    ];
  });
}

function changeLines(rows: readonly ChangeRow[], { width, style }: Page): readonly string[] {
  if (rows.length === 0) return ["  none"];
  return rows.flatMap((row) => {
    const { change } = row;
    const { verdict } = change;
    const head = [programmeText(row), titleText(row), clean(row.player)]
      .filter(Boolean)
      .join(" · ");
    const instruments = `${shortName(change.from)} → ${shortName(change.to)}`;
    const lines = [
      `${wayText(row)}   ${instruments}   ${verdictWord(verdict)}`,
      timeText(change),
      ...change.disagreements.map(disagreementText),
      ...(change.hazards.length > 0 && change.lookUp.seconds > 0
        ? [`eyes down: ${change.hazards.map(hazardText).join("; ")}`]
        : []),
      ...change.advice.map((each) => `→ ${adviceText(each)}`),
    ];
    return [
      ...wrap(`${changeMargin(change)}  ${head}`, width, INDENT).map(painter(verdict, style)),
      ...lines
        .flatMap((line) => wrap(line, width - INDENT.length, "  "))
        .map((line) => INDENT + line),
    ];
  });
}

/** What is not listed is counted, and where it is to be had. */
function restOfChanges(
  report: SeasonReport,
  listed: readonly ChangeRow[],
  { width }: Page,
): readonly string[] {
  const all = report.rows.filter((row) => row.kind === "change").length;
  const others = all - listed.length;
  if (others === 0) return [];
  const are = others === 1 ? "other change is" : "other changes are";
  return wrap(`  ${others} ${are} not listed here; --format csv has all`, width, "  ");
}

function faultLines({ parts }: SeasonReport, { width }: Page): readonly string[] {
  return parts.flatMap((part) =>
    part.faults.flatMap((fault) =>
      wrap(
        ` ?  ${[programmeText(part), titleText(part), clean(part.player)].filter(Boolean).join(" · ")}: ${disagreementText(fault)}`,
        width,
        INDENT,
      ),
    ),
  );
}

/** A work under its programme; one of which a file could not be read has a cross. */
function workLines({ parts, rows }: SeasonReport, page: Page): readonly string[] {
  const broken = rows.filter(({ kind }) => kind === "error");
  const keyOf = ({ programme, date, work }: Titled) => JSON.stringify([programme, date, work]);
  const brokenKeys = new Set(broken.map(keyOf));
  const grouped = groupBy(parts, keyOf);
  // Works of which nothing could be read come last.
  const firsts = groupBy<Titled, string>([...parts, ...broken], keyOf);
  const byProgramme = groupBy([...firsts], ([, [first]]) => (first ? programmeText(first) : ""));
  const lines = [...byProgramme].flatMap(([programme, works]) => [
    ...(programme === "" ? [] : [{ name: programme, counted: null }]),
    ...works.map(([key, [first]]) => ({
      name: `${brokenKeys.has(key) ? "x " : "  "}${clean(first?.work ?? "")}`,
      counted: grouped.get(key) ?? [],
    })),
  ]);
  return countTable("work", lines, page);
}

type Titled = Pick<PartSummary, "programme" | "date" | "work">;

function playerLines({ parts }: SeasonReport, page: Page): readonly string[] {
  const groups = [...groupBy(parts, ({ player }) => player)].map(([player, counted]) => ({
    name: clean(player),
    counted,
  }));
  return countTable("player", groups, page);
}

/** Columns that the numbers take, and what is left for a name at the least. */
const NUMBERS_WIDTH = 64;
const LEAST_NAME = 16;

/** A line for each group of parts; one without is a heading. */
function countTable(
  what: string,
  groups: readonly { readonly name: string; readonly counted: readonly PartSummary[] | null }[],
  { width, style }: Page,
): readonly string[] {
  if (groups.length === 0) return [];
  const heads = ["changes", ...WORST_FIRST];
  const longest = Math.max(LEAST_NAME, width - NUMBERS_WIDTH);
  const [head = "", ...lines] = columns([
    [`  ${what}`, ...heads, "to look up, at least"],
    ...groups.map(({ name, counted: parts }) => {
      // Two spaces at its head put a work under its programme.
      const indent = /^ */.exec(name)?.[0] ?? "";
      const shown = `  ${indent}${cleanTo(name, longest)}`;
      if (!parts) return [shown];
      const counts = WORST_FIRST.map((verdict) => sumOf(parts, verdict));
      const all = counts.reduce((sum, count) => sum + count, 0);
      const cells = [all, ...counts].map((count, k) =>
        String(count).padStart(heads[k]?.length ?? 0),
      );
      return [shown, ...cells, tightestText(parts)];
    }),
  ]);
  return [style.faint(head), ...lines];
}

function sumOf(parts: readonly PartSummary[], verdict: Verdict): number {
  return parts.reduce((sum, { counts }) => sum + counts[verdict], 0);
}

function kitLines(kit: KitList, { width }: Page): readonly string[] {
  const where = programmeText(kit);
  const limits = new Map(onlyFor(kit).map(({ instrument, works }) => [instrument, works]));
  const carried = kit.instruments.map(({ instrument }) => {
    const works = limits.get(instrument);
    return `${shortName(instrument)}${works === undefined ? "" : ` (${works} only)`}`;
  });
  const what = carried.length === 0 ? "nothing to play" : carried.join(", ");
  const lacks = kit.unreadFiles === 0 ? "" : `; ${unreadText(kit)}`;
  const stands = kit.stands === 0 ? "no stand" : counted(kit.stands, "stand");
  return [
    ...wrap(
      `  ${[where, clean(kit.player)].filter(Boolean).join(" · ")}: ${what}; ${stands}${lacks}`,
      width,
      INDENT,
    ),
    ...kit.keepWarm.flatMap((each) => wrap(warmLine(each), width, `${INDENT}  `)),
  ];
}

/** "keep B♭ warm during ..." */
function warmLine(each: KitList["keepWarm"][number]): string {
  return `${INDENT}keep ${each.instruments.map(shortName).join(", ")} warm ${warmPlaceText(each)}`;
}

function assumedLines({ rows, parts }: SeasonReport, { width }: Page): readonly string[] {
  const changes = rows.filter((row) => row.kind === "change");
  const assumedAcross = (across: "movements" | "works") =>
    changes.some(({ into, change }) => into?.across === across && change.pause?.assumed);
  const loose = new Set(parts.flatMap(({ programme, work }) => (programme === "" ? [work] : [])));
  const says = [
    ...(loose.size > 1
      ? ["works in no programme have no order: no change from one to the next is told"]
      : []),
    ...(changes.length > 0
      ? [
          "seconds and verdicts are those of muta check, which says for each part what its tempi and hand times rest on",
        ]
      : []),
    ...(assumedAcross("movements")
      ? [
          "between two movements 5–40 s, of which the verdict counts 5; none where the part says attacca; a season file can say otherwise",
        ]
      : []),
    ...(assumedAcross("works")
      ? ["between two works of a programme 60–240 s, of which the verdict counts 60"]
      : []),
    ...(changes.some(({ into }) => into)
      ? ["from one file to the next no page turn is counted"]
      : []),
    "a stand for each instrument but the one in hand",
  ];
  return says.flatMap((line) => wrap(`  - ${line}`, width, "    "));
}
