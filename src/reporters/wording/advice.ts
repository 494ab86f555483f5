import type { Evidence } from "../../model/finding.js";
import type { Advice } from "../../model/report.js";
import { clean } from "../util/clean.js";
import { fullName } from "./instruments.js";
import { barText } from "./places.js";

/** One piece of advice as a sentence without its full stop. */
export function adviceText(advice: Advice): string {
  switch (advice.kind) {
    case "ask-for-cue":
      return advice.when === "entry"
        ? `ask for a clear cue at bar ${barText(advice)}`
        : `ask for a clear cue at bar ${barText(advice)}, where you can look up again`;
    case "not-playable-as-printed":
      return "play some bars on the other instrument, leave notes out, or let a colleague take them";
    case "check-print":
      return `ask the librarian which is right before the first rehearsal`;
    case "pencil-in":
      return `pencil in "to ${fullName(advice.to)}" at bar ${clean(advice.barLabel)}, where the rest begins`;
  }
}

/** Where the part says it: `"muta in La" (bar 24)`. */
export function evidenceText(each: Evidence): string {
  const text = clean(each.text);
  const bar = `(bar ${clean(each.barLabel)})`;
  switch (each.kind) {
    case "words":
      return `"${text}" ${bar}`;
    case "part-name-display":
      return `name "${text}" ${bar}`;
    case "transpose":
      return `transposition ${bar}`;
    case "instrument-change":
      return `encoded change ${bar}`;
    case "note-instrument":
      return `notes for "${text}" ${bar}`;
    case "repeat":
      return `nowhere: going ${text} makes this change`;
  }
}
