import type { Bar, FromHere, Position } from "../model/score.js";
import { lastIndexWhere } from "../theory/search.js";
import { comparePlaces } from "./page-evidence.js";

/** What is in force at a place, of values that each hold until the next; undefined before the first. */
export function inForceAt<P extends Pick<FromHere<unknown>, "at">>(
  values: readonly P[],
  bars: readonly Bar[],
  at: Position,
): P | undefined {
  const holds = (k: number) => {
    const value = values[k];
    return value !== undefined && comparePlaces(bars, value.at, at) <= 0;
  };
  const last = lastIndexWhere(values.length, holds);
  return holds(last) ? values[last] : undefined;
}
