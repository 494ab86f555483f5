/**
 * How temperature moves the pitch of a wind instrument.
 *
 * The speed of sound in air, and with it the pitch of a tube of fixed length, goes with the square root of the
 * absolute temperature: f2/f1 = sqrt((t2 + 273.15) / (t1 + 273.15)). Published on the web in "Temperature and
 * intonation in wind instruments" (the3rdhalf.com, n.d.) as 331.3·sqrt(T/273.15) and 600·log2(T2/T1). The
 * constant drops out. What the tube itself expands is negligible (University of New South Wales, "Warming up a
 * wind instrument"); moisture and carbon dioxide of the breath partly cancel, and are left out.
 */

/** The absolute temperature of 0 °C, in kelvin. */
const KELVIN_AT_ZERO_CELSIUS = 273.15;

const CENTS_PER_OCTAVE = 1200;

/**
 * What a tube that goes from one temperature to another rises, in cents; negative when it falls.
 * @param fromCelsius above absolute zero, as `toCelsius`
 * @throws RangeError at or below absolute zero
 */
export function centsBetween(fromCelsius: number, toCelsius: number): number {
  // Half an octave for a factor of two in temperature: the square root.
  return (CENTS_PER_OCTAVE / 2) * Math.log2(kelvin(toCelsius) / kelvin(fromCelsius));
}

/**
 * The temperature in the bore of an instrument that has lain for so many seconds, in °C: it nears that of the
 * room by the same part in every second (Newton's law of cooling). A model, not a measurement; none was found.
 * @param coolingSeconds after so long 1/e of the difference is left; more than 0
 */
export function restingCelsius(given: {
  readonly roomCelsius: number;
  readonly playingCelsius: number;
  readonly coolingSeconds: number;
  readonly restSeconds: number;
}): number {
  const { roomCelsius, playingCelsius, coolingSeconds, restSeconds } = given;
  return roomCelsius + (playingCelsius - roomCelsius) * Math.exp(-restSeconds / coolingSeconds);
}

function kelvin(celsius: number): number {
  const absolute = celsius + KELVIN_AT_ZERO_CELSIUS;
  if (!(absolute > 0)) throw new RangeError(`${celsius} °C is no temperature of anything`);
  return absolute;
}
