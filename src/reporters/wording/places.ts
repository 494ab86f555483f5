import type { Moment } from "../../model/time.js";
import { clean } from "../util/clean.js";
import { mixedNumber } from "./quantities.js";

const ORDINALS = ["", "1st", "2nd", "3rd"];

/** "2nd time" for a bar that comes back. */
export function passText(pass: number): string {
  return `${ORDINALS[pass] ?? `${pass}th`} time`;
}

/** "45", or "45 (2nd time)" when the bar comes back; the first time needs no saying. */
export function barText(place: Pick<Moment, "barLabel" | "pass">): string {
  const label = place.barLabel === "0" ? "0 (the upbeat)" : clean(place.barLabel);
  return place.pass > 1 ? `${label} (${passText(place.pass)})` : label;
}

/**
 * "45", "45, beat 3", "45 (2nd time), beat 2.5", "end of bar 45": the beat is left out on the first,
 * and at the end of a bar the player looks for the barline, not for a fifth beat.
 */
export function placeText(place: Moment): string {
  if (place.atBarEnd) return `end of bar ${barText(place)}`;
  const beat = mixedNumber(place.beat);
  return beat === "1" ? barText(place) : `${barText(place)}, beat ${beat}`;
}
