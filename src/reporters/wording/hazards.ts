import type { Hazard } from "../../model/finding.js";
import type { PlaceOnPage } from "../../model/time.js";
import { clean } from "../util/clean.js";
import { barText } from "./places.js";
import { PAUSE_NAMES } from "./pauses.js";
import { barsLeftText } from "./quantities.js";

/** What may be missed, as half a sentence: "meter changes to 5/8 at bar 89". */
export function hazardText(hazard: Hazard<PlaceOnPage>): string {
  const at = `bar ${barText(hazard.at)}`;
  switch (hazard.kind) {
    case "meter-change":
      return `meter changes from ${hazard.from} to ${hazard.to} at ${at}`;
    case "tempo-change":
      return hazard.gradual
        ? `the tempo begins to change at ${at}: ${clean(hazard.mark)}`
        : `new tempo at ${at}: ${hazard.mark ? clean(hazard.mark) : tempo(hazard.to)}`;
    case "pause":
      return `${PAUSE_NAMES[hazard.sign]} at ${at}`;
    case "late-look-up":
      return hazard.lookUpBars === 0
        ? "no time to look up before the entry"
        : `${barsLeftText(hazard.lookUpBars)} to look up before the entry`;
  }
}

function tempo(quartersPerMinute: number): string {
  return `quarter = ${Math.round(quartersPerMinute)}`;
}
