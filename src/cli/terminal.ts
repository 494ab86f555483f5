import { Chalk, type ColorSupportLevel } from "chalk";
import { PLAIN, type Style } from "../reporters/index.js";

/** What the surroundings say about the page. */
export interface Terminal {
  readonly width: number;
  readonly style: Style;
}

const PIPED_WIDTH = 100;
const LEAST_WIDTH = 40;
const WIDEST = 140;

/**
 * Width and colours for standard output. Pipes, `--no-color` and `NO_COLOR` (any text but an empty one)
 * get plain text; a pipe may set its width with COLUMNS.
 */
export function describeTerminal(color: boolean): Terminal {
  const { stdout, env } = process;
  const columns = stdout.isTTY ? stdout.columns : Number(env["COLUMNS"]);
  const width = Number.isInteger(columns) && columns > 0 ? columns : PIPED_WIDTH;
  const plain = !color || !stdout.isTTY || (env["NO_COLOR"] ?? "") !== "" || env["TERM"] === "dumb";
  return {
    width: Math.max(LEAST_WIDTH, Math.min(WIDEST, width)),
    style: plain ? PLAIN : colours(),
  };
}

function colours(): Style {
  // Sixteen colours are everywhere; the reader's own palette decides how they look.
  const level: ColorSupportLevel = 1;
  const chalk = new Chalk({ level });
  return {
    heading: (text) => chalk.bold(text),
    alarm: (text) => chalk.bold.red(text),
    warning: (text) => chalk.yellow(text),
    faint: (text) => chalk.dim(text),
  };
}
