import type { Moment, PlaceOnPage } from "../../model/time.js";
import { clean, cleanTo } from "../util/clean.js";
import { mixedNumber } from "./quantities.js";

const ORDINALS = ["", "1st", "2nd", "3rd"];

/** "2nd time" for a bar that comes back. */
export function passText(pass: number): string {
  return `${ordinal(pass)} time`;
}

/** "2nd time", "1st and 3rd time". */
export function passesText(passes: readonly number[]): string {
  const last = passes.at(-1) ?? 1;
  const others = passes.slice(0, -1).map(ordinal);
  return others.length === 0 ? passText(last) : `${others.join(", ")} and ${passText(last)}`;
}

/** "2nd". */
export function ordinal(number: number): string {
  return ORDINALS[number] ?? `${number}th`;
}

/** No printed number is longer; a hostile one could fill a column. */
const LONGEST_BAR_NUMBER = 12;

/** The number alone, for a column. */
export function barNumber({ barLabel }: Pick<Moment, "barLabel">): string {
  return cleanTo(barLabel, LONGEST_BAR_NUMBER);
}

/**
 * "45", or "45 (2nd time)" when the bar comes back; the first time needs no saying. In a file of several
 * movements "45 (2nd mvt)".
 */
export function barText(place: Pick<Moment, "barLabel" | "pass" | "movement">): string {
  const label = place.barLabel === "0" ? "0 (the upbeat)" : clean(place.barLabel);
  const says = [
    ...(place.movement === undefined ? [] : [`${ordinal(place.movement)} mvt`]),
    ...(place.pass > 1 ? [passText(place.pass)] : []),
  ];
  return says.length > 0 ? `${label} (${says.join(", ")})` : label;
}

interface BarSpan {
  readonly from: Moment;
  readonly to: Moment;
}

/** "41–56", or "41" where both ends are in one bar. */
export function spanText({ from, to }: BarSpan): string {
  const [first, last] = [barText(from), barText(to)];
  return first === last ? first : `${first}–${last}`;
}

/** "bars 41–56", "bar 41". */
export function barsText(span: BarSpan): string {
  const isOne = barText(span.from) === barText(span.to);
  return `${isOne ? "bar" : "bars"} ${spanText(span)}`;
}

/**
 * "45", "45, beat 3", "45 (2nd time), beat 2.5", "end of bar 45": the beat is left out on the first,
 * and at the end of a bar the player looks for the barline, not for a fifth beat.
 */
export function placeText(place: PlaceOnPage): string {
  if (place.atBarEnd) return `end of bar ${barText(place)}`;
  const beat = mixedNumber(place.beat);
  return beat === "1" ? barText(place) : `${barText(place)}, beat ${beat}`;
}

/** "end of bar 81", or "bar 50, beat 2" where the last note ends inside the bar. */
export function leavingText(place: PlaceOnPage): string {
  return place.atBarEnd ? placeText(place) : `bar ${placeText(place)}`;
}
