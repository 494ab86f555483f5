import type { Hazard } from "../../model/finding.js";
import { barText } from "./places.js";
import { countText } from "./quantities.js";

/** What may be missed, as half a sentence: "meter changes to 5/8 at bar 89". */
export function hazardText(hazard: Hazard): string {
  const at = `bar ${barText(hazard.at)}`;
  switch (hazard.kind) {
    case "meter-change":
      return `meter changes from ${hazard.from} to ${hazard.to} at ${at}`;
    case "tempo-change":
      return `tempo changes from ${tempo(hazard.from)} to ${tempo(hazard.to)} at ${at}`;
    case "fermata":
      return `fermata at ${at}`;
    case "late-look-up":
      return hazard.lookUpBars === 0
        ? "no time to look up before the entry"
        : `only ${countText(hazard.lookUpBars)} bar to look up before the entry`;
  }
}

function tempo(quartersPerMinute: number): string {
  return `quarter = ${Math.round(quartersPerMinute)}`;
}
