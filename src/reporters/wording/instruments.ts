import { INSTRUMENTS } from "../../instruments/table.js";
import type { InstrumentId } from "../../model/instrument.js";
import { majorKeyName, minorKeyName } from "../../theory/key.js";

/** "B♭", "bass", "alto sax". */
export function shortName(id: InstrumentId): string {
  return INSTRUMENTS[id].shortName;
}

/** "B-flat clarinet". */
export function fullName(id: InstrumentId): string {
  return INSTRUMENTS[id].name;
}

/** "A clarinet or A bass clarinet"; "no instrument known here" when the list is empty. */
export function oneOf(ids: readonly InstrumentId[]): string {
  if (ids.length === 0) return "no instrument known here";
  return ids.slice(0, 3).map(fullName).join(" or ");
}

/** "2♯", "3♭", "0": the signature as a player counts it. */
export function signatureSign(fifths: number | null): string {
  if (fifths === null) return "own";
  if (fifths === 0) return "0";
  return `${Math.abs(fifths)}${fifths > 0 ? "♯" : "♭"}`;
}

/** "2♯ (D/b)": a signature with its major and minor key; the tool does not tell which of the two. */
export function keyText(fifths: number | null): string {
  if (fifths === null) return "own signature";
  // No player thinks in eight flats.
  if (Math.abs(fifths) > 7) return keyText(fifths - 12 * Math.sign(fifths));
  return `${signatureSign(fifths)} (${signs(majorKeyName(fifths))}/${signs(minorKeyName(fifths))})`;
}

function signs(keyName: string): string {
  return keyName.replace("-flat", "♭").replace("-sharp", "♯");
}
