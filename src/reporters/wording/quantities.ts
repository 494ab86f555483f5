import type { Rest } from "../../model/report.js";
import type { SecondsRange } from "../../model/time.js";

/** "12.4 s". */
export function secondsText(seconds: number): string {
  return `${seconds.toFixed(1)} s`;
}

/** "12.4 s (11.6-13.2)": likely first, then the range that the tempo leaves open. */
export function secondsRangeText({ short, likely, long }: SecondsRange): string {
  const [low, high] = [short.toFixed(1), long.toFixed(1)];
  return low === high ? secondsText(likely) : `${secondsText(likely)} (${low}–${high})`;
}

/** "4 min 05 s". */
export function minutesText(seconds: number): string {
  const whole = Math.round(seconds);
  const minutes = Math.floor(whole / 60);
  return minutes === 0 ? `${whole} s` : `${minutes} min ${String(whole % 60).padStart(2, "0")} s`;
}

const PARTS_OF_ONE: readonly (readonly [number, string])[] = [
  [1 / 4, "¼"],
  [1 / 3, "⅓"],
  [1 / 2, "½"],
  [2 / 3, "⅔"],
  [3 / 4, "¾"],
];

/** "3", "2½", "1⅔", "⅓"; other parts of one with at most two decimals. */
export function mixedNumber(value: number): string {
  const whole = Math.floor(value + 0.001);
  const sign = PARTS_OF_ONE.find(([part]) => Math.abs(value - whole - part) < 0.001)?.[1];
  if (sign === undefined) return String(Math.round(value * 100) / 100);
  return `${whole > 0 ? whole : ""}${sign}`;
}

const QUARTERS_OF_ONE = ["", "¼", "½", "¾"];

/** A count with its fraction to the nearest quarter: "6", "1¼", "under ¼". */
export function countText(count: number): string {
  const quarters = Math.round(count * 4);
  if (quarters === 0) return count === 0 ? "0" : "under ¼";
  const whole = Math.floor(quarters / 4);
  return `${whole > 0 ? whole : ""}${QUARTERS_OF_ONE[quarters % 4] ?? ""}`;
}

/** "6¾ bars", "½ bar", "under ¼ bar": rounded down, so that what falls short of a bar is not called one. */
export function barsLeftText(bars: number): string {
  const quarters = Math.floor(bars * 4 + 1e-6);
  return quarters === 0 ? "under ¼ bar" : counted(quarters / 4, "bar");
}

/** As the player counts it: "8 bars + 1 beat", "6 bars", "3½ beats". */
export function restLengthText({ counted: { bars, beats } }: Pick<Rest, "counted">): string {
  const parts = [
    ...(bars > 0 ? [counted(bars, "bar")] : []),
    ...(beats > 0 ? [`${mixedNumber(beats)} beat${beats > 1.001 ? "s" : ""}`] : []),
  ];
  return parts.join(" + ") || "no rest";
}

/** "1 bar", "6 bars", "½ bar". */
export function counted(count: number, unit: string): string {
  const text = countText(count);
  return `${text} ${unit}${Math.round(count * 4) > 4 || count === 0 ? "s" : ""}`;
}
