import { escapeForTerminal } from "./clean.js";

/** A document as JSON to be read by people as well, without anything that could steer a terminal. */
export function jsonText(document: unknown): string {
  return `${escapeForTerminal(JSON.stringify(document, null, 2))}\n`;
}

/** One line of NDJSON, likewise. */
export function jsonLine(document: unknown): string {
  return `${escapeForTerminal(JSON.stringify(document))}\n`;
}
