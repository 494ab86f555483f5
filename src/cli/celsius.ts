import { InvalidArgumentError } from "commander";

/** Where people play, from an open-air stage in winter to one in summer; wider than any is a slip. */
export const HALL_CELSIUS = {
  least: -20,
  most: 50,
  message: "must be between -20 and 50 °C",
} as const;

/** The number after `--hall`, in °C. */
export function hallCelsius(value: string, before: number | undefined): number {
  if (before !== undefined) throw new InvalidArgumentError("Give it once only.");
  const celsius = Number(value);
  if (!/^[-+]?\d+(?:\.\d+)?$/.test(value)) {
    throw new InvalidArgumentError("Give degrees Celsius, with a point: 18.5");
  }
  if (celsius < HALL_CELSIUS.least || celsius > HALL_CELSIUS.most) {
    throw new InvalidArgumentError(`It ${HALL_CELSIUS.message}.`);
  }
  return celsius;
}
