import { Command, CommanderError, InvalidArgumentError, Option } from "commander";
import { VERDICTS } from "../model/finding.js";
import { PLAN_PREFERENCES } from "../model/plan.js";
import { ROW_KINDS, ROW_ORDERS, type RowKind } from "../reporters/audit-rows.js";
import { hallCelsius } from "./celsius.js";
import type { AuditOptions } from "./commands/audit-options.js";
import type { CheckOptions } from "./commands/check.js";
import type { CountOptions } from "./commands/count.js";
import type { CuesOptions } from "./commands/cues.js";
import type { KeysOptions } from "./commands/keys.js";
import type { MarkOptions } from "./commands/mark.js";
import type { PartsOptions } from "./commands/parts.js";
import type { PlanOptions } from "./commands/plan.js";
import type { RewriteOptions } from "./commands/rewrite.js";
import type { TempoOptions } from "./commands/tempo.js";
import { EXIT, type ExitCode } from "./exit-codes.js";
import { UsageError } from "./usage-error.js";

declare const MUTA_VERSION: string;

// The commands are loaded when they are run, so that --help and --version answer at once.
function createProgram(finish: (code: ExitCode) => void): Command {
  const program = new Command("muta")
    .description("Finds, times and rates every change of instrument in a woodwind part (MusicXML).")
    .version(MUTA_VERSION)
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, "muta: ")) })
    .showHelpAfterError("(muta --help shows how it is used)");

  reportingOnPlayer(
    program
      .command("check")
      .description("report every change, the time it leaves, and the keys on each instrument")
      .argument(
        "<files...>",
        "MusicXML files (.musicxml, .xml, .mxl), parts or scores; - for standard input",
      )
      .option("--profile <file>", "your own hand times, YAML or JSON (see: muta profile)")
      .addOption(
        new Option(
          "--fail-on <verdict>",
          "exit with 1 when a change is as bad as this or worse",
        ).choices(VERDICTS),
      )
      .option(
        "--hall <celsius>",
        "how warm the hall is, in °C, for the pitch of instruments that have lain (default: what your profile has, else 20)",
        hallCelsius,
      )
      .option("--entries", "list every entry after a bar's rest or more as well (text)", false)
      .option("--delimiter <character>", "field separator for csv and tsv", oneCharacter)
      .option("--bom", "begin csv and tsv with a byte order mark", false),
    ["text", "json", "ndjson", "csv", "tsv"],
  ).action(async (files: string[], options: CheckOptions) => {
    const { runCheck } = await import("./commands/check.js");
    finish(await runCheck(files, options));
  });

  reportingOnPlayer(
    program
      .command("keys")
      .description("compare every passage on every instrument: keys, fingers, range, trills")
      .argument("<files...>", "MusicXML files; - for standard input")
      .option("--profile <file>", "your instruments and limits, YAML or JSON (see: muta profile)"),
    ["text", "json", "csv"],
  ).action(async (files: string[], options: KeysOptions) => {
    const { runKeys } = await import("./commands/keys.js");
    finish(await runKeys(files, options));
  });

  reportingOnPlayer(
    program
      .command("count")
      .description("lay out every long rest and every change to be counted, for the stand")
      .argument("<files...>", "MusicXML files; - for standard input")
      .option(
        "--from-bars <bars>",
        "the shortest rest that is told, besides changes; 0 for every rest",
        wholeNumber(0, 9999, "Give a whole number of bars, such as 4."),
        LONG_REST_BARS,
      )
      .option("--profile <file>", "your own hand times, YAML or JSON (see: muta profile)"),
    ["text", "json", "csv"],
  ).action(async (files: string[], options: CountOptions) => {
    const { runCount } = await import("./commands/count.js");
    finish(await runCount(files, options));
  });

  reportingOnPlayer(
    withPlanWishes(
      program
        .command("plan")
        .description("choose the instrument of every passage that is best for the whole part")
        .argument("<files...>", "MusicXML files; - for standard input")
        .addOption(
          new Option("--prefer <what>", "what matters most")
            .choices(PLAN_PREFERENCES)
            .default("balanced"),
        ),
    ),
    ["text", "json", "csv"],
  ).action(async (files: string[], options: PlanOptions) => {
    const { runPlan } = await import("./commands/plan.js");
    finish(await runPlan(files, options));
  });

  reportingOnPlayer(
    program
      .command("cues")
      .description("list what to ask the conductor for, the most urgent first")
      .argument("<files...>", "MusicXML files; - for standard input")
      .option("--profile <file>", "your own hand times, YAML or JSON (see: muta profile)"),
    ["text", "json", "csv"],
  ).action(async (files: string[], options: CuesOptions) => {
    const { runCues } = await import("./commands/cues.js");
    finish(await runCues(files, options));
  });

  reporting(
    program
      .command("tempo")
      .description("show every tempo with its source, or write a tempo sheet to edit")
      .argument("<files...>", "MusicXML files; - for standard input")
      .option("--write-sheet <file>", "write a tempo sheet to edit, instead of a report"),
    {
      formats: ["text", "json", "csv"],
      parts: "the first clarinet",
      replaced: "--out and --write-sheet",
    },
  ).action(async (files: string[], options: TempoOptions) => {
    const { runTempo } = await import("./commands/tempo.js");
    finish(await runTempo(files, options));
  });

  withWishes(
    withPlanWishes(
      program
        .command("rewrite")
        .description(
          "write some bars, or all that a plan moves, for another instrument, sounding the same (MusicXML)",
        )
        .argument("<file>", "MusicXML file; - for standard input")
        .option(
          "-b, --bars <bars>",
          "bars by their printed numbers, such as 41-56 (repeatable)",
          collect,
        )
        .option("--for <instrument>", "the instrument to write those for, such as clarinet-bflat")
        .addOption(
          new Option(
            "--plan <what>",
            "instead of --bars: the whole part as a plan has it (see: muta plan); best is balanced",
          ).choices(["best", ...PLAN_PREFERENCES]),
        )
        .option("-p, --part <part>", "part id, name or pattern with *, where the file has several")
        .option("-o, --out <file>", "write to a file instead of standard output")
        .option("--force", "let --out replace an existing file", false),
    ),
  ).action(async (file: string, options: RewriteOptions) => {
    const { runRewrite } = await import("./commands/rewrite.js");
    finish(await runRewrite(file, options));
  });

  withWishes(
    onPlayer(
      program
        .command("mark")
        .description("copy a part with pencil marks: what to take up, where to look up (MusicXML)")
        .argument("<file>", "MusicXML file; - for standard input")
        .option("-p, --part <part>", "part id, name or pattern with *, where the file has several"),
    )
      .option("--profile <file>", "your own hand times, YAML or JSON (see: muta profile)")
      .option("-o, --out <file>", "write to a file instead of standard output")
      .option("--force", "let --out replace an existing file", false),
  ).action(async (file: string, options: MarkOptions) => {
    const { runMark } = await import("./commands/mark.js");
    finish(await runMark(file, options));
  });

  program
    .command("audit")
    .description("report every change of a whole season in one table, those between movements too")
    .argument("[paths...]", "a folder, MusicXML files, or a season file (.yaml, .csv)")
    .option(
      "-p, --part <part>",
      "part id, name or pattern with * (repeatable); default: every clarinet",
      collect,
      [],
    )
    .addOption(
      new Option(
        "-f, --format <format>",
        "how to report (default: by the ending of --out, else text)",
      ).choices(["text", "csv", "tsv", "xlsx", "json", "ndjson"]),
    )
    .option(
      "--only <verdicts>",
      `only these changes, such as tight,impossible: ${ROW_KINDS.join(", ")}`,
      rowKinds,
    )
    .addOption(
      new Option(
        "--sort <order>",
        "the order of the changes (default: text worst, else season)",
      ).choices(ROW_ORDERS),
    )
    .option("--columns <names>", "the columns of csv and tsv, such as work,player,verdict", names)
    .addOption(
      new Option(
        "--fail-on <verdict>",
        "exit with 1 when a change is as bad as this or worse",
      ).choices(VERDICTS),
    )
    .option(
      "--workers <number>",
      "files worked on at once (default: one a core)",
      wholeNumber(1, 256, "Give how many, such as 2."),
    )
    .option("--no-cache", "neither take nor keep results of earlier runs")
    .option(
      "--list",
      "print the names of the files and do nothing else; with --format ndjson the work on each, for --jobs",
      false,
    )
    .option(
      "--jobs <file>",
      "instead of a season: do the work that --list printed, a result a line; - for standard input",
      once,
    )
    .option(
      "--results <files...>",
      "make the report from what --jobs printed, not from the scores; - for standard input",
    )
    .option("--profile <file>", "hand times of everybody without their own (see: muta profile)")
    .option("--delimiter <character>", "field separator for csv and tsv", oneCharacter)
    .option("--bom", "begin csv and tsv with a byte order mark", false)
    .option("-o, --out <file>", "write to a file instead of standard output")
    .option("--force", "let --out replace an existing file", false)
    .option("--no-color", "plain text on a terminal")
    .action(async (paths: string[], options: AuditOptions) => {
      const { runAudit } = await import("./commands/audit.js");
      finish(await runAudit(paths, options));
    });

  program
    .command("parts")
    .description("list the parts of a file with instruments, bars and transpositions")
    .argument("<files...>", "MusicXML files; - for standard input")
    .addOption(
      new Option("-f, --format <format>", "how to report")
        .choices(["text", "json"])
        .default("text"),
    )
    .action(async (files: string[], options: PartsOptions) => {
      const { runParts } = await import("./commands/parts.js");
      finish(await runParts(files, options));
    });

  program
    .command("profile")
    .description("write the usual hand times as a profile to edit")
    .option("-o, --out <file>", "write to a file instead of standard output")
    .option("--force", "let --out replace an existing file", false)
    .action(async (options: { out?: string; force: boolean }) => {
      const { runProfile } = await import("./commands/profile.js");
      finish(await runProfile(options));
    });

  return program;
}

/** What is asked of every report. */
interface ReportOptions {
  readonly formats: readonly string[];
  /** The parts taken where none is named. */
  readonly parts: string;
  /** The options whose files --force lets be replaced. */
  readonly replaced: string;
}

/** A command that reads parts and reports on them. */
function reporting(command: Command, { formats, parts, replaced }: ReportOptions): Command {
  return withWishes(
    command
      .option(
        "-p, --part <part>",
        `part id, name or pattern with * (repeatable); default: ${parts}`,
        collect,
        [],
      )
      .addOption(
        new Option(
          "-f, --format <format>",
          "how to report (default: by the ending of --out, else text)",
        ).choices(formats),
      )
      .option("-o, --out <file>", "write to a file instead of standard output")
      .option("--force", `let ${replaced} replace an existing file`, false)
      .option("--no-color", "plain text on a terminal"),
  );
}

/** One that may be asked for the part of a single player of a shared staff. */
function reportingOnPlayer(command: Command, formats: readonly string[]): Command {
  return onPlayer(reporting(command, { formats, parts: "every clarinet", replaced: "--out" }));
}

function onPlayer(command: Command): Command {
  return command.option(
    "--player <number>",
    "on a staff that several players read: the part of one of them",
    wholeNumber(1, 16, "Give the number of the player, such as 2."),
  );
}

/** What the player allows a plan, and the instruments and hands it is for. */
function withPlanWishes(command: Command): Command {
  return command
    .option("--keep <instrument>", "leave its passages as printed (repeatable)", collect, [])
    .option("--without <instrument>", "leave it at home (repeatable)", collect, [])
    .option(
      "--allow <instrument>",
      "let others of its family stand in for one wanted for its own sound (repeatable)",
      collect,
      [],
    )
    .option(
      "--fix <bars=instrument>",
      "your choice for a passage, such as 41-56=clarinet-a (repeatable)",
      collect,
      [],
    )
    .option("--profile <file>", "your instruments and hand times (see: muta profile)");
}

/** What the player knows of the performance. */
function withWishes(command: Command): Command {
  return command
    .option("--tempo <file>", "your tempo sheet, YAML or CSV (see: muta tempo --write-sheet)", once)
    .option(
      "--recording <file>",
      "timings from a recording, a table of bar, beat, seconds (repeatable)",
      collect,
      [],
    )
    .option(
      "--repeats <which>",
      "repeats taken: all, first-only, none, or the bars they end at, such as 24,89",
    );
}

/** Of two sheets the first would go unread. */
function once(value: string, before: string | undefined): string {
  if (before !== undefined) throw new InvalidArgumentError("Give it once only.");
  return value;
}

function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}

/** "tight,impossible". */
function names(value: string): readonly string[] {
  return value.split(",").map((each) => each.trim());
}

function rowKinds(value: string): readonly RowKind[] {
  return names(value).map((name) => {
    const kind = ROW_KINDS.find((each) => each === name);
    if (kind === undefined) throw new InvalidArgumentError(`Allowed are ${ROW_KINDS.join(", ")}.`);
    return kind;
  });
}

/** Reads a whole number within bounds; `wanted` is what the user is told otherwise. */
function wholeNumber(least: number, most: number, wanted: string) {
  return (value: string): number => {
    const number = Number(value);
    if (!/^\d{1,4}$/.test(value) || number < least || number > most) {
      throw new InvalidArgumentError(wanted);
    }
    return number;
  };
}

/** Fewer bars than this are felt, not counted. An assumption (common practice, no source). */
const LONG_REST_BARS = 4;

function oneCharacter(value: string): string {
  const character = value === "\\t" ? "\t" : value;
  if (!/^[^"\r\n\w]$/u.test(character))
    throw new InvalidArgumentError("Give one character, such as ;");
  return character;
}

/** Runs the command line and returns its exit code. */
async function main(argv: readonly string[]): Promise<ExitCode> {
  let code: ExitCode = EXIT.clean;
  try {
    await createProgram((finished) => {
      code = finished;
    }).parseAsync(argv);
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.clean : EXIT.badInput;
    if (error instanceof UsageError) {
      process.stderr.write(`muta: ${error.message}\n`);
      return EXIT.badInput;
    }
    const report = error instanceof Error ? (error.stack ?? error.message) : String(error);
    process.stderr.write(
      `muta: this is a fault of the program, not of your file; please report it\n${report}\n`,
    );
    return EXIT.bug;
  }
}

// What cannot be written is told of by the one who writes; without a listener it would end in a crash.
process.stdout.on("error", () => undefined);
process.exitCode = await main(process.argv);
