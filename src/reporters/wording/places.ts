import type { Moment } from "../../model/time.js";
import { clean } from "../util/clean.js";

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
  const beat = beatText(place.beat);
  return beat === "1" ? barText(place) : `${barText(place)}, beat ${beat}`;
}

const THIRDS_AND_QUARTERS: readonly (readonly [number, string])[] = [
  [1 / 4, "¼"],
  [1 / 3, "⅓"],
  [1 / 2, "½"],
  [2 / 3, "⅔"],
  [3 / 4, "¾"],
];

/** "3", "2½", "1⅔"; other places in a beat with at most two decimals. */
export function beatText(beat: number): string {
  const whole = Math.floor(beat);
  const sign = THIRDS_AND_QUARTERS.find(([part]) => Math.abs(beat - whole - part) < 0.001)?.[1];
  return sign === undefined ? String(Math.round(beat * 100) / 100) : `${whole}${sign}`;
}
