import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect } from "vitest";
import { officeProgram } from "./soffice-program.js";
import { temporaryFolder } from "./run-muta.js";

const OFFICE = officeProgram();

/** `describe` where an office program is at hand, skipped otherwise (see announce-soffice.ts). */
export const describeOffice = OFFICE === undefined ? describe.skip : describe;

/** For a cold start on a busy machine. */
export const OFFICE_TIMEOUT = 180_000;

/**
 * Options of its csv filter, in both directions: comma, double quote, UTF-8, from line 1, no column formats,
 * language by default, then what differs.
 * LibreOffice help, "Filter Options for CSV Files", tokens 1 to 13; from memory, and as version 7.4 does it.
 */
const CSV_BASE = "44,34,76,1,,0";

/** Every sheet to a file of its own: texts in quotes, cells as they are shown, no formulas. */
export const EVERY_SHEET_TO_CSV = `csv:Text - txt - csv (StarCalc):${CSV_BASE},true,true,true,false,false,-1`;

/** How a csv is read: what is in quotes is text; and whether formulas are worked out (token 13). */
export function csvImport(evaluate: boolean): string {
  return `Text - txt - csv (StarCalc):${CSV_BASE},true,false,false,false,false,0,${evaluate}`;
}

/**
 * Has a file converted, and gives what comes out by file name.
 * @param filter as after `--convert-to`
 * @param infilter as after `--infilter=`
 */
export function convertInOffice(
  path: string,
  filter: string,
  infilter?: string,
): ReadonlyMap<string, string> {
  const folder = temporaryFolder();
  const out = join(folder, "out");
  const run = spawnSync(
    OFFICE ?? "soffice",
    [
      // A profile of its own, or a program that is open already would take the job and forget it.
      `-env:UserInstallation=file://${folder}/profile`,
      "--headless",
      ...(infilter === undefined ? [] : [`--infilter=${infilter}`]),
      ...["--convert-to", filter, "--outdir", out, path],
    ],
    { encoding: "utf8", timeout: OFFICE_TIMEOUT },
  );
  expect(run.status, run.stderr).toBe(0);
  return new Map(readdirSync(out).map((name) => [name, readFileSync(join(out, name), "utf8")]));
}
