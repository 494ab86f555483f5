import type { Temperature, UsedTemperature } from "../../model/profile.js";
import type { CheckedChange } from "../../model/report.js";
import { shortName } from "./instruments.js";
import { minutesText } from "./quantities.js";

/** "bass has lain 3 min 40 s: about 6 cents flat at first (hall 20 °C, assumed); blow it warm if you can". */
export function lyingText({ to, lying }: Pick<CheckedChange, "to" | "lying">): string {
  const { since, seconds, cents, temperature } = lying;
  const lain = `${since ? "" : "since the beginning, "}${minutesText(seconds.likely)}`;
  const off = Math.round(cents.likely);
  const flat = off < 0;
  const assumed = temperature.assumed.includes("hallCelsius") ? ", assumed" : "";
  // In a hall that is warmer than the breath, blowing makes it no warmer.
  const advice = flat ? "; blow it warm if you can" : "";
  return `${shortName(to)} has lain ${lain}: about ${Math.abs(off)} cents ${flat ? "flat" : "sharp"} at first (hall ${temperature.hallCelsius} °C${assumed})${advice}`;
}

/** What the cents rest on, and who knows better; once a page. */
export function lyingCaution(temperature: UsedTemperature): string {
  const { assumed } = temperature;
  const listed = (isAssumed: boolean) =>
    FIGURES.filter(({ figure }) => assumed.includes(figure) === isAssumed)
      .map(({ text }) => text(temperature))
      .join(", ");
  const [own, usual] = [listed(false), listed(true)];
  const figures = [...(own ? [own] : []), ...(usual ? [`assumed: ${usual}`] : [])].join("; ");
  return (
    `the pitch of an instrument that has lain is an estimate (${figures}), as if it were warm at the beginning and ` +
    `after its last note; your ear and your teacher decide${adviceOnFigures(temperature)}`
  );
}

const FIGURES: readonly {
  readonly figure: keyof Temperature;
  readonly text: (temperature: UsedTemperature) => string;
}[] = [
  { figure: "hallCelsius", text: ({ hallCelsius }) => `hall ${hallCelsius} °C` },
  { figure: "playingCelsius", text: ({ playingCelsius }) => `${playingCelsius} °C when warm` },
  {
    figure: "coolingSeconds",
    // 1 - 1/e of the difference is gone by then: 63 per cent.
    text: ({ coolingSeconds }) => `two thirds cooled in ${minutesText(coolingSeconds)}`,
  },
];

function adviceOnFigures({ assumed }: UsedTemperature): string {
  if (assumed.length === 0) return "";
  return `; give your figures with ${assumed.includes("hallCelsius") ? "--hall or " : ""}--profile`;
}
